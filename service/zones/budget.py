"""Where the pressure goes: from the supply, step by step, to the critical outlet."""

from __future__ import annotations

import numpy as np

from service.schemas.answers import BudgetStage
from service.zones.assembly import Assembly
from service.zones.state import State
from service.zones.upstream import way_to


def loss_budget(assembly: Assembly, state: State, *, clean: bool, group: int) -> list[BudgetStage]:
    """Stages from the supply to an outlet group, along the largest inflow; each loss is zero or more.

    Losses and elevation changes add up, unrounded, to the difference between the supply's pressure at no flow and the
    pressure at the outlet.
    """
    ledger = _Ledger(assembly.no_flow, state.flow)
    ledger.add("supply, nothing flowing", "supply", 0.0, flow=0.0)
    if assembly.lift:
        ledger.add("from the gauge to the zone inlet", "elevation", 0.0, rise=assembly.lift)
    for stage in assembly.stages:
        ledger.add(stage.name, stage.kind, stage.loss(state.flow, clean=clean))
        if ledger.pressure > stage.set_pressure:
            ledger.add(f"{stage.name}, holding", "regulation", ledger.pressure - stage.set_pressure)
    _along_pipes(ledger, state, group)
    _through_tube(ledger, state, group)
    return ledger.stages


class _Ledger:
    """Stages with what each takes, and the pressure after it."""

    def __init__(self, pressure: float, flow: float) -> None:
        self.pressure = pressure
        self.flow = flow
        self.stages: list[BudgetStage] = []

    def add(self, stage: str, kind: str, loss: float, *, rise: float = 0.0, flow: float | None = None) -> None:
        self.pressure -= loss + rise
        self.stages.append(
            BudgetStage(
                stage=stage,
                kind=kind,
                flow=self.flow if flow is None else flow,
                loss=loss,
                elevation_change=rise,
                pressure_after=self.pressure,
            )
        )


def _along_pipes(ledger: _Ledger, state: State, group: int) -> None:
    """One friction and, where there are fittings, one local stage for each stretch of a run on the way.

    Friction is what the pressures at both ends leave for it, so that the stages end at the outlet's pressure to the
    last digit, and not only within the tolerance of the solver.
    """
    pipework = state.pipework
    links, backwards = way_to(pipework, state.link_flow, int(pipework.network.outlets.node[group]))
    if not len(links):
        return
    sign = np.where(backwards, -1.0, 1.0)
    start, end = pipework.network.link_ends
    elevation = pipework.network.elevation
    rises = sign * (elevation[end[links]] - elevation[start[links]]) * pipework.water.specific_weight
    arrives = state.node_pressure[np.where(backwards, start[links], end[links])]
    runs = pipework.link_run[links]
    firsts = np.concatenate(([0], np.flatnonzero(np.diff(runs)) + 1))
    lasts = np.concatenate((firsts[1:], [len(links)])) - 1
    fitted = np.add.reduceat(sign * state.link_local_loss[links], firsts)
    risen = np.add.reduceat(rises, firsts)
    for first, last, local, rise in zip(firsts.tolist(), lasts.tolist(), fitted.tolist(), risen.tolist(), strict=True):
        address = pipework.address(int(runs[first]))
        flow = abs(float(state.link_flow[links[first]]))
        if local > 0.0:
            ledger.add(f"fittings of {address}", "local", local, flow=flow)
        friction = max(ledger.pressure - rise - float(arrives[last]), 0.0)
        ledger.add(address, "friction", friction, rise=rise, flow=flow)


def _through_tube(ledger: _Ledger, state: State, group: int) -> None:
    tubes = state.pipework.network.outlets.tubes
    if tubes is None:
        return
    hung = np.flatnonzero(tubes.outlet == group)
    if len(hung):
        rise = float(tubes.rise[hung[0]]) * state.pipework.water.specific_weight
        flow = float(state.outlet_flow[group])
        ledger.add("small tube", "tube", float(state.tube_loss[group]), rise=rise, flow=flow)
