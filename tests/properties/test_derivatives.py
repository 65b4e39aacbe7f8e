"""The slope that every law states is the derivative of its equation, taken by mpmath at forty digits."""

from __future__ import annotations

from collections.abc import Callable

import mpmath
import numpy as np
import pytest
from mpmath import mpf

from service.hydraulics.devices import NO_LOSS, FixedLoss, SharedLoss, SquareLoss, SumLoss, TableLoss
from service.hydraulics.friction import Pipes, friction_law, friction_number
from service.hydraulics.outlets import open_end
from service.hydraulics.supply import FlowTestDrop, HeadStage, InletPressure, PipeDrop, PumpDrop
from tests.engines.fifty_digits import FRICTION, G, Number, behind_tube, darcy_weisbach, outlet
from tests.networks import SMOOTH, VISCOSITY, WEIGHT, Kind, Sketch
from tests.properties.slopes import of_many

Law = Callable[[np.ndarray], tuple[np.ndarray, np.ndarray]]


def agree(law: Law, equation: Callable[[Number], Number], at: float) -> None:
    """Value and slope of a law at one place are those of an equation, to the digits of a double."""
    value, slope = (float(part[0]) for part in law(np.array([at])))
    with mpmath.workdps(40):
        assert value == pytest.approx(float(equation(mpf(at))), rel=3e-12)
        assert slope == pytest.approx(float(mpmath.diff(equation, mpf(at))), rel=3e-12, abs=1e-25)


FLOWS = [3e-11, 2e-9, 7e-7, 3e-6, 2e-5, 3e-5, 4.1e-5, 6e-5, 1e-4, 1e-3, 0.1]
"""From next to nothing through laminar flow and transition (Reynolds number 2000 at 2e-5) to far too much. [m³/s]"""


@pytest.mark.parametrize("law", FRICTION)
@pytest.mark.parametrize("flow", FLOWS)
@pytest.mark.parametrize("k", [0.0, 2.5])
@pytest.mark.parametrize("roughness", [0.0, SMOOTH, 5e-5])
def test_friction(law: str, flow: float, k: float, roughness: float):
    pipes = Pipes(*(np.array([value]) for value in (2.5, 0.0132, roughness, 140.0, k)))
    laws = {
        "darcy_weisbach": lambda flow: FRICTION[law](flow, 2.5, 0.0132, roughness=roughness, k=k),
        "hazen_williams": lambda flow: FRICTION[law](flow, 2.5, 0.0132, c=140.0, k=k),
    }
    agree(friction_law(pipes, law=law, viscosity=VISCOSITY).loss, laws[law], flow)


@pytest.mark.parametrize("reynolds", [1.0, 60.0, 1900.0, 2300.0, 2900.0, 4000.0, 1e4, 1e6, 1e9])
@pytest.mark.parametrize("roughness", [0.0, 1e-4, 0.05])
def test_the_friction_number_and_its_logarithmic_slope(reynolds: float, roughness: float):
    """f Re, and what the logarithm of f does with that of Re: -1 where flow is laminar, about -1/4 where it is not."""

    def number(at: Number) -> Number:
        # One metre of a one-metre pipe at a viscosity of one: the loss is f v²/2g, and v is the Reynolds number.
        loss = darcy_weisbach(at * mpmath.pi / 4, 1.0, 1.0, roughness=roughness, viscosity=1.0)
        return loss * 2 * G / at

    found, slope = friction_number(np.array([reynolds]), roughness)
    with mpmath.workdps(40):
        f_re = number(mpf(reynolds))
        steepness = mpmath.diff(number, mpf(reynolds)) * reynolds / f_re - 1
        assert found[0] == pytest.approx(float(f_re), rel=3e-12)
        assert slope[0] == pytest.approx(float(steepness), rel=1e-10)


OUTLETS = {
    "a root": Kind(2e-6, 10.0, exponent=0.5),
    "hardly compensating": Kind(2e-6, 10.0, exponent=0.05),
    "more than laminar": Kind(2e-6, 10.0, exponent=1.2),
    "compensating": Kind(2e-6, 7.0, exponent=0.0, saturates=35.0),
    "one that closes": Kind(2e-6, 7.0, exponent=0.0, closing=2.5),
    "one that closes where it opens": Kind(2e-6, 7.0, exponent=0.0, closing=6.999),
}

HEADS = [3e-5, 2e-3, 0.7, 2.50003, 2.6, 6.9991, 6.9996, 8.0, 20.0, 60.0]
"""On the straight foot, below and above where they open, and where they compensate no more. [m]"""


