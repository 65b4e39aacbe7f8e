"""Friction grows with flow and length, falls with bore, never jumps, and states its own slope."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.hydraulics.friction import BLOCK, FrictionLaw, Pipes, _blocks, friction_law, friction_number
from tests.networks import VISCOSITY
from tests.properties.slopes import never_jumps, slope_is_a_slope, spread

LAWS = ("darcy_weisbach", "hazen_williams")


def pipe(length: float, bore: float, roughness: float = 1.5e-6, local: float = 0.0) -> Pipes:
    """One pipe as a table."""
    return Pipes(*(np.array([value]) for value in (length, bore, roughness, 150.0, local)))


def loss_of(law: FrictionLaw, flow: float) -> float:
    """Loss of a table of one pipe. [m]"""
    return float(law.loss(np.array([flow]))[0][0])


PIPES = st.builds(
    pipe,
    length=spread(0.003, 1000.0),
    bore=spread(0.001, 0.1),
    roughness=st.floats(0.0, 1e-4),
    local=st.just(0.0) | st.floats(0.1, 10.0),
)


@given(law=st.sampled_from(LAWS), pipes=PIPES, flow=spread(1e-12, 1e-1))
def test_friction_grows_with_flow_without_a_jump(law: str, pipes: Pipes, flow: float):
    friction = friction_law(pipes, law=law, viscosity=VISCOSITY)
    slope_is_a_slope(friction.loss, flow, 1e-5 * flow)
    slope_is_a_slope(friction.loss, -flow, 1e-5 * flow)
    assert loss_of(friction, flow) == -loss_of(friction, -flow) > 0.0
    for joint in (1e-9, VISCOSITY * np.pi / 4 * pipes.bore[0]):  # of Hazen-Williams; Reynolds number 1
        never_jumps(friction.loss, joint, abs(loss_of(friction, joint)))
    points = np.concatenate(([0.0], flow * np.geomspace(1e-3, 1e3, 200)))
    assert (np.diff([loss_of(friction, point) for point in points]) > 0.0).all()


@given(law=st.sampled_from(LAWS), pipes=PIPES, flow=spread(1e-1, 1e20))
def test_friction_of_a_step_far_astray_is_a_number(law: str, pipes: Pipes, flow: float):
    loss, resistance = friction_law(pipes, law=law, viscosity=VISCOSITY).loss(np.array([flow]))
    assert np.isfinite(loss).all()
    assert np.isfinite(resistance).all()


@given(
    law=st.sampled_from(LAWS),
    flow=spread(1e-10, 1e-2),
    bore=spread(0.001, 0.1),
    length=spread(0.01, 1000.0),
    factor=st.floats(1.001, 3.0),
)
def test_loss_grows_with_length_and_falls_with_bore(law: str, flow: float, bore: float, length: float, factor: float):
    """At a given flow; Churchill's factor never falls fast enough in transition to make a wider pipe lose more."""

    def loss(length: float, bore: float) -> float:
        return loss_of(friction_law(pipe(length, bore), law=law, viscosity=VISCOSITY), flow)

    assert loss(factor * length, bore) == pytest.approx(factor * loss(length, bore), rel=1e-12)
    assert loss(length, factor * bore) < loss(length, bore)


@given(reynolds=spread(1.0, 1e8), roughness=st.floats(0.0, 0.05))
def test_the_logarithmic_slope_of_the_factor_is_its_slope(reynolds: float, roughness: float):
    step = 1e-6
    low, high = (friction_number(np.array([reynolds * np.exp(s)]), roughness)[0][0] for s in (-step, step))
    stated = friction_number(np.array([reynolds]), roughness)[1][0]
    # The number is f Re, whose slope is one more than that of f.
    assert stated == pytest.approx(np.log(high / low) / (2 * step) - 1.0, abs=2e-5)
    assert stated > -1.0 - 1e-12


@pytest.mark.parametrize("law", LAWS)
def test_friction_of_many_links_is_that_of_each(law: str):
    """A row of links long enough to be worked out block by block."""
    ranges = ((0.1, 2.0), (0.01, 0.05), (0.0, 1e-5), (100.0, 150.0), (0.0, 3.0))
    columns = [np.linspace(low, high, 40_000) for low, high in ranges]
    flow = np.linspace(-1e-3, 1e-3, 40_000)
    loss, slope = friction_law(Pipes(*columns), law=law, viscosity=VISCOSITY).loss(flow)
    for link in (0, 16_383, 16_384, 25_000, 39_999):
        alone = friction_law(Pipes(*(column[link : link + 1] for column in columns)), law=law, viscosity=VISCOSITY)
        assert loss_of(alone, flow[link]) == pytest.approx(loss[link], rel=1e-12)
        assert alone.loss(flow[link : link + 1])[1][0] == pytest.approx(slope[link], rel=1e-12)


@pytest.mark.parametrize(("rows", "links"), [(1, 1), (1, 5000), (3, 4096), (3, 4097), (2, 2049), (9000, 1), (50, 300)])
def test_blocks_cover_a_table_once_and_fit_into_the_cache(rows: int, links: int):
    covered = np.zeros((rows, links), dtype=int)
    for block in _blocks(rows, links):
        assert 0 < covered[block].size <= BLOCK
        covered[block] += 1
    assert (covered == 1).all()


@pytest.mark.parametrize("shape", [(2, 4096), (2, 4097), (3, 2000), (5000, 1), (1400, 3), (1, 2, 4097)])
def test_friction_of_many_scenarios_is_that_of_each(shape: tuple[int, ...]):
    """Tables that are worked out in blocks of links, in blocks of scenarios, and in both."""
    links = shape[-1]
    pipes = Pipes(
        *(np.linspace(low, high, links) for low, high in ((0.1, 2.0), (0.01, 0.05), (0.0, 1e-5), (150, 150), (0, 3)))
    )
    law = friction_law(pipes, law="darcy_weisbach", viscosity=VISCOSITY)
    flow = np.linspace(-1e-3, 1e-3, int(np.prod(shape))).reshape(shape)
    loss, slope = law.loss(flow)
    assert loss.shape == slope.shape == shape
    table, losses, slopes = (part.reshape(-1, links) for part in (flow, loss, slope))
    for row in {0, len(table) // 2, len(table) - 1}:
        for first in range(0, links, 1000):
            some = slice(first, first + 1000)
            alone = friction_law(
                Pipes(*(getattr(pipes, name)[some] for name in Pipes.__slots__)),
                law="darcy_weisbach",
                viscosity=VISCOSITY,
            ).loss(table[row, some])
            np.testing.assert_allclose(losses[row, some], alone[0], rtol=1e-12)
            np.testing.assert_allclose(slopes[row, some], alone[1], rtol=1e-12)


@pytest.mark.parametrize("law", LAWS)
def test_water_at_rest_loses_nothing_and_pushes_back_when_moved(law: str):
    loss, slope = friction_law(pipe(1.0, 0.01), law=law, viscosity=VISCOSITY).loss(np.zeros(1))
    assert loss[0] == 0.0
    assert slope[0] > 0.0


def test_fittings_cost_their_velocity_heads():
    """h = K v² / 2g, by hand: K = 2 at 1 m/s is 0.102 m."""
    fitting = pipe(1e-9, 0.02, local=2.0)
    for law in LAWS:
        lost = loss_of(friction_law(fitting, law=law, viscosity=VISCOSITY), float(fitting.area[0]))
        assert lost == pytest.approx(2.0 / (2 * 9.80665), rel=1e-6)
