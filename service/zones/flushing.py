"""Ends of pipe opened to air one at a time: how fast the water runs out of them."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby

import numpy as np

from service.hydraulics.arrays import Bools, Floats, Ints
from service.hydraulics.solve import OpenEnds, Start, solve
from service.zones.assembly import Scenario, behind
from service.zones.pipework import Pipework
from service.zones.state import State

MOST_NODES = 250_000
"""Nodes times ends opened in turn that one check solves. [-] Beyond it of each run the copies with the least pressure
are taken: those of one bore are the slowest."""

USUAL_FRICTION = 0.05
"""Friction factor to begin a search with. [-] Of smooth pipe at such speeds it is 0.02 to 0.04; the pipes before the
run take some too."""


@dataclass(frozen=True, slots=True)
class Flushing:
    """Speed of the water at ends opened one at a time, filter due for cleaning."""

    runs: Ints  # (k,) run instances whose end was opened, the slowest of each run among them
    velocity: Floats  # (k,) [m/s]
    unknown: int  # ends that may be too slow and were not opened, the zone being large
    of: int  # ends in all


def flush(dirty: Scenario, due: State, *, enough: float) -> Flushing:
    """The slowest ends of each run opened in turn and, where one does not run fast enough, the others of its run too.

    Parameters
    ----------
    dirty : what feeds the zone, filter due for cleaning
    due : the zone behind that, all ends closed
    enough : speed that carries dirt out [m/s]
    """
    pipework = due.pipework
    every = np.flatnonzero(pipework.open_ended)
    run = np.array([instance.run for instance in pipework.plan.instances])
    most = max(MOST_NODES // pipework.network.nodes, 1)
    slowest = every[may_be_slowest(pipework)[every]]
    runs = _weakest(slowest, run, due, most)
    velocity = _speeds(runs, dirty, due)
    if len(runs) == len(slowest) and (velocity >= enough).all():
        return Flushing(runs, velocity, unknown=0, of=len(every))
    unsettled = np.concatenate((run[runs[velocity < enough]], run[np.setdiff1d(slowest, runs)]))
    others = np.setdiff1d(every[np.isin(run[every], unsettled)], runs)
    more = _weakest(others, run, due, most - len(runs))
    return Flushing(
        runs=np.concatenate((runs, more)),
        velocity=np.concatenate((velocity, _speeds(more, dirty, due))),
        unknown=len(others) - len(more),
        of=len(every),
    )


def may_be_slowest(pipework: Pipework) -> Bools:
    """Whether the end of each run instance, opened, may be the slowest of its run. (i,)

    In a zone without loops the end of a copy is no faster than that of a copy nearer to the inlet, on the same parent,
    that leaves it no higher. For suppose that the far copy, its end open, had more pressure where it leaves than the
    near copy has with its own end open. From the near one to the far one the parent loses pressure, so with the far
    end open every place from the near copy on has more of it. Nothing there draws less then, and the open copy no less
    than the other one did. But through the pipes before the near copy comes no more, since the pressure at their end
    is higher: a contradiction. (Outlets give no less at more pressure, friction is no less at more flow, and no supply
    gives more pressure at more flow.) Copies of copies stand or fall with their parents.
    """
    plan = pipework.plan
    may: Bools = np.ones(len(plan.instances), dtype=np.bool_)
    if len(pipework.network.shape.closing):
        return may
    for _, copies in groupby(enumerate(plan.instances), lambda each: (each[1].run, each[1].parent)):
        highest = -np.inf
        # From far to near; of copies that leave at one place the first stands for all.
        for number, copy in sorted(copies, key=lambda each: (-each[1].from_at, each[0])):
            may[number] = copy.start_elevation > highest and (copy.parent is None or may[copy.parent])
            highest = max(highest, copy.start_elevation)
    return may


def _weakest(ends: Ints, run: Ints, due: State, most: int) -> Ints:
    """So many of these ends, in turn the one with the least pressure of each run. run : (i,) of each run instance"""
    if len(ends) <= most:
        return ends
    pressure = due.node_pressure[due.pipework.ends[ends]]
    by_run = np.lexsort((pressure, run[ends]))
    firsts = np.searchsorted(run[ends][by_run], run[ends][by_run])  # where each run begins
    place = np.empty(len(ends), dtype=np.intp)
    place[by_run] = np.arange(len(ends)) - firsts  # of each copy among those of its run, the weakest first
    return np.sort(ends[np.lexsort((pressure, place))[:most]])


def _speeds(runs: Ints, dirty: Scenario, due: State) -> Floats:
    """Speed of the water at the ends of these runs, each opened with all others closed. (k,) [m/s]"""
    if not len(runs):
        return np.zeros(0)
    pipework, count = due.pipework, len(runs)
    network, node = pipework.network, pipework.ends[runs]
    length, bore = np.array([(run.length, run.pipe.inside_diameter) for run in map(pipework.plan.run, runs.tolist())]).T
    area = np.pi / 4 * np.square(bore)
    # From the state with all ends closed, but for the open one: there the solver would overshoot again and again. What
    # the run leaves of the pressure is what a pipe of its length does, h = (1 + f L/D) v²/2g.
    closed = due.solution.head[due.row]
    start = np.repeat(closed[None, :], count, axis=0)
    left = (closed - network.elevation)[node] / (1.0 + USUAL_FRICTION * length / bore)
    start[np.arange(count), node] = network.elevation[node] + left
    solution = solve(
        network,
        behind([dirty] * count, pipework.water),
        scenarios=count,
        open_ends=OpenEnds(node=node, area=area),
        start=Start(start, np.repeat(due.link_flow[None, :], count, axis=0)),
    )
    speed: Floats = solution.opened / area
    return speed
