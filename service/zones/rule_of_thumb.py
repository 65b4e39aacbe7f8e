"""Where the trade's rule of thumb about regulators and the computation disagree."""

from __future__ import annotations

from collections.abc import Iterator

from service.schemas.head_answers import Advice
from service.units.sentence import Measured, Sentence
from service.zones.criteria import RULE_OF_THUMB_PRESSURE
from service.zones.regulator_question import Question, pressure, rule_of_thumb_pressure


def against_rule_of_thumb(case: Question, advice: Advice) -> Iterator[Sentence]:
    """Both numbers, where the two disagree."""
    by_thumb = case.supply >= RULE_OF_THUMB_PRESSURE
    computed = advice in {Advice.REQUIRED, Advice.RECOMMENDED}
    if computed and not by_thumb:
        yield _computed_to_need_one(case)
    elif by_thumb and not computed:
        yield _computed_to_do_without(case)


def _computed_to_need_one(case: Question) -> Sentence:
    highest = case.highest
    if highest is None or not (case.too_high or case.too_near):
        told = (
            "The rule of thumb would do without one below {thumb}; computed, at {supply} it takes one to water evenly."
        )
        return case.said(told, {"thumb": rule_of_thumb_pressure()})
    told = "The rule of thumb would do without one below {thumb}; computed, this zone bears no more than {highest}."
    return case.said(told, {"thumb": rule_of_thumb_pressure(), "highest": pressure(highest.pressure)})


def _computed_to_do_without(case: Question) -> Sentence:
    deciding, highest = case.deciding, case.highest
    needs, told = deciding.lowest_with_regulator, "one holds from {needs} only"
    if case.too_high:
        needs, told = highest, "one does not help a zone that bears {needs} at most"
    elif case.below(deciding.lowest_without_regulator):
        needs, told = deciding.lowest_without_regulator, "the zone needs {needs} even without one"
    elif case.below(deciding.works_with_regulator):
        needs, told = deciding.works_with_regulator, "the zone needs {needs} with one"
    facts: dict[str, Measured] = {"thumb": rule_of_thumb_pressure()}
    if needs is None and deciding.works_with_regulator is not None:
        told = "one would not hold on any supply"
    elif needs is None:
        told = case.none_suits
    else:
        facts["needs"] = pressure(needs.pressure)
    return case.said(f"The rule of thumb would fit one from {{thumb}} up; computed, {told}.", facts)
