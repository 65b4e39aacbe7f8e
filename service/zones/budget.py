"""Where the pressure goes: from the supply, step by step, to the critical outlet."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from service.hydraulics.arrays import Bools, Floats, Ints
from service.schemas.answers import BudgetStage
from service.zones.assembly import Assembly
from service.zones.pipework import Pipework
from service.zones.state import State


def loss_budget(assembly: Assembly, state: State, *, clean: bool, group: int) -> list[BudgetStage]:
    """Stages from the supply to an outlet group, along the largest inflow; each loss is zero or more.

    Losses and elevation changes add up, unrounded, to the difference between the supply's pressure at no flow and the
    pressure at the outlet.
    """
    ledger = _Ledger(assembly.no_flow, state.flow)
    ledger.add("supply, nothing flowing", "supply", 0.0)
    if assembly.lift:
        ledger.add("from the gauge to the zone inlet", "elevation", 0.0, rise=assembly.lift)
    for stage in assembly.stages:
        ledger.add(stage.name, stage.kind, stage.loss(state.flow, clean=clean))
        if ledger.pressure > stage.set_pressure:
            ledger.add(stage.name, "regulation", ledger.pressure - stage.set_pressure)
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
    """One friction and, where there are fittings, one local stage for each stretch of a run on the way."""
    pipework = state.pipework
    links, backwards = upstream_path(pipework, state.link_flow, int(pipework.network.outlets.node[group]))
    if not len(links):
        return
    sign = np.where(backwards, -1.0, 1.0)
    local = sign * state.link_local_loss[links]
    friction = sign * state.link_loss[links] - local
    start, end = pipework.network.link_ends
    climb = pipework.network.elevation[end[links]] - pipework.network.elevation[start[links]]
    rise = sign * climb * pipework.water.specific_weight
    runs = pipework.link_run()[links]
    stretch = np.concatenate(([0], np.flatnonzero(np.diff(runs)) + 1))
    sums = [np.add.reduceat(column, stretch) for column in (friction, local, rise)]
    for row, first in enumerate(stretch.tolist()):
        address = pipework.address(int(runs[first]))
        flow = abs(float(state.link_flow[links[first]]))
        fitted = float(sums[1][row])
        if fitted > 0.0:
            ledger.add(f"fittings of {address}", "local", fitted, flow=flow)
        ledger.add(address, "friction", float(sums[0][row]), rise=float(sums[2][row]), flow=flow)


def _through_tube(ledger: _Ledger, state: State, group: int) -> None:
    tubes = state.pipework.network.outlets.tubes
    if tubes is None:
        return
    hung = np.flatnonzero(tubes.outlet == group)
    if len(hung):
        rise = float(tubes.rise[hung[0]]) * state.pipework.water.specific_weight
        flow = float(state.outlet_flow[group])
        ledger.add("small tube", "tube", float(state.tube_loss[group]), rise=rise, flow=flow)


def upstream_path(pipework: Pipework, flow: Floats, node: int) -> tuple[Ints, Bools]:
    """Links from the zone inlet to a node along the largest inflow, and which are passed against their direction.

    Ties, and places that nothing flows to, take the link that was declared first.
    """
    shape = pipework.network.shape
    start, end = pipework.network.link_ends
    inlet = shape.inner
    neighbours = _Neighbours.of(pipework)
    path: list[tuple[int, bool]] = []
    seen: set[int] = set()
    while node != inlet:
        links = neighbours.at(node)
        inflow = np.where(end[links] == node, flow[links], -flow[links])
        fresh = np.array([int(link) not in seen for link in links])
        best = int(links[np.argmax(np.where(fresh, inflow, -np.inf))])
        backwards = int(end[best]) != node
        path.append((best, backwards))
        seen.add(best)
        node = int(end[best] if backwards else start[best])
    path.reverse()
    return np.array([link for link, _ in path], dtype=np.intp), np.array([back for _, back in path], dtype=np.bool_)


@dataclass(frozen=True, slots=True)
class _Neighbours:
    """Links by node, as one sorted table."""

    link: Ints
    first: Ints

    @classmethod
    def of(cls, pipework: Pipework) -> _Neighbours:
        start, end = pipework.network.link_ends
        node = np.concatenate((end, start))
        link = np.concatenate((np.arange(len(end)), np.arange(len(start))))
        # Stable, with ends before starts: where nothing flows the way goes up the node's own run.
        order = np.argsort(node, kind="stable")
        first = np.searchsorted(node[order], np.arange(pipework.network.nodes + 1))
        return cls(link[order], first)

    def at(self, node: int) -> Ints:
        return self.link[self.first[node] : self.first[node + 1]]
