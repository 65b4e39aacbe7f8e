"""What the connections of emitters add to friction."""

import numpy as np

from service.hydraulics.friction import friction_law
from service.hydraulics.solve import FixedHead, solve
from tests.networks import Kind, Sketch
from tests.published.pipes import darcy_weisbach, loss, pipe
from tests.published.row import Row, Way, agrees, each
from tests.published.sources import ADJUSTED_GRADIENT, LENGTH_AS_COEFFICIENT
from tests.published.units import FOOT


def adjusted_gradient() -> float:
    """Loss in 100 ft whose spacing of 3 ft carries 0.3 ft of connections, where bare pipe loses 2 ft. [ft]"""

    def lost(connection: float) -> float:
        sketch = Sketch()
        chain = sketch.chain(0, length=[100 * FOOT * (3.0 + connection) / 3.0], bore=0.016)
        sketch.outlet(Kind(5e-5, at=0.1, exponent=0.0), chain=chain, at=0)
        head = solve(sketch.drawing().network(), FixedHead(np.array([50.0]))).head[0]
        return float(head[1] - head[0])

    return 2.0 * lost(0.3) / lost(0.0)


def as_coefficient() -> float:
    """K whose loss is that of 0.136 m of 14 mm tubing, both by the service. [-]"""
    bore, viscosity = 0.014, 1.0034e-6
    flow = 5300 * viscosity * np.pi / 4 * bore
    by_length = darcy_weisbach(length=0.136, bore=bore, roughness=0.0, viscosity=viscosity, flow=flow)
    fitting = friction_law(pipe(length=0.0, bore=bore, local=1.0), law="darcy_weisbach", viscosity=viscosity)
    return by_length / loss(fitting, flow)


ROWS = [
    Row("gradient with connections, ft/100 ft", 2.2, adjusted_gradient, ADJUSTED_GRADIENT, "exact arithmetic",
        rel=1e-5),
    Row("connection of 0.136 m as K", 0.3604, as_coefficient, LENGTH_AS_COEFFICIENT,
        "the 0.0371 of Blasius at Re 5300, against Churchill's smooth pipe", rel=0.01,
        way=Way("with f = 0.0371", lambda: 0.0371 * 0.136 / 0.014, rel=1e-9)),
]  # fmt: skip


@each(ROWS)
def test_connections_add_what_the_handbooks_add(row: Row):
    agrees(row)
