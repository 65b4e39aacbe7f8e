"""The query for filter advice."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import Field, PrivateAttr, model_validator

from service.schemas.filtration import Filtration
from service.schemas.query import EmitterId, body_of, given
from service.schemas.water import Acidity, BacterialCount, Source
from service.units.model import Maybe, QueryModel
from service.units.quantity import Concentration, FlowAboveZero, Passage, Temperature

OF_WATER = (
    "source",
    "suspended_solids",
    "ph",
    "dissolved_solids",
    "manganese",
    "iron",
    "hydrogen_sulfide",
    "bacteria",
    "calcium_hardness",
    "alkalinity",
)
"""Parameters that are fields of the water under the same name."""


class FiltrationQuery(QueryModel):
    """A flow of water through a filter, and what the filter is to protect: `passage` or `emitter`."""

    flow: Annotated[FlowAboveZero, Field(examples=[5])]
    """Flow through the filter."""

    passage: Annotated[Maybe[Passage], Field(examples=[0.03])] = None
    """Smallest passage behind the filter."""

    emitter: Annotated[Maybe[EmitterId], Field(examples=["inline-compensating-0.6gph"])] = None
    """Catalogue id of the emitter behind the filter; in place of `passage`."""

    source: Annotated[Maybe[Source], Field(examples=["pond"])] = None
    """Where the water comes from. municipal if left out."""

    water_temperature: Maybe[Temperature] = None
    """Warmest temperature of the water in the pipes. 20 °C (68 °F) if left out."""

    suspended_solids: Maybe[Concentration] = None
    """Suspended solids."""

    ph: Maybe[Acidity] = None
    """pH."""

    dissolved_solids: Maybe[Concentration] = None
    """Total dissolved solids."""

    manganese: Maybe[Concentration] = None
    """Manganese."""

    iron: Maybe[Concentration] = None
    """Total iron."""

    hydrogen_sulfide: Maybe[Concentration] = None
    """Hydrogen sulfide."""

    bacteria: Maybe[BacterialCount] = None
    """Bacteria per millilitre."""

    calcium_hardness: Maybe[Concentration] = None
    """Calcium hardness as CaCO3."""

    alkalinity: Maybe[Concentration] = None
    """Total alkalinity as CaCO3."""

    _filtration: Filtration = PrivateAttr()

    @model_validator(mode="after")
    def _build(self) -> Self:
        fields = given(
            water=given(
                temperature=self.water_temperature,
                warmest_temperature=self.water_temperature,
                **{name: getattr(self, name) for name in OF_WATER},
            ),
            flow=self.flow,
            passage=self.passage,
            emitter=self.emitter,
        )
        self._filtration = body_of(self, Filtration, fields, parameter_at=lambda _: "passage")
        return self

    def to_filtration(self) -> Filtration:
        """The body that this query is short for."""
        return self._filtration

    @property
    def title(self) -> str:
        """What stands over the advice on paper."""
        return self._filtration.title
