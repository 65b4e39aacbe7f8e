"""The way down the co-content, taken where Newton's method fails: right from anywhere, without help."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.hydraulics.bracketed_root import bracketed_root
from service.hydraulics.descent import SOURCE_TILT, _Descent, carried_flow, descend
from service.hydraulics.friction import Pipes, friction_law
from service.hydraulics.newton import ENERGY_TOLERANCE, Newton
from service.hydraulics.solve import FixedHead, solve
from tests.networks import (
    SMOOTH,
    VISCOSITY,
    WEIGHT,
    Drawing,
    Seeded,
    Supply,
    Taste,
    nominal_flow,
    random_drawing,
    random_supply,
    supplied,
)
from tests.properties.solving import HEAD, fixed


@settings(max_examples=40)
@given(zone=supplied(Taste(chains=3, places=4)), head=st.floats(-5.0, 60.0))
def test_a_descent_from_anywhere_ends_at_the_answer(zone: tuple[Drawing, Supply], head: float):
    drawing, supply = zone
    network, source = drawing.network(), supply.source()
    newton, every = Newton(network, source, None), np.arange(1)
    start = newton.places(np.full((1, network.nodes), head))
    state = newton.evaluate(start, np.zeros((1, len(network.shape.closing))), every)
    found, unsolved, _ = descend(newton, state, every, every)
    assert not len(unsolved)
    answer = solve(network, source).head
    np.testing.assert_allclose(found.head.take(network.shape.node_place, axis=1), answer, atol=HEAD)


def test_of_many_scenarios_those_that_are_named_are_solved_and_the_others_left_alone():
    drawing = random_drawing(Seeded(np.random.default_rng(5)), Taste(chains=3, places=4))
    network, source, every = drawing.network(), FixedHead(np.array([12.0, 25.0, 40.0, 8.0])), np.arange(4)
    newton = Newton(network, source, None)
    start = newton.places(np.linspace(5.0, 35.0, 4)[:, None] * np.ones(network.nodes))
    state = newton.evaluate(start.copy(), np.zeros((4, len(network.shape.closing))), every)
    found, unsolved, _ = descend(newton, state, np.array([1, 3]), every)
    assert not len(unsolved)
    np.testing.assert_array_equal(found.head[[0, 2]], start[[0, 2]])
    heads = found.head.take(network.shape.node_place, axis=1)
    np.testing.assert_allclose(heads[[1, 3]], solve(network, source, scenarios=4).head[[1, 3]], atol=HEAD)


@pytest.mark.parametrize("head", [4.0, 9.9, 10.0, 12.5])
def test_a_source_gives_what_takes_its_head_to_that_of_the_inlet(head: float):
    """A fixed head of 10 m, tilted by a tenth of a millimetre a litre a second, and one that falls with the flow."""
    network = random_drawing(Seeded(np.random.default_rng(5)), Taste(chains=3, places=4)).network()
    flow, fall = _Descent(Newton(network, fixed(10.0), None), np.arange(1))._supplied(np.array([head]), np.zeros(1))
    assert flow[0] == pytest.approx((10.0 - head) / SOURCE_TILT, rel=1e-12, abs=1e-9)
    assert fall[0] == pytest.approx(SOURCE_TILT)
    falling = Supply(10.0 * WEIGHT, test=(1e-3, 2.0 * WEIGHT)).source()
    flow, fall = _Descent(Newton(network, falling, None), np.arange(1))._supplied(np.array([head]), np.zeros(1))
    drop = 2.0 * (max(flow[0], 0.0) / 1e-3) ** 1.852
    assert 10.0 - drop - SOURCE_TILT * flow[0] == pytest.approx(head, abs=1e-9)


@pytest.mark.parametrize("guess", [0.0, 2e-6])
def test_flows_of_slow_links_and_fast_ones_are_found_together_in_a_few_looks(guess: float):
    """A starved zone has a hundred thousand of them: laminar to the last bit, in transition, turbulent."""
    drops = np.concatenate((np.geomspace(1e-18, 1e-6, 4000), np.geomspace(1e-6, 1.0, 4000)))
    pipes = Pipes(*(np.full(len(drops), value) for value in (0.3, 0.0157, SMOOTH, 150.0, 0.0)))
    looks = []

    class Counted:
        law = friction_law(pipes, law="darcy_weisbach", viscosity=VISCOSITY)

        def loss(self, flow: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
            looks.append(flow)
            return self.law.loss(flow)

    carried = carried_flow(Counted(), drops, guess=np.full_like(drops, guess))
    np.testing.assert_allclose(Counted.law.loss(carried)[0], drops, rtol=1e-12)
    assert len(looks) <= 15


def test_no_step_of_newtons_method_makes_the_worst_equation_worse():
    """Of full steps from far away every fifteenth or so would: they are shortened until it is better."""
    every, worse = np.arange(1), 0
    for seed in range(60):
        dice = Seeded(np.random.default_rng(seed))
        drawing = random_drawing(dice)
        newton = Newton(drawing.network(), random_supply(dice, nominal_flow(drawing)).source(), None)
        shape = newton.network.shape
        state = newton.evaluate(
            newton.places(np.full((1, len(drawing.elevation)), 20.0)), np.zeros((1, len(shape.closing))), every
        )
        for _ in range(3):
            step, closing_step = newton.step(state)
            worse += newton.evaluate(state.head + step, state.closing_flow + closing_step, every).worst > state.worst
            taken = newton._advance(state, step, closing_step, every)
            assert taken.worst <= np.maximum(state.worst, ENERGY_TOLERANCE)
            state = taken
    assert worse > 5


@given(zone=supplied(Taste(chains=3, places=4)), data=st.data())
def test_the_flow_that_a_drop_carries_loses_that_drop(zone: tuple[Drawing, Supply], data):
    drawing, _ = zone
    law = drawing.network().friction
    drops = st.just(0.0) | st.floats(1e-9, 60.0) | st.floats(-60.0, -1e-9)
    drop = np.array(data.draw(st.lists(drops, min_size=len(drawing.length), max_size=len(drawing.length))))
    guess = data.draw(st.floats(-1e-3, 1e-3)) * np.ones_like(drop)
    flow = carried_flow(law, drop, guess=guess)
    np.testing.assert_allclose(law.loss(flow)[0], drop, rtol=1e-9, atol=1e-15)
    assert (np.sign(flow) == np.sign(drop)).all()


@pytest.mark.parametrize(
    ("law", "root"),
    [
        (lambda x: (x**3 - 8.0, 3 * x**2 + 1e-300), 2.0),
        (lambda x: (np.where(x < 1.0, 1e-3, 1e3) * (x - 1.0), np.where(x < 1.0, 1e-3, 1e3)), 1.0),  # a sharp kink
        (lambda x: (np.cbrt(x - 3.0), 1.0 / (3.0 * np.cbrt(np.square(x - 3.0)) + 1e-300)), 3.0),  # Newton flees
        (lambda x: (np.tanh(50.0 * (x - 4.0)), 50.0 / np.cosh(50.0 * (x - 4.0)) ** 2 + 1e-300), 4.0),
        (lambda x: (x, np.ones_like(x)), 0.0),
    ],
)
def test_roots_are_found_between_brackets_however_bent_the_function(law, root: float):
    low, high = np.zeros(5), np.full(5, 10.0)
    found = bracketed_root(law, low=low, high=high, guess=np.linspace(0.0, 10.0, 5), nearness=1e-13)
    np.testing.assert_allclose(found, root, atol=1e-11)


@pytest.mark.parametrize("root", [0.0, 3.7, 10.0])
def test_a_straight_line_is_met_in_one_step_at_the_brackets_too(root: float):
    """The first look finds the root, the second one that there is nothing left to do."""
    looks: list[float] = []

    def line(x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        looks.append(float(x[0]))
        return 2.0 * (x - root), np.full_like(x, 2.0)

    ends = np.array([0.0]), np.array([10.0])
    assert bracketed_root(line, low=ends[0], high=ends[1], guess=np.array([5.0]), nearness=0.0)[0] == root
    assert looks == [5.0, root]


def test_a_curve_is_met_as_fast_as_newtons_method_goes():
    """x² = 2 from 2 in six steps by hand, each with twice the digits of the one before, and no bracket in the way."""
    looks: list[float] = []

    def square(x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        looks.append(float(x[0]))
        return x**2 - 2.0, 2.0 * x

    bracketed_root(square, low=np.array([0.1]), high=np.array([2.0]), guess=np.array([2.0]), nearness=1e-15)
    newton = [2.0, 3 / 2, 17 / 12, 577 / 408, 665857 / 470832]
    assert looks[:5] == pytest.approx(newton, rel=1e-15)
    assert len(looks) <= 6


def test_steps_that_do_not_shrink_are_halved_until_the_root_is_between_them():
    """Of a sharp bend Newton's method would go from one side to the other for ever: at most as many looks as digits."""
    looks: list[float] = []

    def bend(x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        looks.append(float(x[0]))
        return np.cbrt(x - 3.0), 1.0 / (3.0 * np.cbrt(np.square(x - 3.0)) + 1e-300)

    bracketed_root(bend, low=np.zeros(1), high=np.full(1, 10.0), guess=np.array([9.0]), nearness=1e-13)
    assert len(looks) < 60


def test_a_search_without_end_hands_out_its_best_guess():
    found = bracketed_root(
        lambda x: (x - 2.0, np.ones_like(x)), low=np.zeros(1), high=np.ones(1) * 5.0, guess=np.zeros(1), nearness=-1.0
    )
    assert found[0] == 2.0
