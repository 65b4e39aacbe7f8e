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
from service.hydraulics.solve import FixedHead, Solution, inlet_gain, solve
from service.units.sentence import Sentence
from service.zones.assembly import Assembly
from service.zones.pipework import Pipework
from service.zones.places import node_place, outlet_place
from service.zones.state import State

TOLERANCE = 1.0
"""Error of a crossing. [Pa] A seven-thousandth of a psi; the promise is 0.05 psi."""

TIE = 2.0 * TOLERANCE
"""Outlets or parts within this of the one that decides are listed with it. [Pa]"""

MOST_TIES = 20
"""How many of them are listed. [-]"""

LOWEST_INLET, HIGHEST_INLET = -1e6, 4e6
"""Range of zone-inlet pressures that is searched. [Pa] Beyond any supply that a request may state."""

MOST_STEPS = 60


@dataclass(frozen=True, slots=True)
class Crossing:
    """An inlet pressure at which something begins to hold."""

    pressure: float  # at the zone inlet [Pa]
    flow: float  # into the zone there [m³/s]
    decided_by: tuple[Sentence, ...]


class Target(Protocol):
    """Something whose excess grows with the inlet pressure, from below zero to above it."""

    def excess(self, state: State, gain: Floats) -> tuple[float, float]:
        """How far beyond the crossing a state is [Pa], and about how fast that grows with inlet pressure [-]."""

    def decided_by(self, state: State) -> tuple[Sentence, ...]:
        """What decides it there."""


@dataclass(frozen=True, slots=True)
class EveryOutletFed:
    """Every outlet has its least working pressure."""

    pipework: Pipework
    minimum: Floats  # of each outlet group (g,) [Pa]
    stated: np.ndarray[tuple[int], np.dtype[np.bool_]]  # (g,) whether the part states it

    def excess(self, state: State, gain: Floats) -> tuple[float, float]:
        """Least pressure to spare of any outlet."""
        spare = state.outlet_pressure - self.minimum
        worst = int(np.argmin(spare))
        return float(spare[worst]), float(gain[self.pipework.network.outlets.node[worst]])

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
class SomethingOverloaded:
    """Some outlet, pipe or device sees more than its greatest pressure, with every regulator taken out."""

    pipework: Pipework
    assembly: Assembly  # without regulators
    outlet_maximum: Floats  # (g,) infinite where none counts [Pa]

    @property
    def limited(self) -> bool:
        """Whether anything has a greatest pressure at all."""
        stages = (stage.rating for stage in self.assembly.stages)
        return bool(np.isfinite([*self.outlet_maximum, *self.pipework.node_rating, *stages]).any())

    def _over(self, state: State) -> tuple[Floats, Floats, Floats]:
        devices, inlet = [], state.inlet_pressure
        for stage in reversed(self.assembly.stages):
            inlet += stage.loss(state.flow, clean=True)
            devices.append(inlet - stage.rating)
        return (
            state.outlet_pressure - self.outlet_maximum,
            state.node_pressure - self.pipework.node_rating,
            np.array(devices[::-1] or [-np.inf]),
        )

    def excess(self, state: State, gain: Floats) -> tuple[float, float]:
        """Greatest excess of any part over what it stands."""
        outlets, nodes, devices = self._over(state)
        worst = int(np.argmax(outlets))
        candidates = [(float(outlets[worst]), float(gain[self.pipework.network.outlets.node[worst]]))]
        worst = int(np.argmax(nodes))
        candidates.append((float(nodes[worst]), float(gain[worst])))
        candidates.append((float(devices.max()), 1.0))
        return max(candidates)

    def decided_by(self, state: State) -> tuple[Sentence, ...]:
        """The parts that are overloaded first."""
        outlets, nodes, devices = self._over(state)
        most = max(outlets.max(), nodes.max(), devices.max())
        found = [outlet_place(self.pipework, group) for group in np.flatnonzero(outlets > most - TIE)[:MOST_TIES]]
        found += [node_place(self.pipework, node) for node in np.flatnonzero(nodes > most - TIE)[:MOST_TIES]]
        found += [Sentence(self.assembly.stages[place].name, {}) for place in np.flatnonzero(devices > most - TIE)]
        return tuple(found)


def _tied(spare: Floats) -> list[int]:
    """Those within `TIE` of the least, the least first."""
    tied = np.flatnonzero(spare <= spare.min() + TIE)
    first: list[int] = tied[np.argsort(spare[tied], kind="stable")][:MOST_TIES].tolist()
    return first


@dataclass(slots=True)
class _Search:
    """One target's bracket and the point to try next."""

    target: Target
    at: float
    low: float = LOWEST_INLET
    high: float = HIGHEST_INLET
    before: tuple[float, float] | None = None  # last point and its excess
    found: Crossing | None = None
    over: bool = False

    def learn(self, state: State, gain: Floats) -> None:
        """Take in a solved state at `at` and choose the next point, or end."""
        excess, slope = self.target.excess(state, gain)
        at = self.at
        if abs(excess) <= TOLERANCE or (excess > 0 and self.high - self.low <= TOLERANCE):
            self.found = Crossing(at, state.flow, self.target.decided_by(state))
            self.over = True
            return
        if (at >= HIGHEST_INLET and excess < 0) or (at <= LOWEST_INLET and excess > 0):
            self.over = True
            return
        if excess > 0:
            self.high = at
        else:
            self.low = at
        if self.before is not None and self.before[0] != at:
            secant = (excess - self.before[1]) / (at - self.before[0])
            slope = secant if secant > 0 else slope
        self.before = (at, excess)
        reach = 2e5 + 3.0 * abs(at)  # a straight line carried far beyond what was seen is no guide
        trial = at + float(np.clip(-excess / max(slope, 1e-9), -reach, reach))
        inside = self.low < trial < self.high
        self.at = trial if inside else self._step_to_end(trial)

    def _step_to_end(self, trial: float) -> float:
        """An end of the range that was not tried yet, or the middle of the bracket."""
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
    """
    network, weight = pipework.network, pipework.water.specific_weight
    searches = [_Search(target, start.inlet_pressure) for target in targets]
    gain = inlet_gain(network, start.solution)[start.row]
    for search in searches:
        search.learn(start, gain)
    heads = {id(search): start.solution.head[start.row] for search in searches}
    for _ in range(MOST_STEPS):
        going = [search for search in searches if not search.over]
        if not going:
            break
        inlet = np.array([search.at for search in going]) / weight
        begun = np.stack([heads[id(search)] for search in going])
        begun = begun + (inlet - begun[:, network.shape.inner])[:, None]
        solution = solve(network, FixedHead(inlet), scenarios=len(going), start=begun)
        gains = inlet_gain(network, solution)
        for row, search in enumerate(going):
            heads[id(search)] = solution.head[row]
            search.learn(State(pipework, solution, row), gains[row])
    return [search.found for search in searches]


def flows_at(pipework: Pipework, inlets: Floats, start: State) -> Solution:
    """The zone solved at several inlet pressures (s,) [Pa]."""
    network = pipework.network
    heads = inlets / pipework.water.specific_weight
    begun = start.solution.head[start.row]
    begun = begun + (heads - begun[network.shape.inner])[:, None]
    return solve(network, FixedHead(heads), scenarios=len(heads), start=begun)
