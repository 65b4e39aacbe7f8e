"""The filter block: which filter a water and its outlets need, where it stands, and what else the water asks for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from service.parts.mesh import coarsest_mesh
from service.schemas.devices import HeadFilter
from service.schemas.head_answers import (
    BetweenCleanings,
    Constituent,
    FilterAnswer,
    Published,
    Scaling,
    SuitingFilter,
    Treatment,
)
from service.schemas.water import Water
from service.units.sentence import Measured, Sentence
from service.zones.cleaning import between_cleanings, clean_when
from service.zones.criteria import FINEST_USEFUL_OPENING, MOST_CLEAN_LOSS, Limits
from service.zones.filter_needs import NeededOpening, filter_fineness, needed_opening, opening
from service.zones.filter_train import Body, Train, Types, bodies, choice, train_for
from service.zones.langelier import langelier
from service.zones.solved import Solved
from service.zones.stage import stated_loss
from service.zones.water_notes import measured, notes
from service.zones.water_quality import BARE, Hazard, clogging_hazard, hazards, treatments

NON_POTABLE_FIRST = {
    "reclaimed": "Reclaimed water needs leave first: local rules decide whether and how drip may use it, and ask for "
    "signs, marked pipe and no contact with people or edible parts.",
    "grey": "Grey water needs leave first: local rules decide whether and how drip may use it; many ask for it below "
    "the surface, the same day, and never on edible parts.",
}
"""What comes before any choice of filter, by source. Common practice, no source."""


@dataclass(frozen=True)
class Filtering:
    """A water through a filter, and what that is to protect."""

    water: Water
    flow: float  # through the filter [m³/s]
    need: NeededOpening
    pressure: float = 0.0  # that the filter must bear [Pa]
    head: tuple[HeadFilter, ...] = ()  # the filters that stand there already

    @classmethod
    def of(cls, solved: Solved, limits: Limits) -> Filtering:
        """That of a zone; where nothing flows, at the flow that its outlets are rated for."""
        kinds = solved.pipework.plan.kinds
        filters = [stage for stage in solved.assembly.stages if isinstance(stage.device, HeadFilter)]
        others = max([solved.assembly.sharing, *(stage.others for stage in filters)])
        return cls(
            water=solved.zone.water,
            flow=(solved.headline.flow or solved.pipework.network.outlets.nominal_flow) + others,
            need=needed_opening([kind.emitter for kind in kinds], limits.filter_opening_share),
            pressure=solved.assembly.static,
            head=tuple(stage.device for stage in filters if isinstance(stage.device, HeadFilter)),
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
        return self.train.lacks([device.type or "screen" for device in self.head]) if self.head else None

    @property
    def clean_loss(self) -> float | None:
        """Of the head's filters, or of those to take, None where one of them does not say. [Pa]"""
        if self.head:
            known = [stated_loss(device.loss).at(self.flow) for device in self.head if device.loss is not None]
            return sum(known) if len(known) == len(self.head) else None
        known = [body.clean_loss for body in self.chosen if body is not None]
        return sum(known) if known and len(known) == len(self.chosen) else None

    @property
    def allowance(self) -> float:
        """What they lose on top of that when due for cleaning. [Pa]"""
        if self.head:
            return sum(device.dirty_allowance or 0.0 for device in self.head)
        return sum(body.part.dirty_allowance for body in self.chosen if body is not None)


def filter_block(case: Filtering) -> FilterAnswer:
    """The filter block of an answer."""
    found, clean, saturation = hazards(case.water), case.clean_loss, langelier(case.water)
    return FilterAnswer(
        advice=_advice(case),
        type=case.train.words,
        mesh=coarsest_mesh(case.need.opening),
        opening=case.need.opening,
        flow=case.flow,
        clean_loss=clean,
        dirty_loss=None if clean is None else clean + case.allowance,
        clean_when=clean_when(clean, case.allowance, several=len(case.head or case.chosen) > 1),
        between_cleanings=_between_cleanings(case),
        suggested=[body.name for body in case.chosen if body is not None],
        suits=[_told(body) for body in case.suits],
        placement=_placement(case.train),
        clogging_hazard=clogging_hazard(found),
        constituents=[_constituent(hazard) for hazard in found],
        scaling=saturation
        and Scaling(
            index=saturation.index,
            saturation_ph=saturation.ph,
            temperature=saturation.temperature,
            tends_to="scale" if case.scales else "dissolve",
        ),
        treatments=[
            Treatment(against=hazard, family=Sentence(family))
            for hazard, family in treatments(found, scaling=case.scales)
        ],
        reasons=list(_reasons(case)),
    )


