"""Devices and supplies never give pressure back, and states of the regulator are what they should be."""

from dataclasses import dataclass

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.hydraulics.devices import (
    NO_LOSS,
    FixedLoss,
    LossCurve,
    SharedLoss,
    SquareLoss,
    SumLoss,
    TableLoss,
)
from service.hydraulics.friction import Pipes, friction_law
from service.hydraulics.supply import FlowTestDrop, HeadStage, InletPressure, PipeDrop, PumpDrop
from service.parts.loss import Loss
from tests.networks import VISCOSITY, WEIGHT, Drawn, random_table
from tests.properties.slopes import of_many, slope_is_a_slope, spread

SERVICE_LINE = Pipes(*(np.array([value]) for value in (10.0, 0.025, 1.5e-6, 150.0, 2.0)))

FULL = 1e-3
"""A flow at which the devices below lose something like a device. [m³/s]"""


@st.composite
def tables(draw: st.DrawFn) -> TableLoss:
    """Measured curves with flat and steep parts."""
    return TableLoss(*np.array(random_table(Drawn(draw), FULL, 5e4)).T)


@st.composite
def pumps(draw: st.DrawFn) -> PumpDrop:
    """Pump curves, steep at the end as often as not."""
    flows, losses = np.array([(0.0, 0.0), *random_table(Drawn(draw), FULL, 5e4)]).T
    return PumpDrop(flows, 4e5 - losses)


SINGLE: st.SearchStrategy[LossCurve] = st.one_of(
    st.builds(FixedLoss, st.floats(0.0, 1e5)),
    st.builds(SquareLoss.through, flow=st.just(FULL), loss=spread(1e2, 1e6)),
    st.builds(FlowTestDrop, flow=st.just(FULL), drop=spread(1e3, 1e6)),
    st.just(PipeDrop(friction_law(SERVICE_LINE, law="darcy_weisbach", viscosity=VISCOSITY), WEIGHT)),
    tables(),
    pumps(),
)

CURVES = SINGLE | st.builds(SharedLoss, SINGLE, spread(1e-5, FULL)) | st.builds(SumLoss, st.tuples(SINGLE, SINGLE))


@given(curve=CURVES, flow=spread(1e-7, 1e-2))
def test_devices_and_supplies_never_give_pressure_back(curve: LossCurve, flow: float):
    points = np.concatenate(([0.0], np.geomspace(1e-7, 1e-2, 300)))
    loss, slope = of_many(curve.loss)(points)
    assert (np.diff(loss) >= -1e-9).all()
    assert (loss >= 0.0).all()
    assert (slope >= 0.0).all()
    slope_is_a_slope(of_many(curve.loss), flow, 1e-6 * flow, rel=1e-3)


def test_device_curves_by_hand():
    """A table is read along its lines through (0, 0), and by the square law beyond its last point."""
    table = TableLoss(np.array([1e-3, 2e-3]), np.array([1e4, 3e4]))
    flows = (0.0, 0.5e-3, 1e-3, 1.5e-3, 2e-3, 4e-3)
    assert [table.at(flow) for flow in flows] == pytest.approx([0.0, 5e3, 1e4, 2e4, 3e4, 12e4], rel=1e-12)
    one_psi, one_gpm, one_bar = 6894.757293168, 3.785411784e-3 / 60, 1e5
    cv = Loss(cv=10.0).curve
    assert cv.at(20.0 * one_gpm) == pytest.approx(4.0 * one_psi, rel=1e-9)
    kv = Loss(kv=5.0).curve
    assert kv.at(10.0 / 3600) == pytest.approx(4.0 * one_bar, rel=1e-12)
    drop = FlowTestDrop(flow=1e-3, drop=1e5)
    assert [drop.at(flow) for flow in (0.0, 1e-3, 2e-3)] == pytest.approx([0.0, 1e5, 1e5 * 2**1.852], rel=1e-12)

    shared = SharedLoss(SquareLoss.through(flow=2e-3, loss=4e4), 1e-3)
    assert shared.at(1e-3) == pytest.approx(4e4, rel=1e-12)
    assert NO_LOSS.at(1e-3) == 0.0


@dataclass(frozen=True, slots=True)
class Head:
    """Stages as numbers: the loss of each at `FULL` by the square law, and its set pressure."""

    stages: tuple[tuple[float, float], ...]

    def built(self) -> tuple[HeadStage, ...]:
        """As the service takes it."""
        return tuple(HeadStage(SquareLoss.through(flow=FULL, loss=loss), hold) for loss, hold in self.stages)

    def pressure(self, no_flow: float, flow: float) -> float:
        """What it leaves, one stage after another. [Pa]"""
        for loss, hold in self.stages:
            no_flow = min(no_flow - loss * (flow / FULL) ** 2, hold)
        return no_flow


HEADS = st.builds(
    Head, st.lists(st.tuples(spread(1e2, 1e5), st.just(np.inf) | st.floats(5e4, 4e5)), max_size=3).map(tuple)
)


@given(heads=st.lists(HEADS, min_size=1, max_size=5), flow=spread(1e-6, 5e-3), drop=spread(1e2, 1e5))
def test_a_regulator_lets_through_the_lesser_of_its_setting_and_what_comes(heads: list[Head], flow: float, drop: float):
    """min(set pressure, inlet - loss), wherever it stands in the head; every scenario has a head of its own."""
    supply = InletPressure(
        no_flow=np.full(len(heads), 4e5),
        drop=SquareLoss.through(flow=FULL, loss=drop),
        stages=tuple(head.built() for head in heads),
        specific_weight=WEIGHT,
    )
    every = np.arange(len(heads))
    found, slope = supply.pressure(np.full(len(heads), flow), every)
    for row, head in enumerate(heads):
        expected = head.pressure(4e5 - drop * (flow / FULL) ** 2, flow)
        assert found[row] == pytest.approx(expected, rel=1e-12, abs=1e-6)
        alone = supply.pressure(np.array([flow]), np.array([row]))
        assert (alone[0][0], alone[1][0]) == (found[row], slope[row])
        slope_is_a_slope(lambda at, row=row: supply.pressure(at, np.array([row])), flow, 1e-6 * flow, rel=1e-3)
        if head.stages and expected == head.stages[-1][1]:
            assert slope[row] == 0.0
    total, fall = supply.head(np.full(len(heads), flow), every)
    np.testing.assert_allclose(total * WEIGHT, found)
    np.testing.assert_allclose(fall * WEIGHT, slope)


def test_a_shut_zone_draws_nothing_whatever_rounding_leaves():
    """Sums of flows in a loop may end a hair below nought, where the law of a flow test has no real value."""
    supply = InletPressure(
        no_flow=np.array([4e5]), drop=FlowTestDrop(flow=FULL, drop=1e5), stages=((),), specific_weight=WEIGHT
    )
    assert supply.pressure(np.array([-1e-20]), np.array([0])) == (4e5, 0.0)


def test_flows_and_scenarios_go_in_pairs():
    supply = InletPressure(no_flow=np.full(2, 4e5), drop=FixedLoss(0.0), stages=((), ()), specific_weight=WEIGHT)
    with pytest.raises(ValueError, match="shorter"):
        supply.pressure(np.zeros(2), np.array([0]))
