"""What the supply gives a zone, and how much flow is left for another zone at the same time."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from service.parts.loss import stated_loss
from service.schemas.head_answers import FlowLimit, SupplyAnswer
from service.units.sentence import Measured, Sentence
from service.zones.assembly import Assembly
from service.zones.criteria import Limits
from service.zones.solved import Solved
from service.zones.thresholds import SupplyThresholds

MOST_FLOW = 0.5
"""Flow beyond which nothing is said to be left: as much as a request may state. [m³/s]"""

NOTHING = 1e-6
"""Pressure to spare that counts as none. [Pa]"""

MOST_STEPS = 100
"""Steps of a search for a flow; 15 to 30 are usual. [-]"""

NOTHING_LEFT = "No flow is left for another zone at the same time. {why}"


def supply_block(solved: Solved, thresholds: SupplyThresholds, limits: Limits) -> SupplyAnswer:
    """The supply block of the answer."""
    assembly, flow = solved.assembly, solved.headline.flow
    clean = solved.zone.options.filter_state == "clean"
    found = sorted(_limits(solved, thresholds, limits), key=lambda limit: limit.flow)
    return SupplyAnswer(
        kind=_kind(solved),
        pressure=assembly.no_flow,
        pressure_left=assembly.pressures(flow, clean=clean)[_supply_stages(assembly)],
        flow=flow,
        flow_left=found[0].flow if found else None,
        limits=found,
        reasons=[_in_short(found, _kind(solved))],
    )


def flow_left_through_regulator(solved: Solved) -> float | None:
    """Flow that others could still draw through the last regulator while it holds, filter due; None without one. [m³/s]

    Its own range may end sooner.
    """
    assembly, held = solved.assembly, solved.held
    if assembly.regulator is None or held is None:
        return None
    upto = assembly.regulator + 1
    more = _more_flow(assembly, upto, assembly.stages[upto - 1].set_pressure, held.flow)
    device = assembly.stages[upto - 1].device
    stated = None if device is None or device.flow_range is None else device.flow_range[1]
    ends = [] if stated is None else [stated - assembly.sharing - held.flow]
    return max(min([*ends, *([] if more is None else [more])], default=MOST_FLOW), 0.0)


def _kind(solved: Solved) -> str:
    supply = solved.zone.supply
    if supply.static_pressure is not None:
        return "main"
    return "tank" if supply.water_level is not None else "pump"


def _supply_stages(assembly: Assembly) -> int:
    """How many stages belong to the supply: another zone takes its water after them."""
    return sum(1 for stage in assembly.stages if stage.device is None)


def _limits(solved: Solved, thresholds: SupplyThresholds, limits: Limits) -> Iterator[FlowLimit]:
    supply, assembly = solved.zone.supply, solved.assembly
    taken = solved.clean.flow + assembly.others
    outlets = _until_outlets_lack(assembly, thresholds)
    if outlets is not None:
        yield outlets
    if supply.meter_size is not None:
        most, why = min(meter_limits(solved, limits))
        facts: dict[str, Measured | str] = {"most": Measured(most, "flow"), "why": why}
        told = Sentence("The meter should give no more than {most} in all ({why}).", facts)
        yield FlowLimit(what="meter", flow=max(most - taken, 0.0), why=told)
    if supply.service_line is not None:
        most = limits.velocity * np.pi / 4 * supply.service_line.pipe.inside_diameter**2
        facts = {"most": Measured(most, "flow"), "speed": Measured(limits.velocity, "velocity")}
        told = Sentence("In the service line {most} runs at {speed}, the most that is good for it.", facts)
        yield FlowLimit(what="service_line", flow=max(most - taken, 0.0), why=told)
    if supply.pump_curve is not None:
        most = supply.pump_curve[-1][0]
        told = Sentence("The pump's curve ends at {most}.", {"most": Measured(most, "flow")})
        yield FlowLimit(what="pump_curve", flow=max(most - taken, 0.0), why=told)


def meter_limits(solved: Solved, limits: Limits) -> Iterator[tuple[float, str]]:
    """Most flow that the meter should give for hours on end, by each rule. [m³/s]"""
    meter, static = solved.zone.supply.meter_size, solved.assembly.no_flow
    if meter is None:
        return
    yield limits.meter_flow_share * meter.safe_max_flow, f"{100 * limits.meter_flow_share:g} % of its safe maximum"
    yield meter.continuous_flow, "its continuous rating"
    curve, most = stated_loss(meter.loss), limits.meter_loss_share * static
    if most > 0.0 and curve.at(MOST_FLOW) > most:
        yield (
            _most_flow(lambda flow: most - curve.at(flow)),
            f"a loss of {100 * limits.meter_loss_share:g} % of the static pressure",
        )


def _until_outlets_lack(assembly: Assembly, thresholds: SupplyThresholds) -> FlowLimit | None:
    """Flow at which the first outlet here falls to its minimum, the filter due for cleaning."""
    fed, upto = thresholds.fed, _supply_stages(assembly)
    facts: dict[str, Measured | Sentence] = {} if fed is None else {"outlet": fed.decided_by[0]}
    head = Assembly(no_flow=0.0, lift=0.0, stages=assembly.stages[upto:])
    needed = None if fed is None else head.needed(fed.pressure, fed.flow, clean=False)
    more = 0.0 if fed is None or needed is None else _more_flow(assembly, upto, needed, fed.flow)
    if more is None:
        return None
    told = "Some outlet lacks its minimum already, or has just that."
    if more > 0.0:
        told = "Then the {outlet}, has just enough, the filter due for cleaning."
    return FlowLimit(what="outlets", flow=more, why=Sentence(told, facts))


def _more_flow(assembly: Assembly, upto: int, needed: float, flow: float) -> float | None:
    """Flow beside the zone's own that still leaves a pressure after so many stages; None where any does. [m³/s]"""

    def spare(more: float) -> float:
        pressure = assembly.static
        for place, stage in enumerate(assembly.stages[:upto], start=1):
            pressure -= stage.loss(flow + more, clean=False)
            # The last one is asked what reaches it, not what it lets through.
            pressure = pressure if place == upto else min(pressure, stage.set_pressure)
        return pressure - needed

    if spare(0.0) <= 0.0:
        return 0.0
    if spare(MOST_FLOW) >= 0.0:
        return None
    return _most_flow(spare)


