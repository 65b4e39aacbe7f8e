"""The regulator block: whether this zone on this supply wants one, which, and why."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from service.schemas.devices import HeadRegulator
from service.schemas.head_answers import RegulatorAnswer, SuitingRegulator, TolerableSetPressures
from service.units.sentence import Measured, Sentence
from service.zones.criteria import Limits
from service.zones.regulator_advice import advised
from service.zones.set_pressures import Suiting, Unlisted, flow_suits
from service.zones.solved import Solved
from service.zones.supply_left import flow_left_through_regulator
from service.zones.thresholds import SupplyThresholds, greatest_supply, set_pressure

ALIKE = 1.005
"""Ratio of two flows that read alike. [-]"""


def regulator_state(solved: Solved) -> str:
    """holding, not_holding or absent, in the headline state."""
    place = solved.assembly.regulator
    if place is None:
        return "absent"
    clean = solved.zone.options.filter_state == "clean"
    before = solved.assembly.pressures(solved.headline.flow, clean=clean)[place]
    stage = solved.assembly.stages[place]
    return "holding" if before - stage.loss(solved.headline.flow, clean=clean) >= stage.set_pressure else "not_holding"


def regulator_block(solved: Solved, thresholds: SupplyThresholds, limits: Limits) -> RegulatorAnswer:
    """The regulator block of the answer."""
    advice, why = advised(solved, thresholds, limits)
    suggested, range_ = thresholds.suggested, thresholds.tolerated
    return RegulatorAnswer(
        advice=advice,
        state=regulator_state(solved),
        thresholds=thresholds.own,
        supply_pressure=solved.assembly.no_flow,
        flow=solved.headline.flow + solved.assembly.sharing,
        flow_left=flow_left_through_regulator(solved),
        tolerates=range_ and TolerableSetPressures(least=range_.low, most=_finite(range_.high)),
        suits=[_told(one) for one in thresholds.suits],
        suggested_set_pressure=suggested and suggested.part.set_pressure,
        suggestion=suggested and _told(suggested),
        reasons=[*why, *_reasons(solved, thresholds, limits)],
    )


def _told(one: Suiting) -> SuitingRegulator:
    least, most = one.part.flow_range or (None, None)
    return SuitingRegulator(
        part=one.name,
        set_pressure=one.part.set_pressure,
        least_flow=least,
        most_flow=most,
        margin_below=one.margin_below,
        margin_above=_finite(one.margin_above),
        holds_from=one.holds_from,
    )


def _finite(value: float) -> float | None:
    return value if np.isfinite(value) else None


def _reasons(solved: Solved, thresholds: SupplyThresholds, limits: Limits) -> Iterator[Sentence]:
    """What there is to say besides the advice: which regulator suits, and why a threshold is left out."""
    if solved.assembly.regulator is not None:
        yield from _standing(solved, thresholds, limits)
    if thresholds.suggested is not None:
        yield from _suggestion(solved, thresholds, thresholds.suggested)
    elif thresholds.unlisted is not None:
        yield _to_ask_for(thresholds.unlisted)
    yield from _left_out(solved, thresholds)


def _standing(solved: Solved, thresholds: SupplyThresholds, limits: Limits) -> Iterator[Sentence]:
    """What the head's regulator lacks: it suits no supply, or not this flow, or another one leaves more in hand."""
    standing, suggested = thresholds.standing, thresholds.suggested
    if not thresholds.own_suits:
        yield from _suits_no_supply(solved, thresholds)
    elif standing is not None and (suggested is None or not suggested.own):
        yield from _little_in_hand(standing, limits)
    yield from _made_for_other_flow(solved, suggested)


def _suits_no_supply(solved: Solved, thresholds: SupplyThresholds) -> Iterator[Sentence]:
    """Both set pressures, where the head's regulator suits no supply."""
    suggested, overload, lack = thresholds.suggested, thresholds.own_overload, thresholds.own_lack
    facts: dict[str, Measured | Sentence] = {"own": _pressure(set_pressure(solved.assembly))}
    if overload is not None:
        facts |= {"over": _pressure(overload.over), "part": overload.part}
        told = "The head's regulator is set at {own}, which puts {over} more on the {part} than it bears"
    elif lack is not None:
        facts |= {"needs": _pressure(lack.pressure), "place": lack.decided_by[0]}
        told = "The head's regulator is set at {own}, which lets air in at {place}: the zone inlet needs {needs}"
    elif thresholds.fed is not None:
        facts |= {"needs": _pressure(thresholds.fed.pressure)}
        told = "The head's regulator is set at {own}, which is too little for the {needs} that the zone inlet needs"
    else:  # no pressure feeds this zone
        return
    if suggested is None:
        yield Sentence(f"{told}; none of the catalogue suits.", facts)
        return
    facts["other"] = _pressure(suggested.part.set_pressure)
    yield Sentence(f"{told}; the advice is for one set at {{other}}.", facts)


