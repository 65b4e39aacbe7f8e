"""Zones made to defeat the solver: no valid zone may be left without an answer.

The generator draws starved, uphill, looped, tubed and jumpy zones with links of 3 mm; the seeds named one by one once
ran in circles. Hundreds of thousands more were drawn while this was written.
"""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from service.hydraulics.solve import OpenEnds, solve
from tests.networks import (
    WEIGHT,
    Drawing,
    Kind,
    Seeded,
    Sketch,
    Stage,
    Supply,
    nominal_flow,
    random_drawing,
    random_supply,
    sources,
)
from tests.properties.solving import fixed


def drawn(seed: int) -> tuple[Drawing, Supply]:
    """A random zone and its supply."""
    dice = Seeded(np.random.default_rng(seed))
    drawing = random_drawing(dice)
    return drawing, random_supply(dice, nominal_flow(drawing))


@pytest.mark.parametrize("first", range(0, 600, 100))
def test_a_hundred_hard_zones_each_have_an_answer(first: int):
    for seed in range(first, first + 100):
        drawing, supply = drawn(seed)
        rng = np.random.default_rng(seed)
        ends = OpenEnds(rng.integers(0, len(drawing.elevation), 1), rng.uniform(0.0, 2e-4, 1) * (seed % 3 == 0))
        solve(drawing.network(), supply.source(), open_ends=ends)


@pytest.mark.parametrize("seed", [72, 155, 212, 454, 556, 883, 953, 987, 2001, 3777])
def test_zones_that_ran_in_circles_have_an_answer(seed: int):
    drawing, supply = drawn(seed)
    assert solve(drawing.network(), supply.source()).energy_residual <= 1e-7


@pytest.mark.parametrize("exponent", [0.05, 0.1, 0.3, 0.5, 0.8, 1.0, 1.2])
@pytest.mark.parametrize("law", ["darcy_weisbach", "hazen_williams"])
@pytest.mark.parametrize("head", [0.5, 5.0, 50.0])
def test_every_exponent_on_a_line_far_too_long(exponent: float, law: str, head: float):
    sketch = Sketch(law=law)
    chain = sketch.chain(0, length=np.full(300, 1.5), bore=0.0132, heights=np.linspace(0, 4, 300))
    for at in range(300):
        sketch.outlet(Kind(2e-6, 10.0, exponent=exponent), chain=chain, at=at)
    solution = solve(sketch.drawing().network(), fixed(head))
    assert 0.0 < solution.inflow[0] < 300 * 2e-6 * max(1.0, (head / 10.0) ** exponent)


@pytest.mark.parametrize("share", [0.0, 0.5, 0.9, 0.99, 0.999])
def test_outlets_that_shut_close_to_where_they_open(share: float):
    """Many sit just at the opening: which of them opens decides over the others."""
    sketch = Sketch()
    supply, exhaust = [sketch.junction() for _ in range(6)], [sketch.junction() for _ in range(6)]
    for near, far in pairwise([0, *supply]):
        sketch.chain(near, far, length=[0.5], bore=0.02)
    for near, far in pairwise(exhaust):
        sketch.chain(near, far, length=[0.5], bore=0.02)
    for near, far in zip(supply, exhaust, strict=True):
        lateral = sketch.chain(near, far, length=np.full(31, 0.3), bore=0.0132)
        for at in range(30):
            sketch.outlet(Kind(2e-6, 7.0, exponent=0.0, closing=share * 7.0), chain=lateral, at=at)
    for head in (6.9, 7.1, 7.5, 8.0, 10.0, 20.0):
        assert solve(sketch.drawing().network(), fixed(head)).mass_residual <= 1e-9


def test_links_of_three_millimetres_between_a_hundred_thousand_outlets():
    sketch = Sketch()
    count = 100_000
    length = np.where(np.arange(count) % 2, 0.003, 0.01)
    chain = sketch.chain(0, length=length, bore=0.05)
    sketch.outlet(Kind(1e-8, 10.0), chain=chain, at=0)
    drawing = sketch.drawing()
    drawing = replace(drawing, outlet_node=np.arange(count), kinds=drawing.kinds * count)
    solution = solve(drawing.network(), fixed(20.0))
    assert solution.energy_residual <= 1e-7
    assert solution.mass_residual <= 1e-9
    assert (np.diff(solution.head[0, :count]) <= 1e-9).all()


@pytest.mark.parametrize("slack", [-1e-3, -1e-9, 0.0, 1e-9, 1e-3])
def test_a_regulator_that_hovers_at_its_setting(slack: float):
    """The supply leaves exactly its set pressure, a hair more, a hair less."""
    drawing, _ = drawn(7)
    flow = float(solve(drawing.network(), fixed(15.0)).inflow[0])
    stage = Stage(square=(flow, 3e4), set_pressure=15.0 * WEIGHT)
    supply = Supply(15.0 * WEIGHT + 3e4 + slack, test=(flow, 0.0), stages=(stage,))
    solution = solve(drawing.network(), supply.source())
    assert solution.head[0, drawing.inner] == pytest.approx(15.0, abs=2e-3)


def test_pump_curves_with_steep_ends_and_tables_with_flat_parts():
    drawing, _ = drawn(11)
    flow = nominal_flow(drawing)
    pump = ((0.0, 4e5), (0.5 * flow, 4e5), (0.6 * flow, 3.9e5), (0.61 * flow, 1e4), (0.611 * flow, 0.0))
    table = ((0.1 * flow, 0.0), (0.2 * flow, 2e4), (0.9 * flow, 2e4), (flow, 9e4))
    for set_pressure in (np.inf, 3e5, 1e5, 1e4):
        supply = Supply(4e5, pump=pump, stages=(Stage(table=table, set_pressure=set_pressure),))
        assert 0.0 < solve(drawing.network(), supply.source()).inflow[0] < 0.612 * flow


def test_a_ladder_of_supplies_from_nothing_to_plenty():
    """Two hundred pressures in one stack: each answer is accepted on its own, and flow only grows."""
    drawing, supply = drawn(23)
    ladder = [replace(supply, pressure=head * WEIGHT, pump=()) for head in np.linspace(-2.0, 80.0, 200)]
    solution = solve(drawing.network(), sources(ladder), scenarios=200)
    assert (np.diff(solution.inflow) >= -1e-12).all()
