"""The ends of every range against arithmetic of fifty digits, and the longest lateral against a walk along it."""

from dataclasses import replace
from functools import partial

import mpmath
import numpy as np
import pytest

from service.hydraulics.solve import NotConverged, solve
from tests.engines.fifty_digits import FRICTION, outlet, walked_up
from tests.engines.root_finding import outlet_flow, pipe_loss
from tests.networks import Kind, Sketch
from tests.properties.solving import fixed

INLET = 60.0  # head [m]

REFUSED_ABOVE = 1e8
"""Loss at the nominal flow beyond which a zone may be refused instead. [m] Ten thousand times what any pump lifts."""


@pytest.mark.parametrize("law", FRICTION)
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
        assert FRICTION[law](mpmath.mpf(nominal), length, bore) > REFUSED_ABOVE
        return
    with mpmath.workdps(50):
        flow = partial(outlet, Kind(nominal, 10.0, exponent=exponent))
        low, high = mpmath.mpf(0), mpmath.mpf(INLET) - height
        for _ in range(60):  # more digits than there are to compare
            middle = (low + high) / 2
            enough = INLET - height - middle < FRICTION[law](flow(middle), length, bore)
            low, high = (low, middle) if enough else (middle, high)
    pressure = found.head[0, 0] - height
    assert pressure == pytest.approx(float(low), abs=2e-7, rel=1e-9)
    assert found.inflow[0] == pytest.approx(float(flow(mpmath.mpf(pressure))), rel=1e-9, abs=1e-18)


KINDS = {
    "turbulent": [Kind(1e-6, 10.0)] * 12,
    "compensating": [Kind(1e-6, 7.0, exponent=0.0)] * 12,
    "hardly compensating": [Kind(4e-6, 7.0, exponent=0.05)] * 12,
    "more than laminar": [Kind(1e-7, 10.0, exponent=1.2)] * 12,
    "all sorts": [Kind(n * 5e-7, 10.0, exponent=x, closing=3.0 * (x == 0)) for n in (1, 2, 8) for x in (0, 0.5, 1.0)],
}

GROUND = {"level": 0.0, "a hundred percent uphill": 1.0, "a hundred percent downhill": -1.0}


@pytest.mark.parametrize("law", FRICTION)
@pytest.mark.parametrize("kinds", KINDS.values(), ids=KINDS)
@pytest.mark.parametrize("slope", GROUND.values(), ids=GROUND)
@pytest.mark.parametrize("spacing", [0.003, 0.3, 30.0])
def test_a_lateral_is_the_one_walked_up_from_its_end(law, kinds, slope, spacing):
    """Spacings from a hundredth of a foot; a hundred percent is a metre of height a metre of ground, 45 degrees."""
    lengths = [spacing] * len(kinds)
    heights = (slope / np.sqrt(2) * spacing * np.arange(1, len(kinds) + 1)).tolist()
    sketch = Sketch(law=law)
    chain = sketch.chain(0, length=lengths, bore=0.0132, heights=heights)
    for at, kind in enumerate(kinds):
        sketch.outlet(kind, chain=chain, at=at)
    network = sketch.drawing().network()
    # Downhill the end has all the height above it besides what is needed for the first outlet to work.
    for at_end in (0.02 + max(-heights[-1], 0.0), 8.0 + max(-heights[-1], 0.0)):
        with mpmath.workdps(50):
            heads, flows = walked_up(kinds, at_end=at_end, lengths=lengths, bore=0.0132, heights=heights, law=law)
        found = solve(network, fixed(float(heads[0])))
        np.testing.assert_allclose(found.head[0, : len(kinds)], [float(head) for head in heads[1:]], atol=2e-7, rtol=0)
        # Of two centimetres of pressure, what the heads may be off is a hundred-thousandth.
        np.testing.assert_allclose(found.flow[0], [float(flow) for flow in flows], rtol=1e-5)


def test_a_hundred_thousand_outlets_are_those_met_on_a_walk_along_them():
    """In doubles, whose last bits add up to less than the solver's own tolerance."""
    count, bore, at_end = 100_000, 0.05, 9.0
    kind = Kind(2e-8, 7.0)
    sketch = Sketch()
    chain = sketch.chain(0, length=np.full(count, 0.01), bore=bore)
    sketch.outlet(kind, chain=chain, at=0)
    one = sketch.drawing()
    drawing = replace(one, outlet_node=np.arange(count), kinds=one.kinds * count)
    head, carried, heads = at_end, 0.0, np.empty(count)
    for place in reversed(range(count)):
        heads[place] = head
        carried += outlet_flow(kind, head)
        head += pipe_loss("darcy_weisbach", carried, length=0.01, bore=bore)
    found = solve(drawing.network(), fixed(head))
    np.testing.assert_allclose(found.head[0, :count], heads, atol=1e-6)
    assert found.inflow[0] == pytest.approx(carried, rel=1e-8)


def test_a_lateral_falling_at_forty_five_degrees():
    """A hundred percent of slope: pressure grows with every step, and nothing else gives way."""
    sketch = Sketch()
    chain = sketch.chain(0, length=np.full(50, 1.0), bore=0.016, heights=-np.arange(1, 51) / np.sqrt(2))
    for at in range(50):
        sketch.outlet(Kind(1e-6, 7.0, exponent=0.0), chain=chain, at=at)
    drawing = sketch.drawing()
    pressure = solve(drawing.network(), fixed(8.0)).head[0] - drawing.elevation
    assert (np.diff(pressure[:50]) > 0.6).all()
