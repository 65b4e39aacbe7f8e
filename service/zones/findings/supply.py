"""Rules about what feeds the zone: how well it is known, and what meter and service line bear."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from service.parts.loss import stated_loss
from service.schemas.answers import Finding
from service.units.sentence import Measured, Sentence
from service.zones.criteria import COMMON_PRACTICE, METER_SOURCE, PART_DATA, VELOCITY_SOURCE
from service.zones.findings.case import Case, pressure, say


def supply_tested(case: Case) -> Iterator[Finding]:
    """A static pressure alone does not say what is left when water flows."""
    supply = case.solved.zone.supply
    known = supply.flow_test is not None or supply.meter_size is not None or supply.service_line is not None
    if supply.static_pressure is None or known:
        return
    yield say(
        "supply-untested",
        "supply",
        "Only the static pressure of {value} is known, so the supply is taken to hold it at {flow}. "
        "Measure the pressure left at a known flow, or state the meter and the service line.",
        {"value": pressure(supply.static_pressure), "flow": _flow(case.solved.headline.flow)},
        value=pressure(supply.static_pressure),
        source=COMMON_PRACTICE,
    )


def supply_known_so_far(case: Case) -> Iterator[Finding]:
    """The flow lies within the flow test or the pump's curve."""
    supply, flow = case.solved.zone.supply, _drawn(case)
    if supply.flow_test is not None:
        last, what = supply.flow_test.flow, "flow test"
    elif supply.pump_curve is not None:
        last, what = supply.pump_curve[-1][0], "pump curve"
    else:
        return
    if flow > last * (1 + 1e-9):
        yield say(
            "supply-curve-passed",
            "supply",
            "At {value} in all the {what}, which ends at {limit}, is carried on beyond what was measured. Test at a "
            "larger flow.",
            {"value": _flow(flow), "limit": _flow(last), "what": what},
            value=_flow(flow),
            limit=_flow(last),
            source=PART_DATA,
        )


def meter_not_overrun(case: Case) -> Iterator[Finding]:
    """Flow and loss of the meter, whatever else draws water through it at the same time."""
    meter, flow, alone = case.solved.zone.supply.meter_size, _drawn(case), case.solved.clean.flow
    if meter is None:
        return
    usable = case.limits.meter_flow_share * meter.safe_max_flow
    limit, why = min((usable, "share of its safe maximum"), (meter.continuous_flow, "continuous rating"))
    if flow > limit * (1 + 1e-9):
        yield say(
            "meter-flow-high",
            "water meter",
            "{value} would run through a meter good for {limit} ({why}), and drip runs long. {do}",
            {"value": _flow(flow), "limit": _flow(limit), "why": why, "do": _do(case, too_much_alone=alone > limit)},
            value=_flow(flow),
            limit=_flow(limit),
            source=METER_SOURCE,
        )
    curve = stated_loss(meter.loss)
    loss = curve.at(flow)
    most = case.limits.meter_loss_share * case.solved.assembly.no_flow
    if loss > most * (1 + 1e-9):
        yield say(
            "meter-loss-high",
            "water meter",
            "The meter loses {value} at {flow}, more than {limit} ({share} % of the static pressure). {do}",
            {
                "value": pressure(loss),
                "flow": _flow(flow),
                "limit": pressure(most),
                "share": 100 * case.limits.meter_loss_share,
                "do": _do(case, too_much_alone=curve.at(alone) > most),
            },
            value=pressure(loss),
            limit=pressure(most),
            source=METER_SOURCE,
        )


def service_line_not_too_fast(case: Case) -> Iterator[Finding]:
    """Velocity in the service line, as in any other pipe."""
    line, limit = case.solved.zone.supply.service_line, case.limits.velocity
    if line is None:
        return
    velocity = _drawn(case) / (np.pi / 4 * line.pipe.inside_diameter**2)
    if velocity > limit * (1 + 1e-9):
        value, most = Measured(velocity, "velocity"), Measured(limit, "velocity")
        yield say(
            "velocity-high",
            "service line",
            "Water runs at {value} in the {where}; keep it under {limit}: use the next size up or divide the flow.",
            {"value": value, "limit": most},
            value=value,
            limit=most,
            source=VELOCITY_SOURCE,
        )


def _do(case: Case, *, too_much_alone: bool) -> Sentence:
    """What to do about too much flow, be it the zone's own or that of others beside it."""
    if too_much_alone:
        return Sentence("Split the zone.")
    return Sentence("Do not run it while others draw {others}.", {"others": _flow(case.solved.assembly.others)})


def _drawn(case: Case) -> float:
    """Flow drawn from the supply in all, the filter clean. [m³/s]"""
    return case.solved.clean.flow + case.solved.assembly.others


def _flow(value: float) -> Measured:
    return Measured(value, "flow")
