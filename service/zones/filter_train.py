"""Which types of filter a water needs, one after the other, and which bodies of the catalogue suit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np

from service.parts.catalogue import catalogue_in_use
from service.parts.loss import stated_loss
from service.parts.models import Filter
from service.schemas.water import Water
from service.units.sentence import Sentence
from service.zones.criteria import COMMON_PRACTICE, MOST_CLEAN_LOSS
from service.zones.water_quality import HAZARDS, MODERATE, NAMES, SEVERE, Hazard, hazards

Types = tuple[str, ...]
"""Types of filter that will do at one place, the preferred one first."""

_PLAIN: tuple[Types, ...] = (("screen", "disc"),)
_SURFACE: tuple[Types, ...] = (("media", "disc"), ("screen",))
_SANDY: tuple[Types, ...] = (("separator",), ("screen", "disc"))
_WASTE: tuple[Types, ...] = (("disc", "media"),)

TRAINS: Mapping[str, tuple[Types, ...]] = MappingProxyType(
    {
        "municipal": _PLAIN,
        "well": _PLAIN,
        "sandy_well": _SANDY,
        "pond": _SURFACE,
        "lake": _SURFACE,
        "stream": _SURFACE,
        "rainwater": _PLAIN,
        "reclaimed": _WASTE,
        "grey": _WASTE,
    }
)
"""Types of filter by source of the water, in the order in which water meets them. FILTER_TYPE_SOURCE for those of
`PUBLISHED`; the others: common practice, no source."""

PUBLISHED = frozenset({"sandy_well", "pond", "lake", "stream"})
"""Sources of water whose types of filter are published."""

FILTER_TYPE_SOURCE = (
    "Irrigation Filters (university course page 2.5); Smith, Clemson HGIC, Landscape Irrigation Equipment Part 5; "
    "Groundwater, University of California ANR"
)

CLOG_SCREENS: Mapping[str, str] = MappingProxyType(
    {
        "suspended_solids": MODERATE,
        "iron": SEVERE,
        "manganese": SEVERE,
        "hydrogen_sulfide": SEVERE,
        "bacteria": SEVERE,
    }
)
"""Constituents that a plain screen clogs fast with, from which class of hazard on: what has yet to fall out or to grow
does so at severe hazard only. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Train:
    """Types of filter in the order in which water meets them, and why if not for the source alone."""

    source: str  # of the water
    stages: tuple[Types, ...]
    why: Sentence | None = None

    @property
    def words(self) -> str:
        """The types for people: `media or disc, then screen`."""
        return in_words(self.stages)

    def reason(self, stage: Types) -> tuple[Sentence, str]:
        """Why one of its stages is wanted, and who says so."""
        by_source = TRAINS[self.source]
        if self.why is not None and stage not in by_source:
            return self.why, COMMON_PRACTICE
        facts = {"source": self.source.replace("_", " "), "train": in_words(by_source)}
        told = Sentence("Water of this source ({source}) wants {train}.", facts)
        return told, FILTER_TYPE_SOURCE if self.source in PUBLISHED else COMMON_PRACTICE

    def lacks(self, types: Sequence[str]) -> Types | None:
        """The first kind of stage that none of these filters is, None where all are there."""
        return next((stage for stage in self.stages if not set(stage) & set(types)), None)


def in_words(stages: Sequence[Types]) -> str:
    """Types in a row for people."""
    return ", then ".join(" or ".join(types) for types in stages)


def train_for(water: Water) -> Train:
    """The filters that a water needs, by its source and by what was found in it."""
    stages = TRAINS[water.source]
    heavy = [NAMES[one.constituent] for one in hazards(water) if _clogs_screens(one)]
    if not heavy or stages not in {_PLAIN, _SANDY}:
        return Train(water.source, stages)
    told = "A plain screen clogs fast on this water ({what}): it takes media or disc, then a screen."
    return Train(water.source, (*stages[:-1], *_SURFACE), Sentence(told, {"what": ", ".join(heavy)}))


def _clogs_screens(hazard: Hazard) -> bool:
    least = CLOG_SCREENS.get(hazard.constituent)
    return least is not None and HAZARDS.index(hazard.worst) >= HAZARDS.index(least)


@dataclass(frozen=True, slots=True)
class Body:
    """A filter of the catalogue that suits at one place of the train."""

    part: Filter
    clean_loss: float  # at the flow [Pa]
    stage: int = 0

    @property
    def name(self) -> str:
        """Its catalogue id."""
        return self.part.id or self.part.name

    @property
    def dirty_loss(self) -> float:
        """When due for cleaning. [Pa]"""
        return self.clean_loss + self.part.dirty_allowance


def bodies(train: Train, *, opening: float, flow: float, pressure: float) -> list[Body]:
    """Bodies for each place: of its types, made for the flow, rated for the pressure, and small in loss when clean.

    The last place must be as fine as the opening [m]; those before it only take the load. flow [m³/s], pressure [Pa]
    """
    parts = [part for part in catalogue_in_use().parts(Filter.kind_of_part) if isinstance(part, Filter)]
    sized = [Body(part, stated_loss(part.loss).at(flow)) for part in parts if _sized(part, flow, pressure)]
    small = [body for body in sized if body.clean_loss <= MOST_CLEAN_LOSS or body.part.type == "separator"]
    fine = [body for body in small if body.part.fineness is not None and body.part.fineness <= opening * (1 + 1e-6)]
    last = len(train.stages) - 1
    return [
        replace(body, stage=stage)
        for stage, types in enumerate(train.stages)
        for body in (fine if stage == last else small)
        if body.part.type in types
    ]


def _sized(part: Filter, flow: float, pressure: float) -> bool:
    least, most = part.flow_range or (0.0, np.inf)
    return least <= flow <= most and (part.max_pressure is None or part.max_pressure >= pressure)


def choice(train: Train, suits: Sequence[Body]) -> list[Body | None]:
    """The body to take at each place: of the preferred type, the smallest; None where none suits."""

    def rank(body: Body) -> tuple[int, float]:
        most = np.inf if body.part.flow_range is None else body.part.flow_range[1]
        return train.stages[body.stage].index(body.part.type), float(most)

    return [
        min((body for body in suits if body.stage == stage), key=rank, default=None)
        for stage in range(len(train.stages))
    ]
