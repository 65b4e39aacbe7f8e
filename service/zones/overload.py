"""What the parts of a zone stand, and which of them see more."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from service.hydraulics.arrays import Bools, Floats
from service.units.sentence import Measured, Sentence
from service.zones.assembly import Assembly
from service.zones.crossings import TIE
from service.zones.pipework import Pipework
from service.zones.places import outlet_place
from service.zones.state import State

MOST_NAMED = 20
"""How many parts that are overloaded alike are named. [-]"""

NOTHING = 0.5
"""Excess that is rounding. [Pa]"""

Named = list[tuple[float, Sentence]]
"""Parts by name, with the excess of the pressure that each sees over what it stands. [Pa]"""


@dataclass(frozen=True, slots=True)
class Overload:
    """The part whose pressure is most above what it bears."""

    over: float  # [Pa]
    part: Sentence


@dataclass(frozen=True, slots=True)
class PipesAndOutlets:
    """Outlets, pipes and small tubes beyond the zone inlet, and the most that each stands."""

    pipework: Pipework
    outlet_maximum: Floats  # (g,) infinite where none counts [Pa]
    tube_rating: Floats  # (g,) of the small tube of each group, infinite without one [Pa]

    @classmethod
    def of(cls, pipework: Pipework, outlet_maximum: Floats) -> PipesAndOutlets:
        """Those of a zone, with the maxima of outlets that count (g,) [Pa]."""
        ratings = np.array(
            [np.inf if kind.tube is None else pipework.rating(kind.tube.pipe) for kind in pipework.plan.kinds]
        )
        return cls(pipework, outlet_maximum, ratings[pipework.outlet_kind])

    @property
    def limited(self) -> bool:
        """Whether anything has a greatest pressure at all."""
        limits = (self.outlet_maximum, self.pipework.node_rating, self.tube_rating)
        return any(bool(np.isfinite(limit).any()) for limit in limits)

    def over(self, state: State) -> tuple[Floats, Floats, Floats]:
        """How far outlets (g,), nodes (n,) and tubes (g,) are beyond what they stand, below zero if not. [Pa]"""
        at_pipe = state.node_pressure[self.pipework.network.outlets.node]
        return (
            state.outlet_pressure - self.outlet_maximum,
            state.node_pressure - self.pipework.node_rating,
            np.maximum(at_pipe, state.outlet_pressure) - self.tube_rating,
        )

    def excess(self, state: State) -> tuple[float, int]:
        """Greatest excess of any of them, and its node."""
        of_outlet = self.pipework.network.outlets.node
        outlets, nodes, tubes = self.over(state)
        at_outlet, at_node, at_tube = int(outlets.argmax()), int(nodes.argmax()), int(tubes.argmax())
        return max(
            (float(outlets[at_outlet]), int(of_outlet[at_outlet])),
            (float(nodes[at_node]), at_node),
            (float(tubes[at_tube]), int(of_outlet[at_tube])),
        )

    def tied(self, state: State, most: float) -> list[Sentence]:
        """Those whose excess is within a tie of the greatest [Pa], the first few of very many."""
        outlets, nodes, tubes = (_first(column >= most - TIE) for column in self.over(state))
        return [
            *(outlet_place(self.pipework, group) for group in outlets),
            *(_weakest(self.pipework, node) for node in nodes),
            *(
                Sentence("small tube of the {outlet}", {"outlet": outlet_place(self.pipework, group)})
                for group in tubes
            ),
        ]

    def decided_by(self, state: State) -> tuple[Sentence, ...]:
        """Those that are overloaded first."""
        most, _ = self.excess(state)
        return tuple(self.tied(state, most)[:MOST_NAMED])


@dataclass(frozen=True, slots=True)
class WholeZone:
    """Everything from the supply to the last outlet, the regulators taken out."""

    beyond: PipesAndOutlets
    assembly: Assembly  # without regulators

    @property
    def limited(self) -> bool:
        """Whether anything has a greatest pressure at all."""
        return self.beyond.limited or any(np.isfinite(stage.rating) for stage in self.assembly.stages)

    def _devices(self, state: State) -> Named:
        """The devices, working, with a clean filter."""
        found: Named = []
        pressure = state.inlet_pressure
        for stage in reversed(self.assembly.stages):
            pressure += stage.loss(state.flow, clean=True)
            if np.isfinite(stage.rating):
                found.append((pressure - stage.rating, Sentence("{part}", {"part": stage.name})))
        return found[::-1]

    def excess(self, state: State) -> tuple[float, int]:
        """Greatest excess of any part, and its node; devices stand before the inlet and follow that."""
        inlet = self.beyond.pipework.network.shape.inner
        return max([self.beyond.excess(state), *((over, inlet) for over, _ in self._devices(state))])

    def decided_by(self, state: State) -> tuple[Sentence, ...]:
        """The parts that are overloaded first."""
        (most, _), devices = self.excess(state), self._devices(state)
        named = [*self.beyond.tied(state, most), *(name for over, name in devices if over >= most - TIE)]
        return tuple(named[:MOST_NAMED])


def _weakest(pipework: Pipework, node: int) -> Sentence:
    """A place of pipe by the run of the least rating that lies there."""
    slots = np.flatnonzero(pipework.node == node)
    runs = np.searchsorted(pipework.node_start, slots, side="right") - 1
    plan = pipework.plan
    ratings = [pipework.rating(plan.run(run).pipe) for run in runs.tolist()]
    least = int(np.argmin(ratings))
    at = Measured(float(pipework.node_at[slots[least]]), "length")
    return Sentence("pipe at {at} of {run}", {"at": at, "run": pipework.address(int(runs[least]))})


def _first(chosen: Bools) -> list[int]:
    numbers: list[int] = np.flatnonzero(chosen)[:MOST_NAMED].tolist()
    return numbers


def overload_at_set_pressure(assembly: Assembly, held: State | None, beyond: PipesAndOutlets) -> Overload | None:
    """What beyond the last regulator is most above what it bears while that holds, None where nothing is.

    `held` is the zone then, filter clean. With the flow shut off a device or a pipe without outlets sees the whole set
    pressure.
    """
    place = assembly.regulator
    if place is None or held is None:
        return None
    pipework, still = beyond.pipework, assembly.stages[place].set_pressure
    over, _ = beyond.excess(held)
    found = [Overload(over, beyond.decided_by(held)[0])] if over > NOTHING else []
    found += [
        Overload(still - stage.rating, Sentence("{part}", {"part": stage.name}))
        for stage in assembly.stages[place + 1 :]
    ]
    for run, rating, lowest in pipework.dry_runs:
        name = Sentence("pipe of {run}", {"run": pipework.address(run)})
        found.append(Overload(still - lowest * pipework.water.specific_weight - rating, name))
    worst = max(found, key=lambda one: one.over, default=None)
    return None if worst is None or worst.over <= NOTHING else worst
