"""Whether a zone wants a regulator: the rules in their order, the first that matches wins."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from service.schemas.head_answers import Advice, Threshold, Thresholds
from service.units.sentence import Measured, Sentence
from service.zones.criteria import HEADROOM, RULE_OF_THUMB_PRESSURE, Limits
from service.zones.solved import Solved
from service.zones.state import State
from service.zones.thresholds import SupplyThresholds
from service.zones.uniformity import worst_flow_variation

Facts = Mapping[str, Measured | Sentence | str | int | float]

Advised = tuple[Advice, list[Sentence]]
"""The advice and why."""

EASE = "shorten or divide its lines, feed them from the centre or use wider pipe"
"""What to do about a zone that asks too much."""


def advised(solved: Solved, thresholds: SupplyThresholds, limits: Limits) -> Advised:
    """The advice for a zone on its supply."""
    case = _Case(solved, thresholds, limits)
    rules = (_too_high, _too_low, _too_low_with_one, _too_near, _would_not_hold, _high_enough, _evener)
    told = "The zone works with a regulator and without one at {supply}: it is yours to choose."
    otherwise: Advised = (Advice.OPTIONAL, [case.said(told)])
    advice, reasons = next((found for rule in rules if (found := rule(case)) is not None), otherwise)
    return advice, [*reasons, *_rule_of_thumb(case, advice)]


@dataclass(frozen=True, slots=True)
class _Case:
    """What the rules look at."""

    solved: Solved
    thresholds: SupplyThresholds
    limits: Limits

    @property
    def supply(self) -> float:
        """S, the no-flow pressure of the source. [Pa]"""
        return self.solved.assembly.no_flow

    @property
    def deciding(self) -> Thresholds:
        """The thresholds that the advice goes by."""
        return self.thresholds.deciding(self.solved.assembly)

    @property
    def by_own(self) -> bool:
        """Whether those are the head's own regulator's."""
        return self.solved.assembly.regulator is not None and self.thresholds.own_suits

    @property
    def highest(self) -> Threshold | None:
        """H, the lower of the two highest."""
        both = (self.deciding.highest_without_regulator, self.deciding.highest_shut_off)
        return min((one for one in both if one is not None), key=lambda one: one.pressure, default=None)

    def said(self, told: str, more: Facts | None = None) -> Sentence:
        """A reason, with the supply's pressure among its facts."""
        return Sentence(told, {"supply": _pressure(self.supply), **(more or {})})

    def below(self, threshold: Threshold | None) -> bool:
        """Whether the supply lies below a threshold, or there is none."""
        return threshold is None or self.supply < threshold.pressure


def _too_high(case: _Case) -> Advised | None:
    """1. The supply is above what some part stands."""
    highest, works = case.highest, case.deciding.works_with_regulator
    if highest is None or case.supply <= highest.pressure:
        return None
    facts = _of(highest, "highest")
    over = case.said("The supply of {supply} is above the {highest} from which {part} sees more than it stands.", facts)
    if works is None:
        told = "No regulator leaves the outlets enough without overloading a part: {ease}."
        return Advice.REWORK_ZONE, [over, case.said(told, {"ease": EASE})]
    if case.below(works):
        told = "With a regulator the zone needs {works}, which the supply does not have: {ease}."
        return Advice.REWORK_ZONE, [over, case.said(told, {"works": _pressure(works.pressure), "ease": EASE})]
    exposed = _before_regulator(case)
    if exposed:
        told = "A regulator does not protect what stands before it ({parts}): use parts rated above {supply}."
        return Advice.REWORK_ZONE, [over, case.said(told, {"parts": ", ".join(exposed)})]
    told = "Keep the regulator: it guards what lies beyond it." if case.by_own else "A regulator guards that: fit one."
    return Advice.REQUIRED, [over, case.said(told)]


def _before_regulator(case: _Case) -> list[str]:
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


def _too_low(case: _Case) -> Advised | None:
    """2. The supply does not do even without a regulator."""
    without = case.deciding.lowest_without_regulator
    if not case.below(without):
        return None
    told = "No supply pressure gives every outlet its minimum: {ease}."
    facts: Facts = {"ease": EASE}
    if without is not None:
        told = "Even without a regulator the zone needs {needs}, for {part}, and the supply has {supply}: {ease}."
        facts = {**facts, **_of(without, "needs")}
    return Advice.REWORK_ZONE, [case.said(told, facts)]


def _too_low_with_one(case: _Case) -> Advised | None:
    """3. A regulator would take pressure that the zone needs."""
    works = case.deciding.works_with_regulator
    if not case.below(works):
        return None
    told = "No regulator leaves the outlets the pressure they need: leave it out."
    facts: Facts = {}
    if works is not None:
        told = (
            "With a regulator the zone needs {needs}, for {part}, and the supply has {supply}: it would take pressure "
            "that the outlets need, so leave it out."
        )
        facts = _of(works, "needs")
    return Advice.LEAVE_OUT, [case.said(told, facts)]


def _too_near(case: _Case) -> Advised | None:
    """4. The supply is nearly too high."""
    highest = case.highest
    if highest is None or highest.pressure - case.supply >= HEADROOM:
        return None
    told = (
        "The supply of {supply} is within {room} of the {highest} from which {part} sees more than it stands, and "
        "mains swing by as much: {do}."
    )
    facts: Facts = {**_of(highest, "highest"), "room": _pressure(HEADROOM), "do": _keep_or_fit(case)}
    return Advice.RECOMMENDED, [case.said(told, facts)]