@pytest.mark.parametrize("kind", OUTLETS.values(), ids=OUTLETS)
@pytest.mark.parametrize("head", HEADS)
def test_outlets(kind: Kind, head: float):
    sketch = Sketch()
    sketch.outlet(kind, chain=sketch.chain(0, length=[1.0], bore=0.02), at=0)
    found = sketch.drawing().network().outlets

    def flow(heads: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        value, slope = found.flow(heads[:, None])
        return value[:, 0], slope[:, 0]

    if outlet(kind, mpf(head)) == 0:
        assert flow(np.array([head])) == (0.0, 0.0)
    else:
        agree(flow, lambda head: outlet(kind, head), head)


@pytest.mark.parametrize("law", FRICTION)
@pytest.mark.parametrize("exponent", [0.5, 1.2])
@pytest.mark.parametrize("head", [0.35, 2.0, 30.0])
def test_outlets_behind_tubes(law: str, exponent: float, head: float):
    """Three of them at one place: the derivative of a flow that is itself the root of an equation."""
    kind = Kind(4e-6, 10.0, exponent=exponent, count=3.0, tube=(1.5, 0.004, 0.3))
    sketch = Sketch(law=law)
    sketch.outlet(kind, chain=sketch.chain(0, length=[1.0], bore=0.02), at=0)
    value, slope = (part[0, 0] for part in sketch.drawing().network().outlets.flow(np.array([[head]])))
    with mpmath.workdps(40):
        assert value == pytest.approx(float(3 * behind_tube(kind, mpf(head), law)), rel=1e-11)
        step = mpf("1e-12")
        either_side = [behind_tube(kind, mpf(head) + side * step, law) for side in (1, -1)]
        assert slope == pytest.approx(float(3 * (either_side[0] - either_side[1]) / (2 * step)), rel=1e-10)


@pytest.mark.parametrize("head", [4e-5, 0.2, 40.0])
def test_an_open_end(head: float):
    """v = √(2 g h), E. Torricelli 1643, straight in the first tenth of a millimetre."""

    def flow(head: Number) -> Number:
        return mpf("1.3e-4") * mpmath.sqrt(2 * G) * outlet(Kind(1.0, 1.0), head)

    agree(lambda heads: open_end(heads, area=np.array([1.3e-4])), flow, head)


def stepwise(points: list[tuple[float, float]]) -> Callable[[Number], Number]:
    """Straight lines from point to point, the last one carried on."""

    def line(flow: Number) -> Number:
        index = max(i for i, (x, _) in enumerate(points[:-1]) if i == 0 or flow >= x)
        (x0, y0), (x1, y1) = points[index : index + 2]
        return y0 + (flow - x0) * (mpf(y1) - y0) / (mpf(x1) - x0)

    return line


TABLE = [(0.0, 0.0), (2e-4, 1e4), (5e-4, 1e4), (1e-3, 6e4)]
PUMP = [(0.0, 4e5), (4e-4, 3.5e5), (1e-3, 1e5)]
LINE = Pipes(*(np.array([value]) for value in (20.0, 0.0262, SMOOTH, 150.0, 3.0)))

CURVES = {
    "nothing": (NO_LOSS, lambda flow: 0 * flow),
    "fixed": (FixedLoss(3e4), lambda flow: mpf(3e4)),
    "square": (SquareLoss.through(flow=4e-4, loss=2e4), lambda flow: 2e4 * (flow / mpf(4e-4)) ** 2),
    "flow test": (FlowTestDrop(5e-4, 9e4), lambda flow: 9e4 * (flow / mpf(5e-4)) ** mpf("1.852")),
    "table": (
        TableLoss(*np.array(TABLE[1:]).T),
        lambda flow: stepwise(TABLE)(flow) if flow <= 1e-3 else 6e4 * (flow / mpf(1e-3)) ** 2,
    ),
    "pump": (PumpDrop(*np.array(PUMP).T), lambda flow: 4e5 - stepwise(PUMP)(flow)),
    "service line": (
        PipeDrop(friction_law(LINE, law="darcy_weisbach", viscosity=VISCOSITY), WEIGHT),
        lambda flow: WEIGHT * darcy_weisbach(flow, 20.0, 0.0262, k=3.0),
    ),
    "shared": (SharedLoss(FlowTestDrop(5e-4, 9e4), 2e-4), lambda flow: CURVES["flow test"][1](flow + mpf(2e-4))),
    "two in a row": (
        SumLoss((SquareLoss.through(flow=4e-4, loss=2e4), FlowTestDrop(5e-4, 9e4))),
        lambda flow: CURVES["square"][1](flow) + CURVES["flow test"][1](flow),
    ),
}


@pytest.mark.parametrize(("curve", "equation"), CURVES.values(), ids=CURVES)
@pytest.mark.parametrize("flow", [1e-6, 1.1e-4, 3e-4, 7e-4, 3e-3])
def test_devices_and_supplies(curve, equation, flow: float):
    agree(of_many(curve.loss), equation, flow)
    assert curve.at(flow) == pytest.approx(float(equation(mpf(flow))), rel=1e-12)


@pytest.mark.parametrize("set_pressure", [1e5, 1e6])
@pytest.mark.parametrize("flow", [1e-6, 3e-4, 7e-4])
def test_what_a_supply_leaves_after_its_head(set_pressure: float, flow: float):
    """A filter, a regulator that holds or does not, and a valve after it."""
    filter_, regulator, valve = CURVES["square"], CURVES["table"], CURVES["fixed"]
    stages = (HeadStage(filter_[0]), HeadStage(regulator[0], set_pressure), HeadStage(valve[0]), HeadStage(filter_[0]))
    supply = InletPressure(
        no_flow=np.array([5e5]), drop=FlowTestDrop(5e-4, 9e4), stages=(stages,), specific_weight=WEIGHT
    )

    def left(flow: Number) -> Number:
        before = 5e5 - CURVES["flow test"][1](flow) - filter_[1](flow) - regulator[1](flow)
        return min(before, mpf(set_pressure)) - valve[1](flow) - filter_[1](flow)

    agree(lambda flow: supply.pressure(flow, np.array([0])), left, flow)
    agree(lambda flow: supply.head(flow, np.array([0])), lambda flow: left(flow) / WEIGHT, flow)
