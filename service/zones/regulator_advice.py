"""Whether a zone wants a regulator: the rules in their order, the first that matches wins."""

from __future__ import annotations

from service.schemas.head_answers import Advice
from service.units.sentence import Sentence
from service.zones.causes import lost_in_pipe, made_by_heights
from service.zones.criteria import HEADROOM, RULE_OF_THUMB_PRESSURE, Limits
from service.zones.outlet_bands import OutletBands
from service.zones.regulator_evens import mended_by_regulator
from service.zones.regulator_question import Facts, Question, of_threshold, pressure, rule_of_thumb_pressure
from service.zones.rule_of_thumb import against_rule_of_thumb
from service.zones.solved import Solved
from service.zones.state import first_least
from service.zones.thresholds import SupplyThresholds

Advised = tuple[Advice, list[Sentence]]
"""The advice and why."""

EASE = "shorten or divide its lines, feed them from the centre or use wider pipe"
BY_HEIGHT = "split it by height"
LESS_TAKEN = "raise the pressure, take less of it in the head, or split the zone"
"""What to do about a zone that asks too much, by where its pressure goes."""


def advised(solved: Solved, thresholds: SupplyThresholds, limits: Limits) -> Advised:
    """The advice for a zone on its supply."""
    case = Question(solved, thresholds, limits)
    rules = (_too_high, _too_low, _too_low_with_one, _too_near, _would_not_hold, _high_enough, _evener)
    told = "The zone works with a regulator and without one at {supply}: it is yours to choose."
    otherwise: Advised = (Advice.OPTIONAL, [case.said(told)])
    advice, reasons = next((found for rule in rules if (found := rule(case)) is not None), otherwise)
    return advice, [*reasons, *against_rule_of_thumb(case, advice)]


def _too_high(case: Question) -> Advised | None:
    """1. The supply is above what some part bears."""
    highest, works, without = case.highest, case.deciding.works_with_regulator, case.deciding.lowest_without_regulator
    if highest is None or not case.too_high:
        return None
    facts = of_threshold(highest, "highest")
    over = case.said("The supply of {supply} is above the {highest} from which {part} sees more than it bears.", facts)
    if works is None and (case.thresholds.unlisted is None or case.below(without)):
        told = "No regulator leaves the outlets enough without overloading a part: {ease}."
        ease = BY_HEIGHT if made_by_heights(case.solved.without) else EASE
        return Advice.REWORK_ZONE, [over, case.said(told, {"ease": ease})]
    if works is not None and case.below(works):
        told = "With a regulator the zone needs {works}, which the supply does not have: {ease}."
        return Advice.REWORK_ZONE, [over, case.said(told, {"works": pressure(works.pressure), "ease": EASE})]
    exposed = _before_regulator(case)
    if exposed:
        told = "A regulator does not protect what stands before it ({parts}): use parts rated above {supply}."
        return Advice.REWORK_ZONE, [over, case.said(told, {"parts": ", ".join(exposed)})]
    return Advice.REQUIRED, [over, case.said("A regulator guards what lies beyond it: {do}.", {"do": case.to_do})]


def _before_regulator(case: Question) -> list[str]:
    """Parts overloaded by the supply that the regulator does not stand before."""
    assembly = case.solved.assembly
    found = [part.name for part in assembly.parts if case.supply > part.most]
    if case.by_own and assembly.regulator is not None:
        stages, pressures = assembly.stages[: assembly.regulator], assembly.shut_off_pressures()
    else:  # the suggested one stands last
        stages = assembly.without_regulators().stages
        pressures = [assembly.static] * len(stages)
    return found + [
        stage.name
        for stage, pressure in zip(stages, pressures, strict=False)
        if not stage.regulates and pressure > stage.rating
    ]


