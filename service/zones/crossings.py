"""Zone-inlet pressures at which the first outlet is satisfied and the first part is overloaded.

Everything beyond the zone inlet depends on its pressure alone, whatever supply, filter and regulator stand before it.
So these few pressures are searched for once, and every supply threshold follows from them by going up the head.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from service.hydraulics.arrays import Floats
from service.hydraulics.solve import FixedHead, Solution, Start, inlet_gain, solve
from service.units.sentence import Measured, Sentence
from service.zones.pipework import Pipework
from service.zones.places import node_run, outlet_place
from service.zones.state import State

TOLERANCE = 1.0
"""Error of a crossing. [Pa] A seven-thousandth of a psi; the promise is 0.05 psi, and a supply that falls steeply makes
more of it."""

TIE = 0.05
"""Outlets or parts within this of the one that decides are listed with it. [Pa] Copies that mirror each other agree to
the solver's last digits; neighbours on one line do not."""

MOST_TIES = 20
"""How many of them are listed. [-]"""

LOWEST_INLET, HIGHEST_INLET = -1e6, 4e6
"""Range of zone-inlet pressures that is searched. [Pa] Beyond any supply that a request may state."""

QUICK_STEPS = 8
"""Steps after which every other one halves the bracket, whatever the slope says. [-]"""

MOST_STEPS = 70
"""Steps that halving alone would need from the whole range, and some to spare. [-]"""


@dataclass(frozen=True, slots=True)
class Crossing:
    """An inlet pressure at which something begins to hold."""

    pressure: float  # at the zone inlet [Pa]
    flow: float  # into the zone there [m³/s]
    decided_by: tuple[Sentence, ...]


class Target(Protocol):
    """Something whose excess grows with the inlet pressure, from below zero to above it."""

    def excess(self, state: State) -> tuple[float, int]:
        """How far beyond the crossing a state is [Pa], and the node whose pressure decides that."""

    def decided_by(self, state: State) -> tuple[Sentence, ...]:
        """What decides it there."""


@dataclass(frozen=True, slots=True)
class EveryOutletFed:
    """Every outlet has its least working pressure."""

    pipework: Pipework
    minimum: Floats  # of each outlet group (g,) [Pa]
    stated: np.ndarray[tuple[int], np.dtype[np.bool_]]  # (g,) whether the part states it

    def excess(self, state: State) -> tuple[float, int]:
        """Least pressure to spare of any outlet."""
        spare = state.outlet_pressure - self.minimum
        worst = int(np.argmin(spare))
        return float(spare[worst]), int(self.pipework.network.outlets.node[worst])

    def decided_by(self, state: State) -> tuple[Sentence, ...]:
        """The outlets with the least to spare."""
        spare = state.outlet_pressure - self.minimum
        return tuple(
            Sentence(
                "{outlet}, minimum {kind}",
                {"outlet": outlet_place(self.pipework, group), "kind": "stated" if self.stated[group] else "assumed"},
            )
            for group in _tied(spare)
        )


@dataclass(frozen=True, slots=True)
class NoSuction:
    """No place of pipe is below the pressure of the air: a crest may need more than the outlets beyond it."""

    pipework: Pipework

    @classmethod
    def wanted(cls, pipework: Pipework, minimum: Floats) -> bool:
        """Whether a fed zone may still draw air in: only where pipe stands above an outlet by its least pressure.

        Head falls on the way to an outlet, so a place from which water goes on to one has at least its head.
        """
        network = pipework.network
        climb = float(network.elevation.max() - network.elevation[network.outlets.node].min())
        return climb * pipework.water.specific_weight > float(minimum.min())

    def excess(self, state: State) -> tuple[float, int]:
        """Least pressure of any place."""
        worst = int(np.argmin(state.node_pressure))
        return float(state.node_pressure[worst]), worst

    def decided_by(self, state: State) -> tuple[Sentence, ...]:
        """The place that draws air in first."""
        run, at = node_run(self.pipework, int(np.argmin(state.node_pressure)))
        return (Sentence("{at} of {run}", {"at": Measured(at, "length"), "run": self.pipework.address(run)}),)


def _tied(spare: Floats) -> list[int]:
    """Those within `TIE` of the least, in the order in which they were declared."""
    tied: list[int] = np.flatnonzero(spare <= spare.min() + TIE)[:MOST_TIES].tolist()
    return tied


