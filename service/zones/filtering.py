"""A water through a filter: what that must do, what stands there, and what of the catalogue would."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from service.schemas.devices import HeadFilter
from service.schemas.head_answers import BetweenCleanings
from service.schemas.water import Water
from service.units.sentence import Sentence
from service.zones.cleaning import between_cleanings
from service.zones.criteria import Limits
from service.zones.filter_needs import NeededOpening, filter_fineness, needed_opening
from service.zones.filter_train import Body, Train, Types, bodies, choice, train_for
from service.zones.filters_in_place import UNTYPED, FilterInPlace
from service.zones.langelier import langelier
from service.zones.solved import Solved


@dataclass(frozen=True)
class Filtering:
    """A water through a filter, and what that is to protect."""

    water: Water
    flow: float  # through the filter [m³/s]
    need: NeededOpening
    pressure: float = 0.0  # that the filter must bear [Pa]
    head: tuple[HeadFilter, ...] = ()  # the filters that stand there already
    flows: tuple[float, ...] = ()  # through each of those [m³/s]

    @classmethod
    def of(cls, solved: Solved, limits: Limits) -> Filtering:
        """That of a zone; where nothing flows, at the flow that its outlets are rated for."""
        kinds = solved.pipework.plan.kinds
        filters = [stage for stage in solved.assembly.stages if isinstance(stage.device, HeadFilter)]
        others = max([solved.assembly.sharing, *(stage.others for stage in filters)])
        flow = solved.headline.flow or solved.pipework.network.outlets.nominal_flow
        return cls(
            water=solved.zone.water,
            flow=flow + others,
            need=needed_opening([kind.emitter for kind in kinds], limits.filter_opening_share),
            pressure=solved.assembly.static,
            head=tuple(stage.device for stage in filters if isinstance(stage.device, HeadFilter)),
            flows=tuple(flow + stage.others for stage in filters),
        )

    @cached_property
    def train(self) -> Train:
        """The types of filter that the water needs."""
        return train_for(self.water)

    @cached_property
    def suits(self) -> list[Body]:
        """Bodies of the catalogue that suit."""
        return bodies(self.train, opening=self.need.opening, flow=self.flow, pressure=self.pressure)

    @cached_property
    def chosen(self) -> list[Body | None]:
        """The body to take at each place of the train."""
        return choice(self.train, self.suits)

    @property
    def wanting(self) -> list[int]:
        """Places of the train that the head has no filter for yet."""
        if not self.head or not self.fine_enough:
            return list(range(len(self.train.stages)))
        return [] if self.lacks is None else [self.train.stages.index(self.lacks)]

    @cached_property
    def scales(self) -> bool:
        """Whether the water is known to leave scale."""
        saturation = langelier(self.water)
        return saturation is not None and saturation.index > 0.0

    @property
    def finest(self) -> float | None:
        """Size of particle that the head's filters hold back, None where none says. [m]"""
        known = [size for device in self.head if (size := filter_fineness(device)) is not None]
        return min(known, default=None)

    @property
    def fine_enough(self) -> bool:
        """Whether the head's filters are known to protect the outlets."""
        return self.finest is not None and self.finest <= self.need.opening * (1 + 1e-6)

    @property
    def lacks(self) -> Types | None:
        """A type of filter that the water needs and the head does not have; one that states no type is a screen."""
        return self.train.lacks([device.type or UNTYPED for device in self.head]) if self.head else None

    @cached_property
    def filters(self) -> tuple[FilterInPlace, ...]:
        """The head's filters, or those to take, in the order in which water meets them."""
        if self.head:
            return tuple(FilterInPlace.standing(*one) for one in zip(self.head, self.flows, strict=True))
        return tuple(FilterInPlace.chosen(body, self.flow) for body in self.chosen if body is not None)

    @property
    def clean_loss(self) -> float | None:
        """Of them all, None where one of them does not say or has yet to be found. [Pa]"""
        known = [one.clean_loss for one in self.filters if one.clean_loss is not None]
        return sum(known) if known and len(known) == len(self.head or self.train.stages) else None

    @cached_property
    def lasts(self) -> BetweenCleanings | Sentence:
        """Roughly how long they last between cleanings, or why that cannot be guessed."""
        return between_cleanings(self.filters, self.water.suspended_solids)
