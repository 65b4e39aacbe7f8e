"""Random zones solved by the service and by someone else's code, and how far the heads are apart. All seeded."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from service.hydraulics.friction import FrictionLaw
from service.hydraulics.solve import FixedHead, Solution, solve
from tests.engines.engine_friction import EngineDarcyWeisbach
from tests.engines.epanet_engine import Engine
from tests.engines.root_finding import Equations
from tests.networks import Drawing, Seeded, Taste, nominal_flow, random_drawing, random_supply

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Comparison:
    """One way of comparing, and what came of it."""

    what: str
    apart: Floats  # largest difference of a head in each zone [m]
    drop: Floats  # largest difference of head within each zone [m]
    unsolved: int  # zones on which the other code gave up

    def __str__(self) -> str:
        """The distribution in one line."""
        shares = ", ".join(f"{share:g} %: {np.percentile(self.apart, share):.2g} m" for share in (50, 90, 99, 100))
        return f"{self.what}: {len(self.apart)} zones, {self.unsolved} unsolved by the other; apart {shares}"


def _imposed(drawing: Drawing, solution: Solution) -> Floats:
    """What leaves at every node. (n,) [m³/s]"""
    leaves = np.zeros(len(drawing.elevation))
    np.add.at(leaves, drawing.outlet_node, solution.discharge.flow[0])
    return leaves


def against_engine(
    what: str, taste: Taste, *, first: int, zones: int, friction: Callable[[Drawing], FrictionLaw] | None = None
) -> Comparison:
    """Heads under the same flows out of the outlets, behind any supply, in the engine and by the service."""
    apart, drops = [], []
    for seed in range(first, first + zones):
        dice = Seeded(np.random.default_rng(seed))
        drawing = random_drawing(dice, taste)
        supply = random_supply(dice, nominal_flow(drawing))
        network = drawing.network(friction=friction and friction(drawing))
        solution = solve(network, supply.source())
        head = solution.head[0]
        with Engine(drawing, float(head[drawing.inner])) as engine:
            engine.impose(_imposed(drawing, solution))
            engine.solve()
            apart.append(np.abs(engine.heads() - head).max())
        drops.append(np.ptp(head))
    return Comparison(what, np.array(apart), np.array(drops), 0)


def against_engine_emitters(what: str, taste: Taste, *, first: int, zones: int) -> Comparison:
    """Heads with the outlets as the engine's own emitters: nothing is handed over but the drawing."""
    apart, drops = [], []
    for seed in range(first, first + zones):
        dice = Seeded(np.random.default_rng(seed))
        drawing = random_drawing(dice, taste)
        head = dice.real(5.0, 60.0)
        found = solve(drawing.network(), FixedHead(np.array([head]))).head[0]
        with Engine(drawing, head, exponent=drawing.kinds[0].exponent) as engine:
            engine.solve()
            apart.append(np.abs(engine.heads() - found).max())
        drops.append(np.ptp(found))
    return Comparison(what, np.array(apart), np.array(drops), 0)


def against_root_finding(what: str, taste: Taste, *, first: int, zones: int) -> Comparison:
    """Heads from scipy's root of the equations as they are written in tests/engines/root_finding.py."""
    apart, drops, unsolved = [], [], 0
    for seed in range(first, first + zones):
        dice = Seeded(np.random.default_rng(seed))
        drawing = random_drawing(dice, taste)
        supply = random_supply(dice, nominal_flow(drawing))
        heads = Equations(drawing, supply, nominal_flow(drawing)).solve()
        found = solve(drawing.network(), supply.source()).head[0]
        if heads is None:
            unsolved += 1
            continue
        apart.append(np.abs(heads - found).max())
        drops.append(np.ptp(found))
    return Comparison(what, np.array(apart), np.array(drops), unsolved)


def engine_darcy_weisbach(drawing: Drawing) -> FrictionLaw:
    """The engine's friction formula, for the service's solver."""
    return EngineDarcyWeisbach(drawing)
