"""Whether this zone on this supply wants a regulator, which one, and why."""

from __future__ import annotations

import numpy as np

from service.schemas.answers import Advice, RegulatorAnswer, Thresholds
from service.units.sentence import Measured, Sentence
from service.zones.criteria import HEADROOM, RULE_OF_THUMB_PRESSURE, Limits
from service.zones.solved import Solved
from service.zones.thresholds import SupplyThresholds
from service.zones.uniformity import worst_flow_variation


def regulator_state(solved: Solved) -> str:
    """holding, not_holding or absent, in the headline state."""
    place = solved.assembly.regulator
    if place is None:
        return "absent"
    clean = solved.zone.options.filter_state == "clean"
    before = solved.assembly.pressures(solved.headline.flow, clean=clean)[place]
    stage = solved.assembly.stages[place]
    return "holding" if before - stage.loss(solved.headline.flow, clean=clean) >= stage.set_pressure else "not_holding"


def advise(solved: Solved, thresholds: SupplyThresholds, limits: Limits) -> RegulatorAnswer:
    """The regulator block of the answer."""
    supply = solved.assembly.no_flow
    deciding = thresholds.own if thresholds.own_suits else thresholds.at_suggestion
    advice, why = _advice(solved, thresholds, deciding, limits)
    reasons = [*why, *thresholds.missing]
    if not thresholds.own_suits:
        reasons.append(_unsuitable(solved, thresholds))
    reasons += _rule_of_thumb(advice, supply)
    suggested = thresholds.suggested
    return RegulatorAnswer(
        advice=advice,
        state=regulator_state(solved),
        thresholds=thresholds.own,
        supply_pressure=supply,
        flow=solved.headline.flow,
        suits=[one.part.id or one.part.name for one in thresholds.suits],
        suggested_set_pressure=None if suggested is None else suggested.part.set_pressure,
        tolerates=None if thresholds.tolerates is None or np.isinf(thresholds.tolerates[1]) else thresholds.tolerates,
        reasons=reasons,
    )


def _advice(  # noqa: PLR0911 - the first rule that matches wins, one after another
    solved: Solved, thresholds: SupplyThresholds, deciding: Thresholds, limits: Limits
) -> tuple[Advice, list[Sentence]]:
    supply = solved.assembly.no_flow
    highest = min(
        (
            limit.pressure
            for limit in (deciding.highest_without_regulator, deciding.highest_shut_off)
            if limit is not None
        ),
        default=np.inf,
    )
    without = deciding.lowest_without_regulator
    works, holds = deciding.works_with_regulator, deciding.lowest_with_regulator
    facts = {"supply": _pressure(supply), "highest": _pressure(highest)}
    if supply > highest:
        return _too_high(solved, deciding, facts)
    if without is None or supply < without.pressure:
        needs = {} if without is None else {"needs": _pressure(without.pressure)}
        told = (
            "The supply has {supply}, but even without a regulator the farthest outlets need {needs}; ease the "
            "zone instead."
            if needs
            else "At no supply pressure does every outlet get its minimum; ease the zone instead."
        )
        return Advice.REWORK_ZONE, [Sentence(told, {**facts, **needs})]
    if works is None or supply < works.pressure:
        needs = {} if works is None else {"needs": _pressure(works.pressure)}
        told = (
            "With a regulator the zone needs {needs} and the supply has {supply}: it would take pressure that "
            "the outlets need."
            if needs
            else "No regulator leaves the outlets the pressure that they need."
        )
        return Advice.LEAVE_OUT, [Sentence(told, {**facts, **needs})]
    if highest - supply < HEADROOM:
        told = "The supply of {supply} is less than {room} below the {highest} at which a part sees too much."
        return Advice.RECOMMENDED, [Sentence(told, {**facts, "room": _pressure(HEADROOM)})]
    if holds is None or supply < holds.pressure:
        needs = {} if holds is None else {"needs": _pressure(holds.pressure)}
        told = (
            "A regulator would not hold: that takes {needs}, and the supply has {supply}."
            if needs
            else "A regulator would not hold at any supply pressure."
        )
        return Advice.LEAVE_OUT, [Sentence(told, {**facts, **needs})]
    if supply >= RULE_OF_THUMB_PRESSURE:
        told = (
            "The supply of {supply} is at or above the {thumb} from which the trade fits one (common practice, "
            "no source), "
            "and it holds from {holds}."
        )
        return Advice.RECOMMENDED, [
            Sentence(told, {**facts, "thumb": _pressure(RULE_OF_THUMB_PRESSURE), "holds": _pressure(holds.pressure)})
        ]
    evens = _evens_out(solved, thresholds, limits)
    if evens is not None:
        return Advice.RECOMMENDED, [evens]
    told = "The zone works with and without a regulator at {supply}."
    return Advice.OPTIONAL, [Sentence(told, facts)]