def _little_in_hand(standing: Suiting, limits: Limits) -> Iterator[Sentence]:
    """By how little the head's regulator misses what the zone needs or bears."""
    margin, above = limits.pressure_margin, standing.margin_above
    facts = {"below": _pressure(standing.margin_below), "above": _pressure(abs(above)), "margin": _pressure(margin)}
    if standing.margin_below < margin:
        yield Sentence("The head's regulator leaves the zone {below}, where {margin} should be in hand.", facts)
    elif above < 0.0:
        yield Sentence("The head's regulator puts {above} more on some part than it bears by what is assumed.", facts)
    elif above < margin:
        told = "The head's regulator is set {above} below the first overload, where {margin} should be in hand."
        yield Sentence(told, facts)


def _made_for_other_flow(solved: Solved, suggested: Suiting | None) -> Iterator[Sentence]:
    """The head's regulator made for more or for less flow than runs through it while it holds."""
    place, held = solved.assembly.regulator, solved.held
    if place is None or held is None or held.flow <= 0.0:
        return
    device, flow = solved.assembly.stages[place].device, held.flow + solved.assembly.sharing
    if not isinstance(device, HeadRegulator) or device.flow_range is None or flow_suits(device, flow):
        return
    least, most = device.flow_range
    facts: dict[str, Measured | str] = {"flow": _flow(flow), "least": _flow(least), "most": _flow(most)}
    told = "The head's regulator passes {flow} and is made for {least} to {most}: take one for {what}"
    facts["what"] = "low flow" if flow < least else "more flow"
    if suggested is not None:
        told += ", such as {other}"
        facts["other"] = suggested.name
    yield Sentence(told + ".", facts)


def _suggestion(solved: Solved, thresholds: SupplyThresholds, suggested: Suiting) -> Iterator[Sentence]:
    """How the suggested regulator stands between what the zone needs and what it bears."""
    range_ = thresholds.tolerated
    facts: dict[str, Measured | str] = {
        "name": suggested.name,
        "set": _pressure(suggested.part.set_pressure),
        "below": _pressure(suggested.margin_below),
        "need": "it takes to keep air out" if range_ is not None and range_.primed else "the outlets need",
        "above": _pressure(suggested.margin_above),
        "from": _pressure(suggested.holds_from or 0.0),
        "rating": _pressure(suggested.part.max_pressure or np.inf),
        "supply": _pressure(solved.assembly.no_flow),
    }
    told = "The {name} set at {set} is {below} above what {need}"
    if np.isfinite(suggested.margin_above):
        told += " and {above} below the first overload"
    if suggested.holds_from is not None:
        told += ", and holds from a supply of {from}"
    yield Sentence(told + ".", facts)
    if not suggested.bears:
        told = "But it is rated {rating}, less than the {supply} of the supply: take one of a higher rating."
        yield Sentence(told, facts)


def _to_ask_for(unlisted: Unlisted) -> Sentence:
    """The regulator that would suit, and what of it the catalogue lacks."""
    range_, (least, most) = unlisted.tolerated, unlisted.flows
    facts = {
        "low": _pressure(range_.low),
        "high": _pressure(range_.high),
        "least": _flow(least),
        "most": _flow(most),
    }
    told = "One set from {low} to {high} and made for " if np.isfinite(range_.high) else "One set at {low} or more for "
    told += "{least}" if most <= least * ALIKE else "{least} to {most}, more the higher it is set,"
    told += " would suit: of the catalogue "
    return Sentence(told + ("none set so is made for that." if unlisted.so_set else "none is set so."), facts)


def _left_out(solved: Solved, thresholds: SupplyThresholds) -> Iterator[Sentence]:
    """Why a threshold does not exist."""
    own, fed = thresholds.own, thresholds.fed
    if fed is None:
        told = "No supply of up to {most} gives every outlet its minimum, so there is no lowest one."
        yield Sentence(told, {"most": _pressure(greatest_supply(solved.assembly))})
    elif solved.assembly.regulator is None and thresholds.tolerated is None:
        told = "No set pressure suits: the outlets need {needs} at the zone inlet, and something there bears less."
        yield Sentence(told, {"needs": _pressure(fed.pressure)})
    elif own.lowest_with_regulator is None and own.works_with_regulator is not None:
        told = "The last regulator never holds its {set}, for one before it is set lower."
        yield Sentence(told, {"set": _pressure(set_pressure(solved.assembly))})
    if own.highest_without_regulator is None:
        yield Sentence("No part states a greatest pressure that any supply reaches, so there is no highest one.")
    if own.highest_shut_off is None:
        yield Sentence("No device and no pipe without outlets states a rating, so shut off there is no highest one.")
    low, high = own.lowest_without_regulator, own.highest_without_regulator
    if low is not None and high is not None and high.pressure < low.pressure:
        told = "Without a regulator no supply works: the outlets need {low}, and above {high} the {part} sees too much."
        both: dict[str, Measured | Sentence] = {
            "low": _pressure(low.pressure),
            "high": _pressure(high.pressure),
            "part": high.decided_by[0],
        }
        yield Sentence(told, both)


def _flow(value: float) -> Measured:
    return Measured(value, "flow")


def _pressure(value: float) -> Measured:
    return Measured(value, "pressure")
