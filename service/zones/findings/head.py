"""Rules about the supply and the devices of the head."""

from __future__ import annotations

from collections.abc import Iterator

from service.schemas.answers import Finding
from service.schemas.devices import HeadFilter, HeadRegulator, HeadValve
from service.units.sentence import Measured
from service.zones.criteria import COMMON_PRACTICE, METER_SOURCE, PART_DATA
from service.zones.findings.case import Case, pressure, say
from service.zones.stage import Stage, at_flow, device_name, stated_loss


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


def meter_not_overrun(case: Case) -> Iterator[Finding]:
    """Flow and loss of the meter."""
    supply, flow = case.solved.zone.supply, case.solved.clean.flow
    meter = supply.meter_size
    if meter is None:
        return
    usable = case.limits.meter_flow_share * meter.safe_max_flow
    limit, why = min((usable, "share of its safe maximum"), (meter.continuous_flow, "continuous rating"))
    if flow > limit * (1 + 1e-9):
        yield say(
            "meter-flow-high",
            "water meter",
            "The zone takes {value} through a meter good for {limit} ({why}), and drip runs long. Split the zone.",
            {"value": _flow(flow), "limit": _flow(limit), "why": why},
            value=_flow(flow),
            limit=_flow(limit),
            source=METER_SOURCE,
        )
    loss = at_flow(stated_loss(meter.loss), flow)
    most = case.limits.meter_loss_share * case.solved.assembly.no_flow
    if loss > most * (1 + 1e-9):
        yield say(
            "meter-loss-high",
            "water meter",
            "The meter loses {value} at {flow}, more than {limit} ({share} % of the static pressure). Split the zone.",
            {
                "value": pressure(loss),
                "flow": _flow(flow),
                "limit": pressure(most),
                "share": 100 * case.limits.meter_loss_share,
            },
            value=pressure(loss),
            limit=pressure(most),
            source=METER_SOURCE,
        )


def devices_in_their_range(case: Case) -> Iterator[Finding]:
    """The flow of the zone suits each device, and lies within its loss table."""
    for stage in case.solved.assembly.stages:
        if stage.device is None:
            continue
        yield from _flow_in_range(case, stage)
        yield from _loss_known(case, stage)


def _flow_in_range(case: Case, stage: Stage) -> Iterator[Finding]:
    device, least, most = stage.device, case.solved.due.flow, case.solved.clean.flow
    if device is None:
        return
    if device.flow_range is None:
        if isinstance(device, HeadValve):
            told = (
                "The {where} states no flow range. A diaphragm valve may fail to open or close below its least "
                "flow; check {flow}."
            )
            yield say(
                "valve-range-unstated",
                stage.name,
                told,
                {"flow": _flow(least)},
                source="from memory: valve data sheets",
            )
        return
    low, high = device.flow_range
    why = "a diaphragm valve may not open or close" if isinstance(device, HeadValve) else "it may not work as stated"
    if least < low * (1 - 1e-9):
        yield say(
            "device-flow-low",
            stage.name,
            "The zone takes {value}, below the {limit} from which the {where} works: {why}. Use one for low flow.",
            {"value": _flow(least), "limit": _flow(low), "why": why},
            value=_flow(least),
            limit=_flow(low),
            source=PART_DATA,
        )
    if most > high * (1 + 1e-9):
        yield say(
            "device-flow-high",
            stage.name,
            "The zone takes {value}, above the {limit} that the {where} is made for. Use a larger one or split "
            "the zone.",
            {"value": _flow(most), "limit": _flow(high)},
            value=_flow(most),
            limit=_flow(high),
            source=PART_DATA,
        )


def _loss_known(case: Case, stage: Stage) -> Iterator[Finding]:
    device, flow = stage.device, case.solved.clean.flow
    if device is None:
        return
    if device.loss is None:
        told = "The {where} states no loss and is taken to lose nothing; take its loss at {flow} from its data sheet."
        yield say("device-loss-unstated", stage.name, told, {"flow": _flow(flow)}, source=PART_DATA)
        return
    if device.loss.table is None:
        return
    last = device.loss.table[-1][0]
    if flow > last * (1 + 1e-9):
        yield say(
            "device-curve-passed",
            stage.name,
            "At {value} the loss table of the {where}, which ends at {limit}, is carried on with the square of flow.",
            {"value": _flow(flow), "limit": _flow(last)},
            value=_flow(flow),
            limit=_flow(last),
            source=PART_DATA,
        )
    if device.may_fall and device.loss.falls():
        told = "The loss table of the {where} falls as flow grows; the higher loss was used throughout, which is safe."
        yield say("backflow-curve-falls", stage.name, told, {}, source=PART_DATA)


def head_in_order(case: Case) -> Iterator[Finding]:
    """Backflow preventer, valve, filter, regulator, as water meets them."""
    head = case.solved.zone.head
    for earlier, device in enumerate(head):
        for later in head[earlier + 1 :]:
            if isinstance(device, HeadRegulator) and isinstance(later, HeadValve | HeadFilter):
                told = (
                    "The {where} stands before the {other}. The usual order is backflow preventer, valve, "
                    "filter, regulator, "
                    "so that the regulator holds the pressure of the pipes and clean water runs through it."
                )
                yield say(
                    "head-order", device_name(device), told, {"other": device_name(later)}, source=COMMON_PRACTICE
                )
            if isinstance(device, HeadFilter) and isinstance(later, HeadValve):
                told = (
                    "The {where} stands before the {other} and is always under pressure. The usual order puts "
                    "the valve first."
                )
                yield say(
                    "head-order", device_name(device), told, {"other": device_name(later)}, source=COMMON_PRACTICE
                )


def _flow(value: float) -> Measured:
    return Measured(value, "flow")
