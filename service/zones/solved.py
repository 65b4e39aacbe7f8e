"""A zone solved in every hydraulic state that the check speaks of, all in one stack."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from service.hydraulics.arrays import Ints
from service.hydraulics.network import Network
from service.hydraulics.solve import OpenEnds, Solution, solve
from service.schemas.zone import Zone
from service.zones.assembly import Assembly, Scenario, assemble, behind
from service.zones.instances import Limits, expand
from service.zones.pipework import Pipework, lay
from service.zones.state import State

MOST_FLUSHED_NODES = 1_000_000
"""Nodes times ends opened in turn that one check solves; beyond it the ends with the least pressure are taken. [-]"""

STACKED_NODES = 250_000
"""Nodes times scenarios in one stacked solve, to bound memory. [-]"""


@dataclass(frozen=True, slots=True)
class Flushing:
    """Speed of the water at ends opened to air one at a time, filter due for cleaning."""

    runs: Ints  # (k,) run instances whose end was opened
    velocity: np.ndarray[tuple[int], np.dtype[np.float64]]  # (k,) [m/s]
    of: int  # ends that could be opened


@dataclass(frozen=True, slots=True)
class Solved:
    """A zone and its states."""

    zone: Zone
    pipework: Pipework
    assembly: Assembly
    due: State  # filter due for cleaning
    clean: State
    without: State  # no regulator, filter due; `due` itself where there is none
    held: State | None  # the last regulator holding whatever the supply, filter due
    held_clean: State | None
    flushing: Flushing

    @property
    def headline(self) -> State:
        """The state that the headline figures belong to."""
        return self.clean if self.zone.options.filter_state == "clean" else self.due


def solve_zone(zone: Zone, limits: Limits) -> Solved:
    """A zone solved.

    Raises
    ------
    ZoneFaults : what is wrong with the zone as a whole
    NotConverged : no accepted answer
    """
    plan = expand(zone.runs, limits)
    pipework = lay(plan, temperature=zone.water.temperature, friction=zone.options.friction)
    assembly = assemble(zone, pipework.water)
    dirty, clean = assembly.curve(clean=False), assembly.curve(clean=True)
    scenarios = {"due": dirty}
    soils = any(stage.clean is not stage.dirty for stage in assembly.stages)
    if soils:
        scenarios["clean"] = clean
    if assembly.regulator is not None:
        scenarios["without"] = assembly.without_regulators().curve(clean=False)
        scenarios["held"] = assembly.beyond_regulator(clean=False)
        if any(stage.clean is not stage.dirty for stage in assembly.stages[assembly.regulator :]):
            scenarios["held_clean"] = assembly.beyond_regulator(clean=True)
    ends = _flushed(pipework)
    states, openings = _stack(pipework, list(scenarios.values()), dirty, ends)
    by_name = dict(zip(scenarios, states, strict=True))
    held = by_name.get("held")
    bores = np.array([plan.run(run).pipe.inside_diameter for run in ends.tolist()])
    return Solved(
        zone=zone,
        pipework=pipework,
        assembly=assembly,
        due=by_name["due"],
        clean=by_name.get("clean", by_name["due"]),
        without=by_name.get("without", by_name["due"]),
        held=held,
        held_clean=by_name.get("held_clean", held),
        flushing=Flushing(ends, openings / (np.pi / 4 * np.square(bores)), int(pipework.open_ended.sum())),
    )


def _flushed(pipework: Pipework) -> Ints:
    """Runs whose ends are opened in turn: all, or of a very large zone the highest and farthest of them."""
    ends = np.flatnonzero(pipework.open_ended)
    most = max(MOST_FLUSHED_NODES // pipework.network.nodes, 1)
    if len(ends) <= most:
        return ends
    elevation = pipework.network.elevation[pipework.ends()[ends]]
    return np.sort(ends[np.argsort(-elevation, kind="stable")[:most]])


def _stack(
    pipework: Pipework, scenarios: Sequence[Scenario], dirty: Scenario, ends: Ints
) -> tuple[list[State], np.ndarray[tuple[int], np.dtype[np.float64]]]:
    """The states of the scenarios, and the flow out of each end opened behind the dirty one."""
    network = pipework.network
    bore = np.array([pipework.plan.run(run).pipe.inside_diameter for run in ends.tolist()])
    node = np.concatenate((np.zeros(len(scenarios), dtype=np.intp), pipework.ends()[ends]))
    area = np.concatenate((np.zeros(len(scenarios)), np.pi / 4 * np.square(bore)))
    every = [*scenarios, *[dirty] * len(ends)]
    rows = max(STACKED_NODES // network.nodes, 1)
    states: list[State] = []
    opened = np.zeros(len(every))
    for first in range(0, len(every), rows):
        part = slice(first, first + rows)
        solution = _solve_part(network, pipework, every[part], OpenEnds(node=node[part], area=area[part]))
        opened[part] = solution.opened
        kept = range(first, min(first + rows, len(scenarios)))
        states += [State(pipework, solution, number - first) for number in kept]
    return states, opened[len(scenarios) :]


def _solve_part(network: Network, pipework: Pipework, scenarios: Sequence[Scenario], ends: OpenEnds) -> Solution:
    return solve(network, behind(scenarios, pipework.water), scenarios=len(scenarios), open_ends=ends)