@dataclass(slots=True)
class _Search:
    """One target's bracket and the point to try next."""

    target: Target
    at: float
    slope: float = 1.0  # of the excess by the inlet pressure, as far as is known [-]
    low: float = LOWEST_INLET
    high: float = HIGHEST_INLET
    before: tuple[float, float] | None = None  # last point and its excess
    found: Crossing | None = None
    over: bool = False
    steps: int = 0

    def learn(self, state: State, gain: Floats | None = None) -> None:
        """Take in a solved state at `at` and choose the next point, or end.

        gain : (n,) how far each node follows the inlet, for the first point; further ones tell by themselves [-]
        """
        excess, node = self.target.excess(state)
        at = self.at
        if gain is not None:
            self.slope = float(gain[node])
        elif self.before is not None and (excess - self.before[1]) * (at - self.before[0]) > 0.0:
            self.slope = (excess - self.before[1]) / (at - self.before[0])
        close = abs(excess) <= TOLERANCE * min(self.slope, 1.0)
        # Deep below the inlet it may hold at the lowest pressure there is: then it holds at any.
        always = excess > 0 and at <= LOWEST_INLET
        if close or always or (excess > 0 and self.high - self.low <= TOLERANCE):
            self.found = Crossing(at, state.flow, self.target.decided_by(state))
            self.over = True
            return
        if excess < 0 and at >= HIGHEST_INLET:
            self.over = True
            return
        if excess > 0:
            self.high = at
        else:
            self.low = at
        self.before = (at, excess)
        self.steps += 1
        self.at = self._next(at, excess)

    def _next(self, at: float, excess: float) -> float:
        if self.high - self.low <= TOLERANCE:
            return self.high
        if self.steps > QUICK_STEPS and self.steps % 2:
            return 0.5 * (self.low + self.high)
        reach = 2e5 + 3.0 * abs(at)  # a straight line carried far beyond what was seen is no guide
        trial = at + float(np.clip(-excess / max(self.slope, 1e-9), -reach, reach))
        if self.low < trial < self.high:
            return trial
        if trial >= HIGHEST_INLET == self.high:
            return HIGHEST_INLET
        if trial <= LOWEST_INLET == self.low:
            return LOWEST_INLET
        return 0.5 * (self.low + self.high)


def find_crossings(pipework: Pipework, targets: Sequence[Target], start: State) -> list[Crossing | None]:
    """Inlet pressure at which each target is reached, None where none of the range reaches it.

    Parameters
    ----------
    pipework : the zone beyond its inlet
    targets : what to reach; all are searched for at once, stacked
    start : a solved state to begin from

    Raises
    ------
    NotConverged : a state on the way was not solved
    """
    network, weight = pipework.network, pipework.water.specific_weight
    searches = [_Search(target, start.inlet_pressure) for target in targets]
    (gain,) = inlet_gain(network, start.solution, slice(start.row, start.row + 1))
    for search in searches:
        search.learn(start, gain)
    known = {id(search): start for search in searches}
    for _ in range(MOST_STEPS):
        going = [search for search in searches if not search.over]
        if not going:
            break
        inlet = np.array([search.at for search in going]) / weight
        begun = _begun([known[id(search)] for search in going], inlet)
        solution = solve(network, FixedHead(inlet), scenarios=len(going), start=begun)
        for row, search in enumerate(going):
            known[id(search)] = State(pipework, solution, row)
            search.learn(known[id(search)])
    return [search.found for search in searches]


def flows_at(pipework: Pipework, inlets: Floats, start: State) -> Solution:
    """The zone solved at several inlet pressures (s,) [Pa]."""
    network = pipework.network
    heads = inlets / pipework.water.specific_weight
    return solve(network, FixedHead(heads), scenarios=len(heads), start=_begun([start] * len(heads), heads))


def _begun(states: Sequence[State], inlets: Floats) -> Start:
    """Solved states with all heads lifted by as much as leads to other heads at the inlet (s,) [m]."""
    head = np.stack([state.solution.head[state.row] for state in states])
    head += (inlets - head[:, states[0].pipework.network.shape.inner])[:, None]
    return Start(head, np.stack([state.link_flow for state in states]))
