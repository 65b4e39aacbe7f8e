"""What a water source delivers at its gauge as flow is drawn."""

import math
from dataclasses import dataclass, field

import numpy as np

from service.hydraulics.arrays import Floats, Ints
from service.hydraulics.devices import Lines, LossCurve
from service.hydraulics.friction import FrictionLaw

FLOW_TEST_EXPONENT = 1.852
"""Exponent of the drop between a static and a residual reading: that of Hazen-Williams. Common practice in flow tests
of mains (NFPA 291 writes it 1/0.54)."""


@dataclass(frozen=True, slots=True)
class FlowTestDrop(LossCurve):
    """Drop from static pressure with flow, through one measured residual: d (Q / Q_test)^1.852."""

    flow: float  # of the test [m³/s]
    drop: float  # static less residual pressure [Pa]

    def loss(self, flow: float) -> tuple[float, float]:
        """Drop [Pa] and its derivative by flow [Pa s/m³]."""
        ratio = flow / self.flow
        rate = self.drop * ratio ** (FLOW_TEST_EXPONENT - 1.0)
        return rate * ratio, FLOW_TEST_EXPONENT * rate / self.flow


@dataclass(frozen=True, slots=True)
class PumpDrop(LossCurve):
    """Drop of a pump from its pressure at no flow: straight lines between points, the last line carried on."""

    flows: Floats  # (k,) rising from zero [m³/s]
    pressures: Floats  # (k,) never rising [Pa]
    _lines: Lines = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Prepare the lines."""
        object.__setattr__(self, "_lines", Lines.through(self.flows, self.pressures[0] - self.pressures))

    def loss(self, flow: float) -> tuple[float, float]:
        """Drop [Pa] and its derivative by flow [Pa s/m³]."""
        return self._lines.loss(flow)


@dataclass(frozen=True, slots=True)
class PipeDrop(LossCurve):
    """Friction of a service line, as pressure."""

    friction: FrictionLaw  # of one pipe
    specific_weight: float  # [Pa/m]

    def loss(self, flow: float) -> tuple[float, float]:
        """Loss [Pa] and its derivative by flow [Pa s/m³]."""
        head, slope = self.friction.loss(np.array([flow]))
        return head.item() * self.specific_weight, slope.item() * self.specific_weight


@dataclass(frozen=True, slots=True)
class HeadStage:
    """One device of the head assembly, in the order in which the water meets it."""

    curve: LossCurve
    set_pressure: float = math.inf  # a regulator's; infinite for anything else [Pa]


@dataclass(frozen=True, slots=True)
class InletPressure:
    """Pressure at the zone inlet from the pressure of a source at no flow, for several scenarios at once.

    Each scenario has its own no-flow pressure and its own row of stages; a regulator lets min(set, in - loss) through.
    """

    no_flow: Floats  # (s,) pressure of the source at no flow, at the height of the zone inlet [Pa]
    drop: LossCurve  # of the source with flow
    stages: tuple[tuple[HeadStage, ...], ...]  # of each scenario
    specific_weight: float  # [Pa/m]

    def pressure(self, flow: Floats, scenario: Ints) -> tuple[Floats, Floats]:
        """Pressure [Pa] and its derivative by flow [Pa s/m³]; flow (a,) of the scenarios (a,)."""
        # Nothing flows back, but rounding may leave what a shut zone draws a hair below nought.
        drawn = np.maximum(flow, 0.0).tolist()
        left = [self._left(*each) for each in zip(drawn, scenario.tolist(), strict=True)]
        pressure, slope = np.array(left).T
        return pressure, slope

    def _left(self, flow: float, scenario: int) -> tuple[float, float]:
        """The same of one scenario."""
        loss, rate = self.drop.loss(flow)
        pressure, slope = float(self.no_flow[scenario]) - loss, -rate
        for stage in self.stages[scenario]:
            loss, rate = stage.curve.loss(flow)
            pressure -= loss
            slope -= rate
            if pressure > stage.set_pressure:
                pressure, slope = stage.set_pressure, 0.0
        return pressure, slope

    def head(self, flow: Floats, scenario: Ints) -> tuple[Floats, Floats]:
        """The same as head [m] and its derivative by flow [s/m²]."""
        pressure, slope = self.pressure(flow, scenario)
        return pressure / self.specific_weight, slope / self.specific_weight
