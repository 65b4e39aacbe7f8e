"""Outlets put closer and closer together approach a pipe that gives water all along it, whose equations are solved.

The many outlets of a lateral share the pipe's discharge, each in the middle of its part. Twice as many of them are
four times as near to the continuous pipe, so that two answers tell where it is (L. F. Richardson, "The approximate
arithmetical solution by finite differences of physical problems", Philosophical Transactions A 210, 1911, 307-357).
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from service.hydraulics.solve import Solution, solve
from tests.engines.root_finding import G, outlet_flow, pipe_loss
from tests.networks import VISCOSITY, Kind, Sketch
from tests.properties.solving import fixed

Floats = NDArray[np.float64]

LENGTH, BORE = 100.0, 0.0132  # [m]
COUNTS = (100, 200, 400)


def lateral(count: int, discharge: Kind, *, rise: float = 0.0, law: str, inlet: float) -> Solution:
    """So many outlets, which together have the law of `discharge`, on a hundred metres of pipe."""
    spacing = LENGTH / count
    sketch = Sketch(law=law)
    at = spacing * (np.arange(count) + 0.5)
    chain = sketch.chain(0, length=np.diff(at, prepend=0.0), bore=BORE, heights=rise * at / LENGTH)
    kind = replace(discharge, flow=discharge.flow / count)
    for place in range(count):
        sketch.outlet(kind, chain=chain, at=place)
    return solve(sketch.drawing().network(), fixed(inlet))


def friction(count: int, **zone) -> float:
    """Head between the inlet and the last outlet, whose last half spacing carries nothing. [m]"""
    head = lateral(count, **zone).head[0]
    return float(head[-1] - head[count - 1])


def approached(found: list[float], limit: float, *, rate: tuple[float, float] = (3.5, 4.5)) -> None:
    """Errors fall fourfold, and the extrapolated answer is far closer than the best one."""
    errors = [value - limit for value in found]
    for coarse, fine in pairwise(errors):
        assert rate[0] < coarse / fine < rate[1]
    extrapolated = (4 * found[-1] - found[-2]) / 3
    assert abs(extrapolated - limit) < 0.05 * abs(errors[-1])


@pytest.mark.parametrize("flow", [5e-5, 3e-4])
def test_even_discharge_loses_the_limit_of_christiansens_factor(flow: float):
    """h = K Q^m L / (m + 1): J. E. Christiansen, "Irrigation by sprinkling", Bulletin 670, University of California,
    1942, for infinitely many outlets; m is 1.852 after Hazen and Williams."""
    whole = pipe_loss("hazen_williams", flow, length=LENGTH, bore=BORE)
    steady = Kind(flow, 1e-3, exponent=0.0)
    found = [friction(count, discharge=steady, law="hazen_williams", inlet=60.0) for count in COUNTS]
    # The end of the lateral, where the curvature of Q^1.852 has no bound, spoils the rate a little.
    approached(found, whole / 2.852, rate=(3.3, 4.2))


def test_laminar_flow_to_linear_outlets_follows_a_hyperbolic_cosine():
    """G. Hagen and J. L. M. Poiseuille: loss is proportional to flow, so that h = H cosh(a (L - s)) / cosh(a L)."""
    inlet, kind = 4.0, Kind(8e-6, 4.0, exponent=1.0)
    resistance = 128 * VISCOSITY / (np.pi * G * BORE**4)  # [s/m³]
    a = np.sqrt(resistance * kind.flow / kind.at / LENGTH)
    ends, flows = [], []
    for count in COUNTS:
        found = lateral(count, kind, law="darcy_weisbach", inlet=inlet)
        ends.append(found.head[0, count - 1])
        flows.append(found.inflow[0])
    approached(flows, kind.flow / kind.at * inlet * np.tanh(a * LENGTH) / (a * LENGTH))
    # The last outlet stands half a spacing from the end, where the curve is level.
    assert ends[-1] == pytest.approx(inlet / np.cosh(a * LENGTH), rel=1e-5)


KINDS = {
    "roots": Kind(1.5e-4, 10.0),
    "almost linear outlets": Kind(6e-5, 10.0, exponent=0.9),
    "hardly compensating outlets": Kind(2.5e-4, 10.0, exponent=0.1),
}


@pytest.mark.parametrize("law", ["darcy_weisbach", "hazen_williams"])
@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
@pytest.mark.parametrize("rise", [0.0, 3.0, -3.0])
def test_any_lateral_approaches_its_differential_equations(law: str, kind: Kind, rise: float):
    """dH/ds = -loss(Q), dQ/ds = -q(H - z): integrated from the dead end, where nothing flows, to the inlet.

    By scipy's method of Dormand and Prince of order eight (E. Hairer, S. P. Nørsett and G. Wanner 1993).
    """

    def slopes(back: float, state: Floats) -> list[float]:
        head, flow = state
        return [
            pipe_loss(law, flow, length=1.0, bore=BORE),
            outlet_flow(kind, head - rise * (LENGTH - back) / LENGTH) / LENGTH,
        ]

    walk = solve_ivp(slopes, (0.0, LENGTH), [6.0 + rise, 0.0], method="DOP853", rtol=1e-11, atol=1e-15)
    inlet, flow = walk.y[:, -1]
    found = [lateral(count, kind, rise=rise, law=law, inlet=inlet).inflow[0] for count in COUNTS]
    assert found[-1] == pytest.approx(flow, rel=3e-6)
    # In transition the friction factor bends so sharply that fourfold is not met everywhere, but nearly.
    approached(found, flow, rate=(3.0, 5.5))