def _too_low(case: Question) -> Advised | None:
    """2. The supply does not do even without a regulator."""
    without = case.deciding.lowest_without_regulator
    if not case.below(without):
        return None
    told = "No supply pressure gives every outlet its minimum: {ease}."
    facts: Facts = {"ease": _ease(case)}
    if without is not None:
        told = "Even without a regulator the zone needs {needs}, for {part}, and the supply has {supply}: {ease}."
        facts = {**facts, **of_threshold(without, "needs")}
    return Advice.REWORK_ZONE, [case.said(told, facts)]


def _ease(case: Question) -> str:
    """What to do about a zone that lacks pressure without a regulator: wider pipe helps only where pipe takes it."""
    state, minimum = case.solved.without, OutletBands.of(case.solved.pipework).minimum
    worst = first_least(state.outlet_pressure - minimum)
    return EASE if lost_in_pipe(state, worst, float(minimum[worst])) else LESS_TAKEN


def _too_low_with_one(case: Question) -> Advised | None:
    """3. A regulator would take pressure that the zone needs."""
    works = case.deciding.works_with_regulator
    if not case.below(works):
        return None
    if works is None:
        told = "At {supply} every outlet is fed without a regulator, and {none}: leave it out."
        return Advice.LEAVE_OUT, [case.said(told, {"none": case.none_suits})]
    told = (
        "With a regulator the zone needs {needs}, for {part}, and the supply has {supply}: it would take pressure that "
        "the outlets need, so leave it out."
    )
    return Advice.LEAVE_OUT, [case.said(told, of_threshold(works, "needs"))]


def _too_near(case: Question) -> Advised | None:
    """4. The supply is nearly too high."""
    highest = case.highest
    if highest is None or not case.too_near:
        return None
    told = (
        "The supply of {supply} is within {room} of the {highest} from which {part} sees more than it bears, and mains "
        "swing by as much: {do}."
    )
    facts: Facts = {**of_threshold(highest, "highest"), "room": pressure(HEADROOM), "do": case.to_do}
    return Advice.RECOMMENDED, [case.said(told, facts)]


def _would_not_hold(case: Question) -> Advised | None:
    """5. A regulator would be nothing but a loss."""
    holds = case.deciding.lowest_with_regulator
    if not case.below(holds):
        return None
    told = "A regulator would not hold on any supply, for one before it is set lower: leave it out."
    facts: Facts = {}
    if holds is not None:
        told = "A regulator holds from {holds} and the supply has {supply}: it would only be a loss, so leave it out."
        facts = {"holds": pressure(holds.pressure)}
    suggested = case.thresholds.suggested
    if suggested is not None and suggested.holds_on(case.supply):
        told += " Or take the {other}, which would hold."
        facts = {**facts, "other": suggested.name}
    return Advice.LEAVE_OUT, [case.said(told, facts)]


def _high_enough(case: Question) -> Advised | None:
    """6, first part. The supply is high by the rule of thumb."""
    holds = case.deciding.lowest_with_regulator
    if case.supply < RULE_OF_THUMB_PRESSURE or holds is None:
        return None
    told = (
        "The supply of {supply} is not below the {thumb} from which the trade fits a regulator (common practice, no "
        "source), and one holds from {holds}: {do}."
    )
    facts: Facts = {"thumb": rule_of_thumb_pressure(), "holds": pressure(holds.pressure), "do": case.to_do}
    return Advice.RECOMMENDED, [case.said(told, facts)]


def _evener(case: Question) -> Advised | None:
    """6, second part. The outlets water evenly enough only with a regulator."""
    mended = mended_by_regulator(case)
    if mended is None:
        return None
    told = "Without a regulator emission uniformity is {loose} %, with one {tight} %; {limit} % is asked: {do}."
    if mended.figure == "flow_variation":
        told = "Without a regulator outlets vary by {loose} % in flow, with one by {tight} %; {limit} % is good: {do}."
    shares: Facts = {"loose": mended.without, "tight": mended.with_one, "limit": mended.limit, "do": case.to_do}
    return Advice.RECOMMENDED, [case.said(told, shares)]
