"""A zone solved in every hydraulic state that the check speaks of, all in one stack."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from service.hydraulics.arrays import Ints
from service.hydraulics.solve import OpenEnds, solve
from service.schemas.zone import Zone
from service.zones.assembly import Assembly, Scenario, assemble, behind
from service.zones.faults import Where
from service.zones.instances import Limits, expand, in_zone
from service.zones.pipework import Pipework, lay
from service.zones.state import State

MOST_FLUSHED_NODES = 250_000
"""Nodes times ends opened in turn that one check solves. [-] Beyond it of each run the copies with the least pressure
are taken: those of one bore are the slowest."""

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


def solve_zone(zone: Zone, limits: Limits, where: Callable[[int], Where] = in_zone) -> Solved:
    """A zone solved; `where` is the path of a run in the caller's body.

    Raises
    ------
    ZoneFaults : what is wrong with the zone as a whole
    NotConverged : no accepted answer
    """
    plan = expand(zone.runs, limits, where)
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
    by_name = dict(zip(scenarios, _solve_scenarios(pipework, list(scenarios.values())), strict=True))
    held = by_name.get("held")
    return Solved(
        zone=zone,
        pipework=pipework,
        assembly=assembly,
        due=by_name["due"],
        clean=by_name.get("clean", by_name["due"]),
        without=by_name.get("without", by_name["due"]),
        held=held,
        held_clean=by_name.get("held_clean", held),
        flushing=_flush(pipework, dirty, by_name["due"]),
    )


def _flushed(pipework: Pipework, due: State) -> Ints:
    """Runs whose ends are opened in turn: all, or of a large zone the copies of each run with the least pressure."""
    ends = np.flatnonzero(pipework.open_ended)
    most = max(MOST_FLUSHED_NODES // pipework.network.nodes, 1)
    if len(ends) <= most:
        return ends
    pressure = due.node_pressure[pipework.ends()[ends]]
    run = np.array([pipework.plan.instances[end].run for end in ends.tolist()])
    by_run = np.lexsort((pressure, run))
    firsts = np.searchsorted(run[by_run], run[by_run])  # where each run begins
    place = np.empty(len(ends), dtype=np.intp)
    place[by_run] = np.arange(len(ends)) - firsts  # of each copy among those of its run, the weakest first
    return np.sort(ends[np.lexsort((pressure, place))[:most]])


def _solve_scenarios(pipework: Pipework, scenarios: Sequence[Scenario]) -> list[State]:
    """The state of each scenario."""
    source = behind(scenarios, pipework.water)
    solution = solve(pipework.network, source, scenarios=len(scenarios))
    return [State(pipework, solution, row) for row in range(len(scenarios))]


def _flush(pipework: Pipework, dirty: Scenario, due: State) -> Flushing:
    """Each end opened in turn, from the state with all of them closed."""
    network, ends = pipework.network, _flushed(pipework, due)
    bore = np.array([pipework.plan.run(run).pipe.inside_diameter for run in ends.tolist()])
    node, area = pipework.ends()[ends], np.pi / 4 * np.square(bore)
    closed = due.solution.head[due.row]
    rows = max(STACKED_NODES // network.nodes, 1)
    velocity = np.zeros(len(ends))
    for first in range(0, len(ends), rows):
        part = slice(first, first + rows)
        count = len(ends[part])
        solution = solve(
            network,
            behind([dirty] * count, pipework.water),
            scenarios=count,
            open_ends=OpenEnds(node=node[part], area=area[part]),
            start=np.repeat(closed[None, :], count, axis=0),
        )
        velocity[part] = solution.opened / area[part]
    return Flushing(ends, velocity, int(pipework.open_ended.sum()))
