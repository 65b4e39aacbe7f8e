"""Rules about the devices of the head: flows, losses, order."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from service.hydraulics.devices import FixedLoss, SumLoss
from service.parts.loss import LossTable
from service.schemas.answers import Finding, Severity
from service.schemas.devices import (
    HeadBackflowPreventer,
    HeadDevice,
    HeadFilter,
    HeadInjector,
    HeadRegulator,
    HeadValve,
)
from service.units.sentence import Measured, Sentence
from service.zones.criteria import COMMON_PRACTICE, PART_DATA
from service.zones.findings.case import Case, pressure, say
from service.zones.stage import Stage, device_name
from service.zones.vacuum_breakers import breaker_kind


def devices_in_their_range(case: Case) -> Iterator[Finding]:
    """The flow of the zone suits each device, and lies within its loss table."""
    flows = case.solved.clean.flow > 0.0  # a zone without water is told so, and its devices are not to blame
    for stage in case.solved.assembly.stages:
        if stage.device is None:
            continue
        yield from _flow_in_range(case, stage) if flows else ()
        yield from _loss_known(case, stage)


def _flow_in_range(case: Case, stage: Stage) -> Iterator[Finding]:
    device, least, most = stage.device, case.solved.due.flow + stage.others, case.solved.clean.flow + stage.others
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
            "{value} runs through the {where}, below the {limit} from which it works: {why}. Use one for low flow.",
            {"value": _flow(least), "limit": _flow(low), "why": why},
            value=_flow(least),
            limit=_flow(low),
            source=PART_DATA,
        )
    if most > high * (1 + 1e-9):
        yield say(
            "device-flow-high",
            stage.name,
            "{value} runs through the {where}, above the {limit} it is made for. Use a larger one or {do}.",
            {"value": _flow(most), "limit": _flow(high), "do": _ease(stage, too_much_alone=most - stage.others > high)},
            value=_flow(most),
            limit=_flow(high),
            source=PART_DATA,
        )


def _ease(stage: Stage, *, too_much_alone: bool) -> Sentence:
    """What else to do about too much flow through a device, be it the zone's own or that of others beside it."""
    if too_much_alone:
        return Sentence("split the zone")
    return Sentence("do not run the zone while others draw {others} through it", {"others": _flow(stage.others)})


def _loss_known(case: Case, stage: Stage) -> Iterator[Finding]:
    device, flow = stage.device, case.solved.clean.flow + stage.others
    if device is None:
        return
    if device.loss is None:
        told = "The {where} states no loss and is taken to lose nothing; take its loss at {flow} from its data sheet."
        yield say("device-loss-unstated", stage.name, told, {"flow": _flow(flow)}, source=PART_DATA)
        return
    if device.loss.table is None:
        return
    last = device.loss.table[-1][0]
    if isinstance(device, HeadBackflowPreventer) and device.kind in _SPRUNG:
        yield from _springs_counted(case, stage, device.loss.table)
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
    if device.may_fall:
        yield from _higher_loss_used(stage, device.loss.table, flow)


def _higher_loss_used(stage: Stage, table: LossTable, flow: float) -> Iterator[Finding]:
    """A table that loses less at this flow than at some smaller one."""
    flows, losses = np.array([row for row in table if row[0] > 0.0]).T
    used, read = (float(np.interp(flow, flows, column)) for column in (np.maximum.accumulate(losses), losses))
    if flow <= flows[0] or used <= read * (1 + 1e-9):
        return
    yield say(
        "backflow-curve-falls",
        stage.name,
        "The loss table of the {where} falls as flow grows: at {flow} the {used} of its higher part was taken for "
        "{read}, which is safe.",
        {"flow": _flow(flow), "used": pressure(used), "read": pressure(read)},
        source=PART_DATA,
    )


_SPRUNG = frozenset({"pressure_vacuum_breaker", "double_check", "reduced_pressure"})
"""Kinds of preventer whose springs hold pressure back at the least of flows. Common practice, no source."""


