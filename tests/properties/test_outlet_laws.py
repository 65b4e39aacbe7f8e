"""Outlets never give less for more pressure, never jump, and give nothing below zero."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from service.hydraulics.arrays import Floats
from service.hydraulics.outlets import Discharge, OutletLaw, OutletLaws, Outlets, open_end
from tests.networks import NEVER, Drawn, Kind, Sketch, Taste, random_kind
from tests.properties.slopes import never_falls, never_jumps, slope_is_a_slope, spread

LAWS = st.sampled_from(["darcy_weisbach", "hazen_williams"])


@st.composite
def kinds(draw: st.DrawFn) -> Kind:
    """Any kind of outlet."""
    return random_kind(Drawn(draw), Taste())


def outlets_of(kind: Kind, law: str = "darcy_weisbach") -> Outlets:
    """One group of outlets as the service takes it."""
    sketch = Sketch(law=law)
    sketch.outlet(kind, chain=sketch.chain(0, length=[1.0], bore=0.02), at=0)
    return sketch.drawing().network().outlets


@given(kind=kinds(), law=LAWS, head=st.floats(-5.0, 60.0) | spread(1e-7, 1.0))
def test_outlet_laws_never_fall_and_never_jump(kind: Kind, law: str, head: float):
    """Power law, compensating with and without a closing pressure, behind tubes and without."""
    outlets = outlets_of(kind, law)

    def flow(heads: Floats) -> tuple[Floats, Floats]:
        found, slope = outlets.flow(heads[:, None])
        return found[:, 0], slope[:, 0]

    # A root has a steep foot: the chords there differ more than elsewhere.
    slope_is_a_slope(flow, head, 1e-7 * max(abs(head), 1e-3), rel=2e-3)
    never_falls(flow, np.linspace(head, head + 20.0, 50))
    whole = outlets.discharge(np.array([[head]]))
    assert whole.flow[0, 0] == flow(np.array([head]))[0][0]
    assert whole.slope[0, 0] == flow(np.array([head]))[1][0]


@given(kind=kinds())
def test_outlet_laws_join_where_their_parts_meet(kind: Kind):
    """At nought, at the end of the straight foot, where it opens, where it is open, where it stops compensating."""
    law = OutletLaw(
        OutletLaws(*(np.array([getattr(kind, name)]) for name in ("flow", "at", "exponent", "closing", "saturates")))
    )
    for head in (0.0, 1e-4, kind.closing, kind.closing + 1e-4, kind.at, min(kind.saturates, 100.0)):
        never_jumps(lambda heads: law.flow(heads[:, None]), head, 1e2 * kind.flow)


@given(kind=kinds())
def test_nothing_flows_at_or_below_zero_pressure(kind: Kind):
    rise = kind.tube[2] if kind.tube else 0.0
    below = np.array([[rise - 10.0], [rise - 1e-9], [rise]])
    flow, slope = outlets_of(kind).flow(below)
    assert (flow == 0.0).all()
    assert (slope == 0.0).all()


COMPENSATING = OutletLaws(*(np.array([value]) for value in (2e-6, 8.0, 0.0, 3.0, 30.0)))


@pytest.mark.parametrize(
    ("head", "expected"),
    [
        (2.9, 0.0),
        (3.0, 0.0),
        (3.0 + 5.0 / 4, 1e-6),  # √(1/4)
        (8.0, 2e-6),
        (20.0, 2e-6),
        (30.0, 2e-6),
        (120.0, 4e-6),  # √(120/30)
    ],
)
def test_a_compensating_outlet_by_hand(head: float, expected: float):
    assert OutletLaw(COMPENSATING).flow(np.array([head]))[0][0] == pytest.approx(expected, abs=1e-18)


@given(gap=spread(1e-6, 5.0))
def test_an_outlet_that_opens_within_a_little_still_opens_continuously(gap: float):
    law = OutletLaw(OutletLaws(*(np.array([value]) for value in (2e-6, 8.0, 0.0, 8.0 - gap, NEVER))))
    heads = 8.0 - gap + gap * np.linspace(-0.5, 1.5, 20_001)
    flow = np.array([law.flow(np.array([head]))[0][0] for head in heads[::100]])
    assert (np.diff(flow) >= 0.0).all()
    just_below, at = (law.flow(np.array([8.0 - part * gap]))[0][0] for part in (1e-9, 0.0))
    assert just_below == pytest.approx(at, rel=1e-6)


@given(area=spread(1e-6, 1e-2), head=st.floats(1e-3, 50.0))
def test_an_open_end_lets_out_what_torricelli_says(area: float, head: float):
    """v = √(2 g h), E. Torricelli 1643."""
    flow, slope = open_end(np.array([head]), area=np.array([area]))
    assert flow[0] == pytest.approx(area * np.sqrt(2 * 9.80665 * head), rel=1e-12)
    assert slope[0] == pytest.approx(flow[0] / (2 * head), rel=1e-12)
    assert open_end(np.array([-head]), area=np.array([area]))[0][0] == 0.0


@given(kind=kinds(), law=LAWS)
def test_a_tube_never_gives_more_than_no_tube(kind: Kind, law: str):
    assume(kind.tube is not None)
    length, bore, _ = kind.tube
    heads = np.linspace(0.0, 40.0, 30)[:, None]
    with_tube = outlets_of(Kind(kind.flow, kind.at, kind.exponent, tube=(length, bore, 0.0)), law).flow(heads)[0]
    without = outlets_of(Kind(kind.flow, kind.at, kind.exponent), law).flow(heads)[0]
    assert (with_tube <= without * (1 + 1e-12)).all()


def test_what_leaves_is_told_of_every_group_in_its_place():
    """The middle one of three hangs on a tube; two scenarios, and both of them twice."""
    kinds = [Kind(1e-6, 10.0, count=2.0), Kind(2e-6, 10.0, count=3.0, tube=(2.0, 0.004, 0.5)), Kind(3e-6, 5.0, 0.0)]
    sketch = Sketch()
    chain = sketch.chain(0, length=[1.0] * 3, bore=0.02)
    for at, kind in enumerate(kinds):
        sketch.outlet(kind, chain=chain, at=at)
    outlets = sketch.drawing().network().outlets
    heads = np.array([[12.0, 11.0, 10.0], [9.0, 8.0, 7.0]])
    told = outlets.discharge(heads)
    for place, kind in enumerate(kinds):
        alone = outlets_of(kind).discharge(heads[:, [place]])
        np.testing.assert_allclose(told.flow[:, place], alone.flow[:, 0], rtol=1e-12)
        np.testing.assert_allclose(told.working_head[:, place], alone.working_head[:, 0], rtol=1e-12)
    np.testing.assert_allclose(told.outlet_flow * [2.0, 3.0, 1.0], told.flow, rtol=1e-15)
    np.testing.assert_array_equal((told.flow, told.slope), outlets.flow(heads))
    hung = np.array([False, True, False])
    np.testing.assert_array_equal(told.working_head[:, ~hung], heads[:, ~hung])
    np.testing.assert_array_equal(told.tube_loss[:, ~hung], 0.0)
    np.testing.assert_allclose((told.working_head + told.tube_loss)[:, 1], heads[:, 1] - 0.5, rtol=1e-12)
    assert (told.tube_loss[:, 1] > 0.0).all()
    assert outlets.laws.nominal.tolist() == [1e-6, 2e-6, 3e-6]
    twice = Discharge.joined([told, told])
    for name in Discharge.__slots__:
        np.testing.assert_array_equal(getattr(twice, name), np.concatenate([getattr(told, name)] * 2))


def test_laws_of_several_kinds_keep_their_places():
    """Power-law and compensating outlets in one table, each as if alone."""
    kinds = [Kind(1e-6, 10.0, 0.5), Kind(2e-6, 5.0, 0.0), Kind(3e-6, 10.0, 0.8), Kind(4e-6, 6.0, 0.0, closing=2.0)]
    columns = ("flow", "at", "exponent", "closing", "saturates")
    table = OutletLaws(*(np.array([getattr(kind, name) for kind in kinds]) for name in columns))
    heads = np.array([[1.0, 3.0, 8.0, 4.0], [20.0, 6.0, 0.1, 1.0]])
    together, slopes = OutletLaw(table).flow(heads)
    for place in range(len(kinds)):
        alone, slope = OutletLaw(table.take(np.array([place]))).flow(heads[:, place : place + 1])
        np.testing.assert_array_equal(together[:, place], alone[:, 0])
        np.testing.assert_array_equal(slopes[:, place], slope[:, 0])
