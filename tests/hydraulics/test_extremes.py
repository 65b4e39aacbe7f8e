"""The ends of every range against arithmetic of fifty digits: one outlet on one pipe, solved by mpmath.

mpmath writes out the same laws with its own functions, so that whatever a double loses would show.
"""

from functools import partial

import mpmath
import numpy as np
import pytest

from service.hydraulics.solve import NotConverged, solve
from tests.networks import VISCOSITY, Kind, Sketch
from tests.properties.solving import fixed

Number = mpmath.mpf

G = mpmath.mpf("9.80665")
INLET = 60.0  # head [m]
ROUGHNESS = 1.5e-6  # [m]


def darcy_weisbach(flow: Number, length: float, bore: float) -> Number:
    """Loss with Churchill's factor. [m]"""
    velocity = flow / (mpmath.pi * mpmath.mpf(bore) ** 2 / 4)
    reynolds = velocity * bore / VISCOSITY
    wall = (7 / reynolds) ** mpmath.mpf("0.9") + mpmath.mpf("0.27") * ROUGHNESS / bore
    a = (mpmath.mpf("2.457") * mpmath.log(1 / wall)) ** 16
    b = (37530 / reynolds) ** 16
    factor = 8 * ((8 / reynolds) ** 12 + (a + b) ** mpmath.mpf("-1.5")) ** (mpmath.mpf(1) / 12)
    return factor * length / bore * velocity**2 / (2 * G)


def hazen_williams(flow: Number, length: float, bore: float) -> Number:
    """Loss at C 150. [m]"""
    smooth = 150 ** mpmath.mpf("1.852") * mpmath.mpf(bore) ** mpmath.mpf("4.8704")
    return mpmath.mpf("10.67") * length * flow ** mpmath.mpf("1.852") / smooth


def power_law(factor: Number, exponent: float, head: Number) -> Number:
    """Outlet flow, straight in the first tenth of a millimetre. [m³/s]"""
    straight = mpmath.mpf("1e-4")
    return factor * (head**exponent if head > straight else head * straight ** (exponent - 1))


LOSSES = {"darcy_weisbach": darcy_weisbach, "hazen_williams": hazen_williams}


REFUSED_ABOVE = 1e8
"""Loss at the nominal flow beyond which a zone may be refused instead. [m] Ten thousand times what any pump lifts."""


@pytest.mark.parametrize("law", LOSSES)
@pytest.mark.parametrize("length", [0.003, 1.0, 10_000.0])
@pytest.mark.parametrize("bore", [0.0005, 0.016, 1.0])
@pytest.mark.parametrize("nominal", [1e-9, 1e-6, 1e-2])
@pytest.mark.parametrize("law_and_height", [(0.05, 0.0), (0.5, -30.0), (1.2, 30.0)])
def test_one_outlet_on_one_pipe_to_the_last_digits(law, length, bore, nominal, law_and_height):
    exponent, height = law_and_height
    sketch = Sketch(law=law)
    chain = sketch.chain(0, length=[length], bore=bore, heights=[height])
    sketch.outlet(Kind(nominal, 10.0, exponent=exponent), chain=chain, at=0)
    try:
        found = solve(sketch.drawing().network(), fixed(INLET))
    except NotConverged:
        assert LOSSES[law](mpmath.mpf(nominal), length, bore) > REFUSED_ABOVE
        return
    with mpmath.workdps(50):
        outlet = partial(power_law, mpmath.mpf(nominal) / mpmath.mpf(10) ** exponent, exponent)
        low, high = mpmath.mpf(0), mpmath.mpf(INLET) - height
        for _ in range(120):
            middle = (low + high) / 2
            enough = INLET - height - middle < LOSSES[law](outlet(middle), length, bore)
            low, high = (low, middle) if enough else (middle, high)
    pressure = found.head[0, 0] - height
    assert pressure == pytest.approx(float(low), abs=2e-7, rel=1e-9)
    assert found.inflow[0] == pytest.approx(float(outlet(mpmath.mpf(pressure))), rel=1e-9, abs=1e-18)


def test_a_lateral_falling_at_forty_five_degrees():
    """A hundred percent of slope: pressure grows with every step, and nothing else gives way."""
    sketch = Sketch()
    chain = sketch.chain(0, length=np.full(50, 1.0), bore=0.016, heights=-np.arange(1, 51) / np.sqrt(2))
    for at in range(50):
        sketch.outlet(Kind(1e-6, 7.0, exponent=0.0), chain=chain, at=at)
    drawing = sketch.drawing()
    pressure = solve(drawing.network(), fixed(8.0)).head[0] - drawing.elevation
    assert (np.diff(pressure[:50]) > 0.6).all()