def _springs_counted(case: Case, stage: Stage, table: LossTable) -> Iterator[Finding]:
    """A table that begins above the flow of the zone, and so leaves out what springs hold back."""
    flow = case.solved.clean.flow + stage.others
    first, known = next(row for row in table if row[0] > 0.0)
    if not 0.0 < flow < first * (1 - 1e-9):
        return
    counted = stage.clean.at(case.solved.clean.flow)
    spared = _spared(case, stage, known - counted)
    yield say(
        "device-curve-passed",
        stage.name,
        "At {value} the loss table of the {where}, which begins at {limit}, is read on a straight line from no flow: "
        "{counted}. Its springs may hold back the {known} of the first row all the same, which the outlets {spared}.",
        {
            "value": _flow(flow),
            "limit": _flow(first),
            "counted": pressure(counted),
            "known": pressure(known),
            "spared": "can spare" if spared else "cannot well spare: take the true loss from its data sheet",
        },
        value=_flow(flow),
        limit=_flow(first),
        severity=None if spared else Severity.CAUTION,
        source=COMMON_PRACTICE,
    )


def _spared(case: Case, stage: Stage, more: float) -> bool:
    """Whether the outlets keep their margin if a device takes so much more [Pa]; a regulator may make up for it."""
    solved, state = case.solved, case.solved.headline
    clean = solved.zone.options.filter_state == "clean"
    taking = replace(
        stage, clean=SumLoss((stage.clean, FixedLoss(more))), dirty=SumLoss((stage.dirty, FixedLoss(more)))
    )
    stages = tuple(taking if one is stage else one for one in solved.assembly.stages)
    left, still = (
        assembly.pressures(state.flow, clean=clean)[-1]
        for assembly in (solved.assembly, replace(solved.assembly, stages=stages))
    )
    spare = float(state.outlet_pressure[case.critical] - case.bands.minimum[case.critical])
    return still == left or spare - (left - still) >= case.limits.pressure_margin


_USUAL_ORDER = (HeadBackflowPreventer, HeadValve, HeadFilter, HeadRegulator)
"""Backflow preventer, valve, filter, regulator. Common practice, no source."""

_WHY_FIRST = {
    (
        HeadRegulator,
        HeadValve,
    ): "so that the regulator rests when the valve is shut and holds the pressure of the pipes",
    (HeadRegulator, HeadFilter): "so that clean water runs through the regulator and the filter takes none of its "
    "pressure",
    (HeadInjector, HeadBackflowPreventer): "so that nothing that is injected can reach the supply",
}
"""What it is good for that the second of a pair stands before the first: the pairs whose order is worth a caution."""


def head_in_order(case: Case) -> Iterator[Finding]:
    """The devices stand in the order in which water should meet them."""
    head = case.solved.zone.head
    for earlier, device in enumerate(head):
        for later in head[earlier + 1 :]:
            why = _WHY_FIRST.get((type(device), type(later)))
            if why is None and not _swapped(device, later):
                continue
            yield say(
                "head-order",
                device_name(device),
                "The {where} stands before the {other}; the {other} should come first{why}. The usual order is "
                "backflow preventer, valve, filter, regulator.",
                {"other": device_name(later), "why": "" if why is None else f", {why}"},
                severity=Severity.NOTE if why is None else None,
                source=COMMON_PRACTICE,
            )


def _swapped(device: HeadDevice, later: HeadDevice) -> bool:
    """Whether two devices stand in each other's place. An atmospheric vacuum breaker goes after the valve."""
    if breaker_kind(device) == "atmospheric" or breaker_kind(later) == "atmospheric":
        return False
    places = [_USUAL_ORDER.index(type(one)) for one in (device, later) if type(one) in _USUAL_ORDER]
    return len(places) == 2 and places[0] > places[1]


def _flow(value: float) -> Measured:
    return Measured(value, "flow")
