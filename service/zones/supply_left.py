"""What the supply gives a zone, and how much flow is left for another zone at the same time."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np
from scipy.optimize import brentq

from service.parts.loss import stated_loss
from service.schemas.head_answers import FlowLimit, SupplyAnswer
from service.units.sentence import Measured, Sentence
from service.zones.assembly import Assembly
from service.zones.criteria import Limits
from service.zones.solved import Solved
from service.zones.thresholds import SupplyThresholds

MOST_FLOW = 0.5
"""Flow beyond which nothing is said to be left: as much as a request may state. [m³/s]"""

NEAR = 1e-12
"""Error of a flow that is searched for. [m³/s]"""


def supply_block(solved: Solved, thresholds: SupplyThresholds, limits: Limits) -> SupplyAnswer:
    """The supply block of the answer."""
    assembly, flow = solved.assembly, solved.headline.flow
    clean = solved.zone.options.filter_state == "clean"
    found = sorted(_limits(solved, thresholds, limits), key=lambda limit: limit.flow)
    return SupplyAnswer(
        kind=solved.zone.supply.kind,
        pressure=assembly.no_flow,
        pressure_left=assembly.pressures(flow, clean=clean)[_supply_stages(assembly)],
        flow=flow,
        flow_left=found[0].flow if found else None,
        limits=found,
        reasons=list(_in_short(found, solved)),
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


def _supply_stages(assembly: Assembly) -> int:
    """How many stages belong to the supply: another zone takes its water after them."""
    return sum(1 for stage in assembly.stages if stage.device is None)


def _limits(solved: Solved, thresholds: SupplyThresholds, limits: Limits) -> Iterator[FlowLimit]:
    taken = solved.clean.flow + solved.assembly.others
    outlets = _until_outlets_lack(solved.assembly, thresholds)
    if outlets is not None:
        yield outlets
    for what, most, told in _most_in_all(solved, limits):
        why = Sentence(told.template, {"most": Measured(most, "flow"), **told.facts})
        yield FlowLimit(what=what, flow=max(most - taken, 0.0), why=why)


def _most_in_all(solved: Solved, limits: Limits) -> Iterator[tuple[str, float, Sentence]]:
    """Most flow in all that each part of the supply is good for or known to give [m³/s], and why."""
    supply = solved.zone.supply
    if supply.flow_test is not None:
        told = "The flow test ends at {most} in all: what the main gives beyond that is not known."
        yield "flow_test", supply.flow_test.flow, Sentence(told)
    if supply.meter_size is not None:
        most, why = min(meter_limits(solved, limits))
        yield "meter", most, Sentence("The meter should give no more than {most} in all ({why}).", {"why": why})
    if supply.service_line is not None:
        most = limits.velocity * np.pi / 4 * supply.service_line.pipe.inside_diameter**2
        told = "In the service line {most} runs at {speed}, the most that is good for it."
        yield "service_line", most, Sentence(told, {"speed": Measured(limits.velocity, "velocity")})
    if supply.pump_curve is not None:
        yield "pump_curve", supply.pump_curve[-1][0], Sentence("The pump's curve ends at {most}.")


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
        told = "With so much drawn beside it the {outlet}, has just enough, the filter due for cleaning."
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
    """Flow at which what is to spare is used up; it falls from above zero at none to below at `MOST_FLOW`. [m³/s]"""
    return float(brentq(spare, 0.0, MOST_FLOW, xtol=NEAR))


_UNKNOWN = {
    "main": "state a flow test, or the meter and the service line",
    "tank": "state the pipe from the tank as service line",
}
"""What to state where nothing limits the supply, by its kind. A pump's curve always does."""


_TO_WHAT_IS_KNOWN = frozenset({"flow_test", "pump_curve"})
"""Limits of what is known of a supply, not of what it gives."""


def _in_short(limits: list[FlowLimit], solved: Solved) -> Iterator[Sentence]:
    supply = solved.zone.supply
    if not limits:
        told = "Nothing told limits the supply, so what is left for another zone is unknown: {state}."
        yield Sentence(told, {"state": _UNKNOWN[supply.kind]})
        return
    tightest = limits[0]
    told = "No flow is left for another zone at the same time. {why}"
    if tightest.flow > 0.0:
        told = "Another zone can draw {left} at the same time. {why}"
    elif tightest.what in _TO_WHAT_IS_KNOWN:
        told = "No flow is known to be left for another zone at the same time. {why}"
    yield Sentence(told, {"left": Measured(tightest.flow, "flow"), "why": tightest.why})
    if supply.kind == "main" and supply.flow_test is None:
        told = "That takes the main to hold its {static} at any flow: a flow test would tell what it gives."
        yield Sentence(told, {"static": Measured(solved.assembly.no_flow, "pressure")})