def _advice(case: Filtering) -> str:
    if not case.head:
        return "fit"
    if not case.fine_enough:
        return "replace"
    return "keep" if case.lacks is None else "add"


def _told(body: Body) -> SuitingFilter:
    return SuitingFilter(
        part=body.name,
        type=body.part.type,
        opening=body.part.fineness,
        clean_loss=body.clean_loss,
        dirty_loss=body.dirty_loss,
    )


def _constituent(hazard: Hazard) -> Constituent:
    name = hazard.constituent
    return Constituent(
        constituent=name,
        value=measured(name, hazard.value),
        dimension=None if name in BARE else "concentration",
        hazard=hazard.worst,
        tables=[
            Published(
                hazard=word,
                moderate_from=measured(name, table.limits[name][0]),
                severe_above=measured(name, table.limits[name][1]),
                source=table.source,
            )
            for table, word in hazard.by_table
        ],
    )


def _between_cleanings(case: Filtering) -> BetweenCleanings | None:
    """Of the filter that takes the load: the first one."""
    candidates: list[tuple[str, float | None]] = [
        (device.type or "screen", None if device.flow_range is None else device.flow_range[1]) for device in case.head
    ] or [
        (body.part.type, None if body.part.flow_range is None else body.part.flow_range[1])
        for body in case.chosen
        if body is not None
    ]
    found = (
        between_cleanings(
            kind, made_for=most or case.flow, flow=case.flow, suspended_solids=case.water.suspended_solids
        )
        for kind, most in candidates
    )
    return next((one for one in found if one is not None), None)


def _placement(train: Train) -> Sentence:
    first = " or ".join(train.stages[0])
    if len(train.stages) == 1:
        told = "Put the filter after the valve and before the regulator, where it can be reached for cleaning."
        return Sentence(told)
    where = "at the well, before all else" if first == "separator" else "at the pump or intake, before the valve"
    rest = ", then ".join(" or ".join(types) for types in train.stages[1:])
    told = "Put the {first} {where}, and the {rest} after the valve and before the regulator."
    return Sentence(told, {"first": first, "where": where, "rest": rest})


def _reasons(case: Filtering) -> Iterator[Sentence]:
    first = NON_POTABLE_FIRST.get(case.water.source)
    if first is not None:
        yield Sentence(first)
    yield case.need.why
    if case.need.opening < FINEST_USEFUL_OPENING * (1 - 1e-6):
        told = "That is finer than {limit}, which clogs fast: outlets with wider passages would be kinder."
        yield Sentence(told, {"limit": opening(FINEST_USEFUL_OPENING)})
    if case.train.why is not None:
        yield case.train.why
    yield from _about_head(case) if case.head else ()
    yield from _about_bodies(case)
    yield from (note.told for note in notes(case.water))
    if next(treatments(hazards(case.water), scaling=case.scales), None) is not None:
        yield Sentence("Which treatment and how much of it is for a licensed applicator and the local code to say.")
    if case.water.suspended_solids is None:
        yield Sentence("How long it lasts between cleanings cannot even be guessed without the suspended solids.")


def _about_head(case: Filtering) -> Iterator[Sentence]:
    facts = {"need": opening(case.need.opening)}
    if case.finest is None:
        yield Sentence("The head's filter states neither mesh nor opening: see that it holds back {need}.", facts)
    elif case.fine_enough:
        told = "The head's filter holds back {finest}, which is fine enough for {need}."
        yield Sentence(told, {**facts, "finest": opening(case.finest)})
    else:
        told = "The head's filter lets {finest} through, and {need} is the most: take a finer one."
        yield Sentence(told, {**facts, "finest": opening(case.finest)})
    if case.lacks is not None:
        facts_of = {"source": case.water.source.replace("_", " "), "type": " or ".join(case.lacks)}
        yield Sentence("Water of this source ({source}) wants a {type} filter too.", facts_of)


def _about_bodies(case: Filtering) -> Iterator[Sentence]:
    """Where the catalogue has no body for a place."""
    for stage, body in enumerate(case.chosen):
        if body is not None:
            continue
        last = stage == len(case.chosen) - 1
        facts: dict[str, Measured | str] = {
            "type": " or ".join(case.train.stages[stage]),
            "flow": Measured(case.flow, "flow"),
            "opening": opening(case.need.opening),
            "loss": Measured(MOST_CLEAN_LOSS, "pressure"),
        }
        told = "The catalogue has no {type} filter for {flow}"
        told += " as fine as {opening}" if last else ""
        yield Sentence(told + " that loses {loss} or less when clean: ask for one.", facts)
