"""What a water source delivers at its gauge as flow is drawn."""

from dataclasses import dataclass

import numpy as np

from service.hydraulics.arrays import Floats, Ints
from service.hydraulics.devices import LossCurve
from service.hydraulics.friction import FrictionLaw

FLOW_TEST_EXPONENT = 1.852
"""Exponent of the drop between a static and a residual reading: that of Hazen-Williams. Common practice in flow tests
of mains (NFPA 291 writes it 1/0.54)."""


@dataclass(frozen=True, slots=True)
class FlowTestDrop:
    """Drop from static pressure with flow, through one measured residual: d (Q / Q_test)^1.852."""

    flow: float  # of the test [m³/s]
    drop: float  # static less residual pressure [Pa]

    def loss(self, flow: Floats) -> tuple[Floats, Floats]:
        """Drop [Pa] and its derivative by flow [Pa s/m³]."""
        ratio = np.maximum(flow, 0.0) / self.flow
        value = self.drop * ratio**FLOW_TEST_EXPONENT
        slope = FLOW_TEST_EXPONENT * self.drop / self.flow * ratio ** (FLOW_TEST_EXPONENT - 1)
        return value, slope


@dataclass(frozen=True, slots=True)
class PumpDrop:
    """Drop of a pump from its pressure at no flow: straight lines between points, the last line carried on."""

    flows: Floats  # (k,) rising from zero [m³/s]
    pressures: Floats  # (k,) never rising [Pa]

    def loss(self, flow: Floats) -> tuple[Floats, Floats]:
        """Drop [Pa] and its derivative by flow [Pa s/m³]."""
        slopes = -np.diff(self.pressures) / np.diff(self.flows)
        at = np.clip(np.searchsorted(self.flows, flow, side="right") - 1, 0, len(slopes) - 1)
        return self.pressures[0] - self.pressures[at] + slopes[at] * (flow - self.flows[at]), slopes[at]


@dataclass(frozen=True, slots=True)
class PipeDrop:
    """Friction of a service line, as pressure."""

    friction: FrictionLaw  # of one pipe
    specific_weight: float  # [Pa/m]

    def loss(self, flow: Floats) -> tuple[Floats, Floats]:
        """Loss [Pa] and its derivative by flow [Pa s/m³]."""
        head, slope = self.friction.loss(flow[..., None])
        return head[..., 0] * self.specific_weight, slope[..., 0] * self.specific_weight


@dataclass(frozen=True, slots=True)
class HeadStage:
    """One device of the head assembly, in the order in which the water meets it."""

    loss: LossCurve
    set_pressure: float = np.inf  # a regulator's; infinite for anything else [Pa]


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
        dropped, steeper = self.drop.loss(flow)
        pressure, slope = self.no_flow[scenario] - dropped, -steeper
        for row, number in enumerate(scenario.tolist()):
            for stage in self.stages[number]:
                loss, rate = stage.loss.loss(flow[row : row + 1])
                pressure[row] -= loss[0]
                slope[row] -= rate[0]
                if pressure[row] > stage.set_pressure:
                    pressure[row], slope[row] = stage.set_pressure, 0.0
        return pressure, slope

    def head(self, flow: Floats, scenario: Ints) -> tuple[Floats, Floats]:
        """The same as head [m] and its derivative by flow [s/m²]."""
        pressure, slope = self.pressure(flow, scenario)
        return pressure / self.specific_weight, slope / self.specific_weight
