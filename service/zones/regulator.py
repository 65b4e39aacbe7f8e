"""The regulator block: whether this zone on this supply wants one, which, and why."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from service.schemas.devices import HeadRegulator
from service.schemas.head_answers import RegulatorAnswer, SuitingRegulator, TolerableSetPressures
from service.units.sentence import Measured, Sentence
from service.zones.criteria import Limits
from service.zones.regulator_advice import advised
from service.zones.set_pressures import Suiting, flow_suits
from service.zones.solved import Solved
from service.zones.supply_left import flow_left_through_regulator
from service.zones.thresholds import SupplyThresholds, greatest_supply, set_pressure


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
        suggested_set_pressure=suggested and suggested.device.set_pressure,
        suggestion=suggested and _told(suggested),
        reasons=[*why, *_reasons(solved, thresholds)],
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


def _reasons(solved: Solved, thresholds: SupplyThresholds) -> Iterator[Sentence]:
    """What there is to say besides the advice: the set pressure, the flow, and why a threshold is left out."""
    if solved.assembly.regulator is not None:
        yield from _own_set_pressure(solved, thresholds)
        yield from _own_flow(solved, thresholds)
    yield from _suggestion(solved, thresholds)
    yield from _left_out(solved, thresholds)


def _own_set_pressure(solved: Solved, thresholds: SupplyThresholds) -> Iterator[Sentence]:
    """Both set pressures, where the head's regulator suits no supply."""
    if thresholds.own_suits:
        return
    suggested, overload = thresholds.suggested, thresholds.own_overload
    facts: dict[str, Measured | Sentence] = {"own": _pressure(set_pressure(solved.assembly))}
    told = "The head's regulator is set at {own}, which leaves the outlets too little"
    if thresholds.fed is not None:
        facts["needs"] = _pressure(thresholds.fed.pressure)
        told += " for the {needs} that the zone inlet needs"
    if overload is not None:
        facts |= {"over": _pressure(overload.over), "part": overload.part}
        told = "The head's regulator is set at {own}, which puts {over} more on the {part} than it stands"
    if suggested is None:
        yield Sentence(f"{told}; no set pressure of the catalogue suits.", facts)
        return
    facts["other"] = _pressure(suggested.device.set_pressure)
    yield Sentence(f"{told}; the advice is for one set at {{other}}.", facts)


def _own_flow(solved: Solved, thresholds: SupplyThresholds) -> Iterator[Sentence]:
    """A regulator made for more or for less flow than runs through it."""
    place, flow = solved.assembly.regulator, solved.headline.flow + solved.assembly.sharing
    device = None if place is None else solved.assembly.stages[place].device
    if not isinstance(device, HeadRegulator) or device.flow_range is None or flow_suits(device, flow):
        return
    least, most = device.flow_range
    facts: dict[str, Measured | str] = {"flow": _flow(flow), "least": _flow(least), "most": _flow(most)}
    told = "The regulator passes {flow} and is made for {least} to {most}: take one for {what}."
    facts["what"] = "low flow" if flow < least else "more flow"
    if thresholds.suggested is not None:
        facts["other"] = thresholds.suggested.name
        told = "The regulator passes {flow} and is made for {least} to {most}: take one for {what}, such as {other}."
    yield Sentence(told, facts)


def _suggestion(solved: Solved, thresholds: SupplyThresholds) -> Iterator[Sentence]:
    suggested = thresholds.suggested
    if suggested is None:
        return
    facts: dict[str, Measured | str] = {
        "name": suggested.name,
        "set": _pressure(suggested.device.set_pressure),
        "below": _pressure(suggested.margin_below),
        "above": _pressure(suggested.margin_above),
        "from": _pressure(suggested.holds_from or 0.0),
        "rating": _pressure(suggested.device.max_pressure or np.inf),
        "supply": _pressure(solved.assembly.no_flow),
    }
    told = "The {name} set at {set} is {below} above what the outlets need"
    if np.isfinite(suggested.margin_above):
        told += " and {above} below the first overload"
    if suggested.holds_from is not None:
        told += ", and holds from a supply of {from}"
    yield Sentence(told + ".", facts)
    if suggested.device.max_pressure is not None and solved.assembly.static > suggested.device.max_pressure:
        told = "But it is rated {rating}, less than the {supply} of the supply: take one of a higher rating."
        yield Sentence(told, facts)


def _left_out(solved: Solved, thresholds: SupplyThresholds) -> Iterator[Sentence]:
    """Why a threshold does not exist."""
    own, fed = thresholds.own, thresholds.fed
    if fed is None:
        told = "No supply of up to {most} gives every outlet its minimum, so there is no lowest one."
        yield Sentence(told, {"most": _pressure(greatest_supply(solved.assembly))})
    elif solved.assembly.regulator is None and thresholds.suggested is None:
        yield _none_suits(thresholds)
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


def _none_suits(thresholds: SupplyThresholds) -> Sentence:
    """Why no regulator of the catalogue suits a zone whose outlets can be fed."""
    fed, range_ = thresholds.fed, thresholds.tolerated
    if fed is not None and range_ is None:
        told = "No set pressure suits: the outlets need {needs} at the zone inlet, and something there stands less."
        return Sentence(told, {"needs": _pressure(fed.pressure)})
    low, high = (0.0, np.inf) if range_ is None else (range_.low, range_.high)
    facts = {"low": _pressure(low), "high": _pressure(high)}
    told = "No regulator of the catalogue is set at {low} or more and made for the flow of this zone."
    if np.isfinite(high):
        told = "No regulator of the catalogue is set from {low} to {high} and made for the flow of this zone."
    return Sentence(told, facts)


def _flow(value: float) -> Measured:
    return Measured(value, "flow")


def _pressure(value: float) -> Measured:
    return Measured(value, "pressure")