def _would_not_hold(case: _Case) -> Advised | None:
    """5. A regulator would be nothing but a loss."""
    holds = case.deciding.lowest_with_regulator
    if not case.below(holds):
        return None
    told = "A regulator would not hold on any supply, for one before it is set lower: leave it out."
    facts: Facts = {}
    if holds is not None:
        told = "A regulator holds from {holds} and the supply has {supply}: it would only be a loss, so leave it out."
        facts = {"holds": _pressure(holds.pressure)}
    return Advice.LEAVE_OUT, [case.said(told, facts), *_set_lower(case)]


def _set_lower(case: _Case) -> list[Sentence]:
    """A regulator that suits and would hold on this supply, where there is one."""
    able = [one for one in case.thresholds.suits if one.holds_from is not None and one.holds_from <= case.supply]
    if not able:
        return []
    best = max(able, key=lambda one: one.device.set_pressure)
    facts: Facts = {
        "name": best.name,
        "set": _pressure(best.device.set_pressure),
        "from": _pressure(best.holds_from or 0.0),
    }
    return [case.said("Or take the {name}, which is set at {set} and holds from {from}.", facts)]


def _high_enough(case: _Case) -> Advised | None:
    """6, first part. The supply is high by the rule of thumb."""
    holds = case.deciding.lowest_with_regulator
    if case.supply < RULE_OF_THUMB_PRESSURE or holds is None:
        return None
    told = (
        "The supply of {supply} is not below the {thumb} from which the trade fits a regulator (common practice, no "
        "source), and one holds from {holds}: {do}."
    )
    facts: Facts = {"thumb": _thumb(), "holds": _pressure(holds.pressure), "do": _keep_or_fit(case)}
    return Advice.RECOMMENDED, [case.said(told, facts)]


def _evener(case: _Case) -> Advised | None:
    """6, second part. The outlets water evenly enough only with a regulator."""
    held = _held(case)
    if held is None:
        return None
    loose, tight = worst_flow_variation(case.solved.without), worst_flow_variation(held)
    if not tight <= case.limits.flow_variation < loose:
        return None
    told = "Without a regulator the outlets vary by {loose} % in flow, with one by {tight} %; {limit} % is good: {do}."
    shares: Facts = {"loose": 100 * loose, "tight": 100 * tight, "limit": 100 * case.limits.flow_variation}
    return Advice.RECOMMENDED, [case.said(told, {**shares, "do": _keep_or_fit(case)})]


def _held(case: _Case) -> State | None:
    """The zone behind the regulator that the advice goes by, while it holds."""
    if case.by_own:
        return case.solved.held
    suggested = case.thresholds.suggested
    return None if suggested is None else suggested.state


def _rule_of_thumb(case: _Case, advice: Advice) -> Sequence[Sentence]:
    """Where the rule of thumb and the computation disagree, both numbers."""
    by_thumb = case.supply >= RULE_OF_THUMB_PRESSURE
    computed = advice in {Advice.REQUIRED, Advice.RECOMMENDED}
    if by_thumb == computed:
        return []
    return [_computed_to_need_one(case) if computed else _computed_to_do_without(case)]


def _computed_to_need_one(case: _Case) -> Sentence:
    highest = case.highest
    if highest is None or highest.pressure - case.supply >= HEADROOM:
        told = "The rule of thumb would do without one below {thumb}; computed, at {supply} only one evens this zone."
        return case.said(told, {"thumb": _thumb()})
    told = "The rule of thumb would do without one below {thumb}; computed, this zone stands no more than {highest}."
    return case.said(told, {"thumb": _thumb(), "highest": _pressure(highest.pressure)})


def _computed_to_do_without(case: _Case) -> Sentence:
    deciding, highest = case.deciding, case.highest
    needs, told = deciding.lowest_with_regulator, "one holds from {needs} only"
    if highest is not None and case.supply > highest.pressure:
        needs, told = highest, "one does not help a zone that stands {needs} at most"
    elif case.below(deciding.lowest_without_regulator):
        needs, told = deciding.lowest_without_regulator, "the zone needs {needs} even without one"
    elif case.below(deciding.works_with_regulator):
        needs, told = deciding.works_with_regulator, "the zone needs {needs} with one"
    facts = {"thumb": _thumb()}
    if needs is None:
        told = "none helps this zone at any pressure"
    else:
        facts["needs"] = _pressure(needs.pressure)
    return case.said(f"The rule of thumb would fit one from {{thumb}} up; computed, {told}.", facts)


def _keep_or_fit(case: _Case) -> str:
    return "keep the regulator" if case.by_own else "fit a regulator"


def _of(threshold: Threshold, name: str) -> dict[str, Measured | Sentence]:
    """Facts of a threshold: its pressure under a name, and what decides it."""
    first, *others = threshold.decided_by
    part = Sentence("the {first}", {"first": first})
    if others:
        part = Sentence("the {first} (and {others} more)", {"first": first, "others": len(others)})
    return {name: _pressure(threshold.pressure), "part": part}


def _thumb() -> Measured:
    return _pressure(RULE_OF_THUMB_PRESSURE)


def _pressure(value: float) -> Measured:
    return Measured(value, "pressure")