def _too_high(solved: Solved, deciding: Thresholds, facts: dict[str, Measured]) -> tuple[Advice, list[Sentence]]:
    """The supply lies above the highest pressure without a regulator."""
    assembly, works = solved.assembly, deciding.works_with_regulator
    place = assembly.regulator if assembly.regulator is not None else len(assembly.stages)
    unprotected = [
        stage.name for stage in assembly.stages[:place] if not stage.regulates and stage.rating < assembly.static
    ]
    over = Sentence("The supply of {supply} is above the {highest} at which a part sees more than its maximum.", facts)
    if works is None or assembly.no_flow < works.pressure:
        needs = Sentence("No regulator helps: what the outlets need does not fit below what the parts stand.", {})
        return Advice.REWORK_ZONE, [over, needs]
    if unprotected:
        before = Sentence(
            "A regulator does not protect what stands before it: {parts}.", {"parts": ", ".join(unprotected)}
        )
        return Advice.REWORK_ZONE, [over, before]
    return Advice.REQUIRED, [over]


def _evens_out(solved: Solved, thresholds: SupplyThresholds, limits: Limits) -> Sentence | None:
    """What to say if the outlets water evenly enough only with a regulator."""
    held = solved.held
    if held is None or not thresholds.own_suits:
        held = None if thresholds.suggested is None else thresholds.suggested.state
    if held is None:
        return None
    loose, tight = worst_flow_variation(solved.without), worst_flow_variation(held)
    if not tight <= limits.flow_variation < loose:
        return None
    return Sentence(
        "Without a regulator the outlets vary by {loose} %, with one by {tight} %; {limit} % is good.",
        {"loose": 100 * loose, "tight": 100 * tight, "limit": 100 * limits.flow_variation},
    )


def _unsuitable(solved: Solved, thresholds: SupplyThresholds) -> Sentence:
    """Both set pressures, where the head's regulator suits no supply."""
    place = solved.assembly.regulator
    own = solved.assembly.stages[place].set_pressure if place is not None else 0.0
    if thresholds.suggested is None:
        return Sentence(
            "The head's regulator is set at {own}, which suits this zone on no supply; none of the catalogue "
            "does either.",
            {"own": _pressure(own)},
        )
    return Sentence(
        "The head's regulator is set at {own}, which suits this zone on no supply; the advice is for one set at "
        "{other}.",
        {"own": _pressure(own), "other": _pressure(thresholds.suggested.part.set_pressure)},
    )


def _rule_of_thumb(advice: Advice, supply: float) -> list[Sentence]:
    """Where the rule of thumb and the computation disagree, both numbers."""
    facts = {"supply": _pressure(supply), "thumb": _pressure(RULE_OF_THUMB_PRESSURE)}
    if supply >= RULE_OF_THUMB_PRESSURE and advice in {Advice.LEAVE_OUT, Advice.OPTIONAL, Advice.REWORK_ZONE}:
        return [Sentence("The rule of thumb would fit one, for {supply} is not below {thumb}.", facts)]
    if supply < RULE_OF_THUMB_PRESSURE and advice in {Advice.REQUIRED, Advice.RECOMMENDED}:
        told = "The rule of thumb would do without one, for {supply} is below {thumb}; this zone differs."
        return [Sentence(told, facts)]
    return []


def _pressure(value: float) -> Measured:
    return Measured(value, "pressure")