def _most_flow(spare: Callable[[float], float]) -> float:
    """Flow at which what is to spare is used up. [m³/s]

    By regula falsi in the Illinois variant: an end that stays a second time counts half, so that both ends close in
    (M. Dowell and P. Jarratt, "A modified regula falsi method for computing the root of an equation", BIT 11, 1971,
    168-174).

    Parameters
    ----------
    spare : falls with flow, from above zero at none to below zero at `MOST_FLOW`
    """
    low, high = 0.0, MOST_FLOW
    above, below = spare(low), spare(high)
    flow, moved = low, 0
    for _ in range(MOST_STEPS):
        flow = high - below * (high - low) / (below - above)
        left = spare(flow)
        if abs(left) <= NOTHING:
            break
        if left > 0.0:
            low, above, below = flow, left, below / 2 if moved > 0 else below
            moved = 1
        else:
            high, below, above = flow, left, above / 2 if moved < 0 else above
            moved = -1
    return flow


_UNKNOWN = {
    "main": "state a flow test, or the meter and the service line",
    "tank": "state the pipe from the tank as service line",
}
"""What to state where nothing limits the supply, by its kind. A pump's curve always does."""


def _in_short(limits: list[FlowLimit], kind: str) -> Sentence:
    if not limits:
        told = "Nothing told limits the supply, so what is left for another zone is unknown: {state}."
        return Sentence(told, {"state": _UNKNOWN[kind]})
    facts: dict[str, Measured | Sentence] = {"left": Measured(limits[0].flow, "flow"), "why": limits[0].why}
    told = "Another zone can draw {left} at the same time. {why}" if limits[0].flow > 0 else NOTHING_LEFT
    return Sentence(told, facts)
