"""One zone drawn in several ways, or solved beside others, gives one answer."""

from dataclasses import replace

import numpy as np
from hypothesis import assume, given
from hypothesis import strategies as st

from service.hydraulics.solve import OpenEnds, Start, solve
from tests.networks import WEIGHT, Drawing, Supply, Taste, drawings, sources, supplied
from tests.properties.changes import doubled, shuffled, split, turned
from tests.properties.solving import HEAD, fixed, solved

SMALL = Taste(chains=4, places=4)


@given(zone=supplied(SMALL), data=st.data())
def test_renaming_and_permuting_runs_changes_nothing(zone: tuple[Drawing, Supply], data):
    drawing, supply = zone
    chains = data.draw(st.permutations(range(len(drawing.links))))
    junctions = data.draw(st.permutations(range(1, drawing.junctions)))
    other, nodes = shuffled(drawing, chains, junctions)
    one, two = solved(drawing, supply), solved(other, supply)
    np.testing.assert_allclose(two.head[0, nodes], one.head[0], atol=HEAD)
    np.testing.assert_allclose(two.inflow, one.inflow, rtol=1e-4)


@given(zone=supplied(SMALL), data=st.data())
def test_declaring_a_run_from_its_other_end_turns_its_flow_and_nothing_else(zone: tuple[Drawing, Supply], data):
    drawing, supply = zone
    through = np.flatnonzero(drawing.downstream >= 0)
    assume(len(through))
    # Fittings belong to the inlet of a run, so that they stay where they are only if there are none.
    plain = replace(drawing, local=np.zeros_like(drawing.local))
    other, nodes = turned(plain, data.draw(st.sampled_from(through.tolist())))
    one, two = solved(plain, supply), solved(other, supply)
    np.testing.assert_allclose(two.head[0, nodes], one.head[0], atol=HEAD)


@given(zone=supplied(SMALL), part=st.floats(0.01, 0.99), data=st.data())
def test_a_run_split_in_two_in_series_changes_nothing(zone: tuple[Drawing, Supply], part: float, data):
    drawing, supply = zone
    other, nodes = split(drawing, data.draw(st.integers(0, len(drawing.length) - 1)), part)
    one, two = solved(drawing, supply), solved(other, supply)
    np.testing.assert_allclose(two.head[0, nodes], one.head[0], atol=HEAD)


@given(drawing=drawings(SMALL), head=st.floats(1.0, 60.0))
def test_mirror_images_on_one_inlet_agree_with_each_other_and_with_one_alone(drawing: Drawing, head: float):
    both, one, two = doubled(drawing)
    alone, together = solved(drawing, fixed(head)), solved(both, fixed(head))
    np.testing.assert_allclose(together.head[0, one], alone.head[0], atol=HEAD)
    np.testing.assert_allclose(together.head[0, two], alone.head[0], atol=HEAD)
    np.testing.assert_allclose(together.inflow, 2 * alone.inflow, rtol=1e-4)


@given(zone=supplied(SMALL), height=st.floats(-50.0, 50.0))
def test_heights_count_from_anywhere(zone: tuple[Drawing, Supply], height: float):
    drawing, supply = zone
    lifted = replace(drawing, elevation=drawing.elevation + height)
    level = solved(drawing, supply).head[0]
    # The same pressure at the inlet, whatever height it is said to have.
    inlet = level[drawing.inner]
    np.testing.assert_allclose(solved(lifted, fixed(inlet + height)).head[0] - height, level, atol=2 * HEAD)


@given(zone=supplied(SMALL), pressures=st.lists(st.floats(-1.0, 60.0), min_size=1, max_size=8), data=st.data())
def test_stacked_scenarios_equal_single_solves(zone: tuple[Drawing, Supply], pressures: list[float], data):
    """Each with its own pressure, and one end open to air in some of them."""
    drawing, supply = zone
    stack = [replace(supply, pressure=head * WEIGHT) for head in pressures]
    nodes = data.draw(st.lists(st.integers(0, len(drawing.elevation) - 1), min_size=len(stack), max_size=len(stack)))
    areas = data.draw(st.lists(st.just(0.0) | st.floats(1e-7, 1e-3), min_size=len(stack), max_size=len(stack)))
    network = drawing.network()
    ends = OpenEnds(node=np.array(nodes), area=np.array(areas))
    together = solve(network, sources(stack), scenarios=len(stack), open_ends=ends)
    for row, (one, node, area) in enumerate(zip(stack, nodes, areas, strict=True)):
        alone = solve(network, one.source(), open_ends=OpenEnds(np.array([node]), np.array([area])))
        np.testing.assert_allclose(together.head[row], alone.head[0], atol=HEAD)
        np.testing.assert_allclose(together.opened[row], alone.opened[0], atol=1e-7, rtol=1e-4)
        np.testing.assert_allclose(together.discharge.working_head[row], alone.discharge.working_head[0], atol=HEAD)


@given(zone=supplied(SMALL), away=st.floats(-30.0, 30.0))
def test_where_the_search_starts_makes_no_difference(zone: tuple[Drawing, Supply], away: float):
    drawing, supply = zone
    network, source = drawing.network(), supply.source()
    one = solve(network, source)
    start = one.head + away * np.linspace(0.0, 1.0, network.nodes)
    np.testing.assert_allclose(solve(network, source, start=Start(start)).head, one.head, atol=HEAD)


@given(
    drawing=drawings(
        Taste(chains=4, places=4, laws=("hazen_williams",), compensating=False, tubes=False, steepest=0.0)
    ),
    head=st.floats(5.0, 20.0),
    factor=st.floats(1.0, 4.0),
)
def test_a_level_zone_of_one_exponent_scales(drawing: Drawing, head: float, factor: float):
    """With x = 1/1.852 loss is proportional to head, so that every head grows with the inlet's and flows with its x."""
    kinds = tuple(replace(kind, exponent=1 / 1.852) for kind in drawing.kinds)
    level = replace(
        drawing, kinds=kinds, local=np.zeros_like(drawing.local), elevation=np.zeros_like(drawing.elevation)
    )
    one, two = solved(level, fixed(head)), solved(level, fixed(factor * head))
    np.testing.assert_allclose(two.head, factor * one.head, rtol=1e-5, atol=5e-4)
    np.testing.assert_allclose(two.inflow, factor ** (1 / 1.852) * one.inflow, rtol=1e-3)
