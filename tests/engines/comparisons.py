"""Random zones solved by the service and by someone else's code, and how far the heads are apart. All seeded.

`PLANNED` lists what is compared, `compare` does it once: tests assert how near the two are, and the page of evidence
shows it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from service.hydraulics.friction import FrictionLaw
from service.hydraulics.solve import FixedHead, Solution, solve
from tests.engines.engine_friction import EngineDarcyWeisbach
from tests.engines.epanet_engine import Engine
from tests.engines.root_finding import Equations
from tests.networks import WEIGHT, Drawing, Seeded, Supply, Taste, nominal_flow, random_drawing, random_supply

Floats = NDArray[np.float64]

SHARES = (50, 90, 99, 100)
"""Shares of the zones that a distribution is told by. [%]"""

DECADES = tuple(range(-14, 1))
"""Powers of ten of a metre that differences are counted by."""


@dataclass(frozen=True, slots=True)
class Comparison:
    """One way of comparing, and what came of it."""

    what: str
    apart: Floats  # largest difference of a head in each zone [m]
    drop: Floats  # largest difference of head within each zone [m]
    unsolved: int  # zones on which the other code gave up

    @property
    def quantiles(self) -> dict[int, float]:
        """Difference [m] that a share of the zones [%] keeps within."""
        return {share: float(np.percentile(self.apart, share)) for share in SHARES}

    @property
    def decades(self) -> dict[int, int]:
        """Zones whose difference lies between a power of ten [m] and the next; lesser ones count to the first."""
        powers = np.floor(np.log10(np.maximum(self.apart, 10.0 ** DECADES[0]))).astype(int)
        return {power: int((powers == power).sum()) for power in DECADES}

    def __str__(self) -> str:
        """The distribution in one line."""
        shares = ", ".join(f"{share:g} %: {apart:.2g} m" for share, apart in self.quantiles.items())
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


@dataclass(frozen=True, slots=True)
class Plan:
    """One comparison: what with, and what it shows."""

    what: str
    other: str  # whose code
    shows: str
    run: Callable[..., Comparison]
    taste: Taste
    first: int  # seed
    zones: int
    friction: Callable[[Drawing], FrictionLaw] | None = None


ENGINE = "EPANET 2.3, a network engine in C"
SCIPY = "MINPACK's hybrid root finder in scipy, on equations written separately"

PLANNED = {
    "hazen-williams": Plan(
        "Hazen-Williams, the same outflows",
        ENGINE,
        "every kind of outlet and supply; the engine is given the outflows, for it has no such outlets",
        against_engine,
        Taste(laws=("hazen_williams",), onto_itself=False),
        first=10_000,
        zones=500,
    ),
    "emitters": Plan(
        "Hazen-Williams, the engine's own emitters",
        ENGINE,
        "nothing is handed over but the drawing: outflows are solved for on both sides",
        against_engine_emitters,
        Taste(
            laws=("hazen_williams",),
            exponents=(0.3, 1.0),
            same_exponent=True,
            compensating=False,
            tubes=False,
            steepest=0.05,
            onto_itself=False,
        ),
        first=20_000,
        zones=300,
    ),
    "darcy-weisbach": Plan(
        "Darcy-Weisbach, the engine's factor on both sides",
        ENGINE,
        "nothing but the solvers differ",
        against_engine,
        Taste(laws=("darcy_weisbach",), onto_itself=False),
        first=30_000,
        zones=300,
        friction=engine_darcy_weisbach,
    ),
    "factors": Plan(
        "Darcy-Weisbach, each its own friction factor",
        ENGINE,
        "Swamee and Jain with a cubic in transition there, Churchill here: what the choice of a factor is worth",
        against_engine,
        Taste(laws=("darcy_weisbach",), onto_itself=False),
        first=40_000,
        zones=300,
    ),
    "root": Plan(
        "The equations of the zone, one by one",
        SCIPY,
        "trees, grids and meshes, hills, both laws of friction, every outlet, supply and regulator",
        against_root_finding,
        Taste(chains=3, places=4, onto_itself=False),
        first=50_000,
        zones=520,
    ),
}


@cache
def compare(name: str) -> Comparison:
    """What came of a planned comparison."""
    plan = PLANNED[name]
    law = {} if plan.friction is None else {"friction": plan.friction}
    return plan.run(plan.what, plan.taste, first=plan.first, zones=plan.zones, **law)


def arbitrated(name: str, seed: int) -> float:
    """How far the service is from the root of the equations in a zone of a comparison with emitters. [m]"""
    dice = Seeded(np.random.default_rng(seed))
    drawing = random_drawing(dice, PLANNED[name].taste)
    head = dice.real(5.0, 60.0)
    found = solve(drawing.network(), FixedHead(np.array([head]))).head[0]
    root = Equations(drawing, Supply(head * WEIGHT), nominal_flow(drawing)).solve()
    assert root is not None
    return float(np.abs(root - found).max())
