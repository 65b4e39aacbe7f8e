"""What there is to say about the filter of a zone, in plain sentences."""

from __future__ import annotations

from collections.abc import Iterator

from service.units.sentence import Measured, Sentence
from service.zones.criteria import FINEST_USEFUL_OPENING, MOST_CLEAN_LOSS
from service.zones.filter_needs import opening
from service.zones.filtering import Filtering
from service.zones.water_notes import notes
from service.zones.water_quality import hazards, treatments

NON_POTABLE_FIRST = {
    "reclaimed": "Reclaimed water needs leave first: local rules decide whether and how drip may use it, and ask for "
    "signs, marked pipe and no contact with people or edible parts.",
    "grey": "Grey water needs leave first: local rules decide whether and how drip may use it; many ask for it below "
    "the surface, the same day, and never on edible parts.",
}
"""What comes before any choice of filter, by source. Common practice, no source."""


def filter_reasons(case: Filtering) -> Iterator[Sentence]:
    """Everything there is to say, the caution about the water first."""
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
    if isinstance(case.lasts, Sentence):
        yield case.lasts


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
    clean = case.clean_loss
    if clean is not None and clean > MOST_CLEAN_LOSS * len(case.head) * (1 + 1e-9):
        losses = {"loss": Measured(clean, "pressure"), "limit": Measured(MOST_CLEAN_LOSS * len(case.head), "pressure")}
        yield Sentence("It loses {loss} when clean, more than {limit}: a larger body leaves the zone more.", losses)
    if case.lacks is not None:
        why, _ = case.train.reason(case.lacks)
        if why is not case.train.why:
            yield why
        yield Sentence("The head has no {type} filter yet: add one.", {"type": " or ".join(case.lacks)})


def _about_bodies(case: Filtering) -> Iterator[Sentence]:
    """Where the catalogue has no body for a place that wants one."""
    last = len(case.train.stages) - 1
    for place in case.wanting:
        if case.chosen[place] is not None:
            continue
        facts: dict[str, Measured | str] = {
            "type": " or ".join(case.train.stages[place]),
            "flow": Measured(case.flow, "flow"),
            "opening": opening(case.need.opening),
            "loss": Measured(MOST_CLEAN_LOSS, "pressure"),
            "pressure": Measured(case.pressure, "pressure"),
        }
        told = "The catalogue has no {type} filter for {flow} that "
        told += "is as fine as {opening}, " if place == last else ""
        told += "bears {pressure}, " if case.pressure > 0.0 else ""
        yield Sentence(told + "and loses {loss} or less when clean: ask for one.", facts)
