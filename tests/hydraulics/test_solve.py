"""What the solver answers in plain cases, what it accepts, and what it refuses."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.hydraulics import descent, newton
from service.hydraulics import solve as solving
from service.hydraulics.solve import FixedHead, NotConverged, OpenEnds, Start, inlet_gain, solve
from tests.networks import NEVER, Drawing, Kind, Sketch, Supply, Taste, drawings, sources, supplied
from tests.properties.solving import HEAD, fixed

SMALL = Taste(chains=4, places=4)


def lateral(outlets: int, kind: Kind, *, spacing: float = 0.3, bore: float = 0.0157) -> Drawing:
    """One dead-end chain with an outlet at every node."""
    sketch = Sketch()
    chain = sketch.chain(0, length=np.full(outlets, spacing), bore=bore)
    for at in range(outlets):
        sketch.outlet(kind, chain=chain, at=at)
    return sketch.drawing()


@pytest.mark.parametrize("outlets", [1, 2, 3])
def test_the_smallest_zones_are_zones(outlets: int):
    solution = solve(lateral(outlets, Kind(1e-6, 10.0)).network(), fixed(10.0))
    assert solution.inflow[0] == pytest.approx(outlets * 1e-6, rel=1e-2)
    assert solution.head[0, outlets] == pytest.approx(10.0, abs=1e-7)


def test_an_outlet_at_the_inlet_alone_is_a_zone():
    sketch = Sketch()
    sketch.chain(0, length=[1.0], bore=0.02)
    sketch.outlet(Kind(1e-6, 10.0), at=0)
    solution = solve(sketch.drawing().network(), fixed(10.0))
    assert solution.inflow[0] == pytest.approx(1e-6, rel=1e-9)
    np.testing.assert_allclose(solution.head, 10.0, atol=1e-9)


def test_a_zone_in_which_nothing_flows_is_an_answer():
    """Too little pressure to reach any outlet."""
    sketch = Sketch()
    chain = sketch.chain(0, length=[10.0, 10.0], bore=0.02, heights=[5.0, 6.0])
    for at in range(2):
        sketch.outlet(Kind(1e-6, 10.0), chain=chain, at=at)
    solution = solve(sketch.drawing().network(), fixed(3.0))
    assert solution.inflow[0] == 0.0
    np.testing.assert_array_equal(solution.flow, 0.0)
    np.testing.assert_allclose(solution.head, 3.0, atol=1e-12)


def test_water_reaches_the_low_outlets_only_where_pressure_ends_on_a_hill():
    sketch = Sketch()
    chain = sketch.chain(0, length=[10.0, 10.0, 10.0], bore=0.02, heights=[1.0, 8.0, 2.0])
    for at in range(3):
        sketch.outlet(Kind(1e-6, 10.0), chain=chain, at=at)
    flow = solve(sketch.drawing().network(), fixed(5.0)).discharge.flow[0]
    assert flow[0] > 0.0
    assert flow[1] == 0.0
    assert flow[2] > 0.0


def test_usual_zones_take_few_steps():
    """A header with ten laterals of thirty outlets, as real as they come."""
    for law in ("darcy_weisbach", "hazen_williams"):
        for kind in (Kind(5e-7, 10.0), Kind(5e-7, 7.0, exponent=0.0)):
            sketch = Sketch(law=law)
            before = 0
            for _ in range(10):
                tee = sketch.junction()
                sketch.chain(before, tee, length=[0.5], bore=0.026)
                lateral = sketch.chain(tee, length=np.full(30, 0.3), bore=0.0157)
                for at in range(30):
                    sketch.outlet(kind, chain=lateral, at=at)
                before = tee
            assert solve(sketch.drawing().network(), fixed(20.0)).steps <= 6


@given(zone=supplied(SMALL), sizes=st.lists(st.integers(1, 5), min_size=1, max_size=3))
def test_a_stack_cut_into_parts_gives_the_same(zone: tuple[Drawing, Supply], sizes: list[int]):
    drawing, supply = zone
    rows = sum(sizes)
    source = sources([supply] * rows)
    network = drawing.network()
    start = Start(np.linspace(0, 30, rows)[:, None] * np.ones(network.nodes))
    whole = solve(network, source, scenarios=rows, start=start)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(solving, "STACK", 2 * network.shape.links)
        parts = solve(network, source, scenarios=rows, start=start)
    for name in ("head", "flow", "inflow", "opened"):
        np.testing.assert_array_equal(getattr(parts, name).shape, getattr(whole, name).shape)
    np.testing.assert_allclose(parts.head, whole.head, atol=HEAD)
    np.testing.assert_allclose(parts.discharge.working_head, whole.discharge.working_head, atol=HEAD)
    assert parts.steps <= whole.steps + 1


@given(drawing=drawings(SMALL), head=st.floats(5.0, 60.0))
def test_the_gain_of_the_inlet_is_how_far_heads_follow_it(drawing: Drawing, head: float):
    """By finite differences to either side; the stated gain lies between, at kinks of the outlet laws too."""
    network = drawing.network()
    step = 1e-3
    low, here, high = (solve(network, fixed(head + by)) for by in (-step, 0.0, step))
    left, right = ((b.head - a.head) / step for a, b in ((low, here), (here, high)))
    gain = inlet_gain(network, here)
    slack = 0.02 + 2 * HEAD / step
    assert (gain >= np.minimum(left, right) - slack).all()
    assert (gain <= np.maximum(left, right) + slack).all()
    assert gain[0, drawing.inner] == pytest.approx(1.0, abs=1e-6)
    assert (gain > -1e-9).all()
    assert (gain < 1.0 + 1e-9).all()


def test_an_open_end_lets_out_what_its_area_and_head_say():
    """Twenty outlets uphill to an end that lies 4 m above the inlet."""
    drawing = lateral(20, Kind(1e-6, 10.0))
    drawing = replace(drawing, elevation=np.append(np.linspace(0.2, 4.0, 20), 0.0))
    area = np.pi / 4 * 0.0157**2
    ends = OpenEnds(node=np.array([19, 19]), area=np.array([0.0, area]))
    solution = solve(drawing.network(), FixedHead(np.array([15.0, 15.0])), scenarios=2, open_ends=ends)
    assert solution.opened[0] == 0.0
    assert solution.opened[1] == pytest.approx(area * np.sqrt(2 * 9.80665 * (solution.head[1, 19] - 4.0)), rel=1e-9)
    assert solution.flow[1, 19] == pytest.approx(solution.opened[1] + solution.discharge.flow[1, 19], rel=1e-9)
    assert (solution.head[1, :20] < solution.head[0, :20]).all()


def test_no_answer_is_an_error_that_says_how_far_it_came(monkeypatch):
    monkeypatch.setattr(newton, "MOST_STEPS", 1)
    monkeypatch.setattr(descent, "MOST_DESCENTS", 1)
    drawing = lateral(200, Kind(5e-6, 10.0), spacing=2.0, bore=0.01)
    with pytest.raises(NotConverged, match="no convergence in 3 steps; energy residual") as raised:
        solve(drawing.network(), fixed(30.0))
    assert raised.value.steps == 3
    assert raised.value.residual > 0.0


def test_an_answer_that_loses_water_is_none(monkeypatch):
    monkeypatch.setattr(solving, "MASS_TOLERANCE", -1.0)
    with pytest.raises(NotConverged):
        solve(lateral(3, Kind(1e-6, 10.0)).network(), fixed(10.0))


def test_what_is_not_a_number_is_no_answer_either():
    with pytest.raises(NotConverged, match="0 steps"):
        solve(lateral(3, Kind(float("nan"), 10.0)).network(), fixed(10.0))


@pytest.mark.parametrize("places", [[0, 1, 2], [3]])
def test_outlets_that_fall_with_pressure_are_refused(places: list[int]):
    """No such outlet is made; but a law that breaks the rules must not be answered. Inside a chain, and at its end."""
    sketch = Sketch()
    end = sketch.junction()
    sketch.chain(0, end, length=np.full(4, 1.0), bore=0.02)
    for at in places:
        sketch.outlet(Kind(-1.0, 10.0), chain=-1 if at == 3 else 0, at=1 if at == 3 else at)
    sketch.outlet(Kind(1e-3, 10.0), chain=0, at=0)
    with pytest.raises(NotConverged):
        solve(sketch.drawing().network(), fixed(10.0))


def test_compensating_outlets_give_their_flow_to_the_last():
    """By hand: all heads are above the least working head, so every outlet gives its nominal flow."""
    solution = solve(lateral(100, Kind(5e-7, 7.0, exponent=0.0, saturates=NEVER)).network(), fixed(20.0))
    np.testing.assert_allclose(solution.discharge.flow, 5e-7, rtol=1e-12)
    np.testing.assert_allclose(solution.flow[0], 5e-7 * np.arange(100, 0, -1), rtol=1e-9)
