"""Networks of pipes with loops, some with more than one source: flows and losses as programs of a manual print them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from service.hydraulics.arrays import Floats
from service.hydraulics.friction import FrictionLaw, Pipes, friction_law
from service.hydraulics.solve import FixedHead, solve
from tests.networks import SMOOTH, Sketch
from tests.published.laterals import constant
from tests.published.pipes import PowerLaw, by_colebrook, darcy_weisbach
from tests.published.row import Row, Way, agrees, each
from tests.published.units import FOOT, GALLON_PER_MINUTE, INCH
from tests.published.worked_sources import JEPPSON, JEPPSON_HEADS

CFS = FOOT**3
COLD = 1.217e-5 * FOOT**2
"""Viscosity of the water in all of them. [m²/s]"""

FACTORS = "five digits; the source's factor is Colebrook's, the service's Churchill's, and flows feel little of that"
LOSSES = "five digits; the source's factor is Colebrook's, the service's Churchill's, 0.5 % less here"
POWERS = "five digits; the source stops at changes of 1e-3 ft³/s"
COEFFICIENTS = "five digits; the source's coefficients and its power, 1/0.54, make 0.2 % more"


@dataclass(frozen=True, slots=True)
class Looped:
    """A network of pipes, and what flows out of its nodes but the first. The names of the nodes are figures."""

    pipes: tuple[tuple[int, int, float, float], ...]  # from, to, bore [in], length [ft]
    out: tuple[tuple[int, float], ...]  # node, flow; negative where water enters [m³/s]
    law: str
    roughness: float = SMOOTH  # [m]
    smoothness: float = 150.0


@cache
def solved(network: Looped, coefficients: tuple[float, ...] | None = None) -> tuple[Floats, Floats]:
    """Flow of each pipe as it is drawn [m³/s], and what it loses [m]; also by K of h = K Q^(1/0.54) in feet."""
    names = sorted({name for start, end, _, _ in network.pipes for name in (start, end)})
    sketch = Sketch(law=network.law)
    node = {name: sketch.junction() if name != names[0] else 0 for name in names}
    for start, end, bore, length in network.pipes:
        sketch.chain(node[start], node[end], length=[length * FOOT], bore=bore * INCH)
    for name, flow in network.out:
        sketch.outlet(constant(flow), at=node[name])
    drawing = sketch.drawing()
    pipes = Pipes(
        drawing.length,
        drawing.bore,
        np.full_like(drawing.bore, network.roughness),
        np.full_like(drawing.bore, network.smoothness),
        np.zeros_like(drawing.bore),
    )
    friction: FrictionLaw = friction_law(pipes, law=network.law, viscosity=COLD)
    if coefficients is not None:
        friction = PowerLaw(np.array(coefficients) * FOOT / CFS ** (1 / 0.54), 1 / 0.54)
    solution = solve(drawing.network(friction=friction), FixedHead(np.array([300.0])))
    start, end = drawing.ends()
    return solution.flow[0], solution.head[0, start] - solution.head[0, end]


TWO_SOURCES = Looped(
    pipes=((1, 2, 8, 1106), (3, 2, 12, 751), (4, 3, 10, 1000), (1, 4, 12, 500), (2, 5, 10, 1200), (6, 5, 6, 600),
           (6, 3, 8, 800)),
    out=tuple((node, gpm * GALLON_PER_MINUTE) for node, gpm in ((3, 1500), (4, 1000), (5, 1500), (6, -2000))),
    law="darcy_weisbach",
    roughness=0.0102 * INCH,
)  # fmt: skip

TWO_LOOPS = Looped(
    pipes=((1, 2, 12, 3000), (2, 3, 14, 2000), (4, 3, 10, 3000), (1, 4, 10, 2000), (5, 2, 14, 3000), (5, 6, 10, 2000),
           (6, 3, 12, 3000)),
    out=((3, 5.12 * CFS), (4, 0.67 * CFS), (5, -3.34 * CFS), (6, 0.89 * CFS)),
    law="darcy_weisbach",
    roughness=0.012 * INCH,
)  # fmt: skip

ONE_SOURCE = Looped(
    pipes=((1, 2, 12, 2000), (2, 3, 10, 1500), (4, 3, 6, 2000), (1, 4, 8, 1500), (2, 5, 8, 2000), (5, 6, 6, 1000),
           (3, 6, 10, 2000)),
    out=((4, 2.5 * CFS), (5, 2.5 * CFS), (6, 5.0 * CFS)),
    law="hazen_williams",
    smoothness=95.0,
)  # fmt: skip

SMALL = Looped(
    pipes=((1, 2, 4, 150), (1, 4, 3, 100), (2, 3, 3, 100), (2, 5, 4, 100), (3, 5, 3, 141), (4, 3, 3, 150)),
    out=((3, 0.25 * CFS), (4, 0.25 * CFS), (5, 0.5 * CFS)),
    law="hazen_williams",
    smoothness=130.0,
)

NINE_PIPES = Looped(
    pipes=((1, 2, 10, 1000), (2, 3, 8, 1500), (2, 5, 8, 2000), (3, 4, 8, 2000), (5, 4, 8, 1500), (4, 7, 10, 2000),
           (5, 6, 8, 2000), (5, 7, 6, 3000), (7, 6, 10, 2000)),
    out=((3, -CFS), (4, 0.5 * CFS), (5, 0.5 * CFS), (6, CFS), (7, 1.5 * CFS)),
    law="hazen_williams",
    smoothness=120.0,
)  # fmt: skip

FLOWS = [
    # network, its name, what is printed for its pipes [gpm], why it may differ, by how much
    (TWO_SOURCES, "two sources", (463.45, 294.20, 536.55, 1536.5, 757.65, 742.35, 1257.7), FACTORS, 0.001),
    (TWO_LOOPS, "two loops", (784.29, 1565.2, 414.09, 714.81, 780.94, 718.16, 318.70), FACTORS, 0.001),
    (ONE_SOURCE, "one source", (3081.7, 1720.4, 284.51, 1406.6, 1361.3, 239.24, 2004.9), POWERS, 2e-4),
]

DROPS = [
    # network, its name, what is printed for its pipes [ft], their coefficients as printed
    (SMALL, "small pipes", (7.5608, 8.1146, 2.1871, 2.6111, 0.42390, 1.6333),
     (18.197, 49.250, 49.250, 12.131, 69.443, 73.875)),
    (NINE_PIPES, "nine pipes", (8.8531, 3.6546, 28.788, 25.494, 0.35991, 5.9764, 6.4885, 6.3364, 0.15213),
     (1.6224, 7.2152, 9.6202, 9.6202, 7.2152, 3.2449, 9.6202, 58.583, 3.2449)),
]  # fmt: skip

SINGLE = [
    # plastic pipe of 4 in. and 150 ft, its loss as printed and the unit of that, in feet and then in metres
    ({"flow": 0.5 * CFS, "bore": 0.33333 * FOOT, "length": 150 * FOOT, "roughness": 7e-6 * FOOT, "viscosity": COLD},
     3.7976, FOOT),
    ({"flow": 0.497 * CFS, "bore": 0.33333 * FOOT, "length": 150 * FOOT, "roughness": 7e-6 * FOOT, "viscosity": COLD},
     3.7565, FOOT),
    ({"flow": 0.014, "bore": 0.1016, "length": 45.72, "roughness": 2.1e-6, "viscosity": 1.131e-6}, 1.1346, 1.0),
    ({"flow": 0.0141, "bore": 0.1016, "length": 45.72, "roughness": 2.1e-6, "viscosity": 1.131e-6}, 1.1493, 1.0),
]  # fmt: skip

ROWS = [
    *(
        Row(f"{pipe['flow'] * 1000:.2f} L/s in 4 in. of plastic, {'m' if unit == 1 else 'ft'}", loss,
            lambda pipe=pipe, unit=unit: darcy_weisbach(**pipe) / unit, JEPPSON, LOSSES, rel=0.006,
            way=Way("with Colebrook's factor", lambda pipe=pipe, unit=unit: by_colebrook(**pipe) / unit, rel=0.001))
        for pipe, loss, unit in SINGLE
    ),
    *(
        Row(f"{name}: flow of pipe {number}, gpm", gpm,
            lambda network=network, at=number - 1: float(solved(network)[0][at]) / GALLON_PER_MINUTE, JEPPSON, words,
            rel=rel)
        for network, name, flows, words, rel in FLOWS
        for number, gpm in enumerate(flows, start=1)
    ),
    *(
        Row(f"{name}: loss of pipe {number}, ft", feet,
            lambda network=network, at=number - 1: float(solved(network)[1][at]) / FOOT, JEPPSON_HEADS, COEFFICIENTS,
            rel=0.003,
            way=Way("with its own coefficients and power",
                    lambda network=network, at=number - 1, known=known: float(solved(network, known)[1][at]) / FOOT,
                    rel=5e-5))
        for network, name, drops, known in DROPS
        for number, feet in enumerate(drops, start=1)
    ),
]  # fmt: skip


@each(ROWS)
def test_networks_carry_what_was_printed(row: Row):
    agrees(row)
