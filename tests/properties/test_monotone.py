"""The promise of the service: adding length or outlets never reduces loss. And what else only ever goes one way.

T1, adding an outlet, and T3, adding length, are the promise; T2 (more pressure), T4 (appending length with outlets) and
T5 (more resistance in a loop) keep it company. Each is stated for the zones for which it is true, with power-law and
compensating outlets, hills, both friction laws, behind fixed heads, curves and regulators. Some statements that sound
just as plain are false and are not asserted: a longer run may well lower the loss of another one.
"""

from dataclasses import replace

import numpy as np
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.networks import WEIGHT, Drawing, Drawn, Kind, Sketch, Supply, Taste, random_kind, supplied
from tests.properties.changes import beyond, with_appended, with_inserted, with_kinds, with_length, with_outlet
from tests.properties.solving import HEAD, fixed, sharpness, solved

SMALL = Taste(chains=4, places=4, onto_itself=False)
TREES = Taste(chains=4, places=4, shapes=("tree",))
LOOPS = Taste(chains=4, places=4, shapes=("grid", "mesh"), onto_itself=False)


@st.composite
def kinds(draw) -> Kind:
    """Any kind of outlet."""
    return random_kind(Drawn(draw), SMALL)


def passing_more(kind: Kind, factor: float) -> Kind:
    """A law that passes more at every head."""
    return replace(kind, flow=kind.flow * factor)


def no_pressure_rises_and_flow_grows(before: Drawing, after: Drawing, supply: Supply) -> None:
    """T1's conclusion: heads, total flow, drops from the static pressure; and losses at a fixed inlet head."""
    one, two = solved(before, supply), solved(after, supply)
    assert (two.head <= one.head + HEAD).all()
    assert two.inflow[0] >= one.inflow[0] - sharpness(before, one) - sharpness(after, two)
    inlet = one.head[0, before.inner]
    held = solved(after, fixed(inlet))
    assert (inlet - held.head >= inlet - one.head - HEAD).all()


@given(zone=supplied(SMALL), kind=kinds(), data=st.data())
def test_t1_adding_an_outlet_never_reduces_loss(zone: tuple[Drawing, Supply], kind: Kind, data):
    drawing, supply = zone
    node = data.draw(st.integers(0, len(drawing.elevation) - 1))
    no_pressure_rises_and_flow_grows(drawing, with_outlet(drawing, node, kind), supply)


@given(zone=supplied(SMALL), factor=st.floats(1.0, 3.0), data=st.data())
def test_t1_an_outlet_that_passes_more_never_reduces_loss(zone: tuple[Drawing, Supply], factor: float, data):
    drawing, supply = zone
    kind = data.draw(st.sampled_from(drawing.kinds))
    no_pressure_rises_and_flow_grows(drawing, with_kinds(drawing, {kind: passing_more(kind, factor)}), supply)


@given(zone=supplied(SMALL), more=st.floats(0.0, 20.0))
def test_t2_more_pressure_lowers_no_pressure_and_no_outlet(zone: tuple[Drawing, Supply], more: float):
    drawing, supply = zone
    higher = replace(
        supply,
        pressure=supply.pressure + more * WEIGHT,
        pump=tuple((flow, pressure + more * WEIGHT) for flow, pressure in supply.pump),
    )
    one, two = solved(drawing, supply), solved(drawing, higher)
    assert (two.head >= one.head - HEAD).all()
    slack = HEAD * np.maximum(one.discharge.slope, two.discharge.slope)
    assert (two.discharge.flow >= one.discharge.flow - slack - 1e-15).all()


@given(zone=supplied(TREES), length=st.floats(0.0, 50.0), rise=st.just(0.0) | st.floats(0.0, 3.0), data=st.data())
def test_t3_adding_length_never_reduces_loss(zone: tuple[Drawing, Supply], length: float, rise: float, data):
    """Level or rising length without outlets, put into any run of a tree, everything beyond lifted along."""
    drawing, supply = zone
    link = data.draw(st.integers(0, len(drawing.length) - 1))
    after = with_inserted(drawing, link, length, rise)
    one, two, far = solved(drawing, supply), solved(after, supply), beyond(drawing, link)
    pressure = [solution.head[0] - z.elevation for solution, z in ((one, drawing), (two, after))]
    assert (pressure[1][far] <= pressure[0][far] + HEAD).all()
    assert (pressure[1][~far] >= pressure[0][~far] - HEAD).all()
    assert two.inflow[0] <= one.inflow[0] + sharpness(drawing, one) + sharpness(after, two)
    drop = [values[drawing.inner] - values for values in pressure]
    assert (drop[1][far] >= drop[0][far] - 2 * HEAD).all()


@given(
    zone=supplied(TREES),
    lengths=st.lists(st.floats(0.003, 5.0), min_size=1, max_size=4),
    slope=st.floats(-0.3, 0.3),
    kind=kinds(),
    data=st.data(),
)
def test_t4_carrying_on_a_dead_end_raises_no_pressure(zone: tuple[Drawing, Supply], lengths, slope, kind, data):
    drawing, supply = zone
    dead = np.flatnonzero(drawing.downstream < 0)
    assume(len(dead))
    chain = data.draw(st.sampled_from(dead.tolist()))
    after, nodes = with_appended(drawing, chain, lengths, slope, kind)
    one, two = solved(drawing, supply), solved(after, supply)
    assert (two.head[0, nodes] <= one.head[0] + HEAD).all()


@given(zone=supplied(LOOPS), factor=st.floats(1.0, 20.0), data=st.data())
def test_t5_resistance_in_a_loop_dams_up_what_comes_and_starves_what_goes(zone: tuple[Drawing, Supply], factor, data):
    drawing, supply = zone
    link = data.draw(st.integers(0, len(drawing.length) - 1))
    one = solved(drawing, supply)
    two = solved(with_length(drawing, link, factor * drawing.length[link]), supply)
    start, end = (ends[link] for ends in drawing.ends())
    flow = one.flow[0, link]
    above, below = (start, end) if flow >= 0 else (end, start)
    assert two.head[0, above] >= one.head[0, above] - HEAD
    assert two.head[0, below] <= one.head[0, below] + HEAD
    # A flow that is nothing but the last bits of a balance has no direction to speak of.
    noise = 1e-9 * sum(kind.flow * kind.count for kind in drawing.kinds)
    # Heads of either solution may be off by `HEAD`, and an outlet be steep in one and flat in the other.
    slack = sharpness(drawing, one) + sharpness(drawing, two) + noise
    assert two.flow[0, link] * np.sign(flow) <= abs(flow) + slack or abs(flow) <= noise


@given(outlets=st.integers(1, 30), flow=st.floats(1e-7, 1e-5), law=st.sampled_from(SMALL.laws))
def test_friction_of_a_level_lateral_grows_with_its_outlets(outlets: int, flow: float, law: str):
    """At given outlet flows, which is what outlets that compensate perfectly give."""

    def friction(count: int) -> float:
        sketch = Sketch(law=law)
        chain = sketch.chain(0, length=np.full(count, 0.5), bore=0.0132)
        for at in range(count):
            sketch.outlet(Kind(flow, at=1e-3, exponent=0.0), chain=chain, at=at)
        head = solved(sketch.drawing(), fixed(200.0)).head[0]
        return float(head[count] - head[count - 1])

    assert friction(outlets + 1) > friction(outlets)
