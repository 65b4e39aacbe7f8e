"""What a water source delivers at its gauge as flow is drawn."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import zip_longest

import numpy as np

from service.hydraulics.arrays import Floats, Ints
from service.hydraulics.devices import NO_LOSS, Lines, LossCurve
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

    def at(self, flow: float) -> float:
        """Drop at one flow [m³/s]. [Pa]"""
        return float(self.drop * (max(flow, 0.0) / self.flow) ** FLOW_TEST_EXPONENT)


@dataclass(frozen=True, slots=True)
class PumpDrop:
    """Drop of a pump from its pressure at no flow: straight lines between points, the last line carried on."""

    flows: Floats  # (k,) rising from zero [m³/s]
    pressures: Floats  # (k,) never rising [Pa]
    _lines: Lines = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Prepare the lines."""
        object.__setattr__(self, "_lines", Lines.through(self.flows, self.pressures[0] - self.pressures))

    def loss(self, flow: Floats) -> tuple[Floats, Floats]:
        """Drop [Pa] and its derivative by flow [Pa s/m³]."""
        return self._lines.at(flow)

    def at(self, flow: float) -> float:
        """Drop at one flow [m³/s]. [Pa]"""
        return self._lines.value(flow)


@dataclass(frozen=True, slots=True)
class PipeDrop:
    """Friction of a service line, as pressure."""

    friction: FrictionLaw  # of one pipe
    specific_weight: float  # [Pa/m]

    def loss(self, flow: Floats) -> tuple[Floats, Floats]:
        """Loss [Pa] and its derivative by flow [Pa s/m³]."""
        head, slope = self.friction.loss(flow[..., None])
        return head[..., 0] * self.specific_weight, slope[..., 0] * self.specific_weight

    def at(self, flow: float) -> float:
        """Loss at one flow [m³/s]. [Pa]"""
        return float(self.friction.loss(np.array([flow]))[0][0] * self.specific_weight)


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
    _columns: tuple["_StageColumn", ...] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        """Turn the rows of stages into columns: first stages, second stages, and so on."""
        columns = zip_longest(*self.stages, fillvalue=HeadStage(NO_LOSS))
        object.__setattr__(self, "_columns", tuple(_StageColumn.of(column) for column in columns))

    def pressure(self, flow: Floats, scenario: Ints) -> tuple[Floats, Floats]:
        """Pressure [Pa] and its derivative by flow [Pa s/m³]; flow (a,) of the scenarios (a,)."""
        dropped, steeper = self.drop.loss(flow)
        pressure, slope = self.no_flow[scenario] - dropped, -steeper
        for column in self._columns:
            loss, rate = column.loss(flow, scenario)
            pressure -= loss
            slope -= rate
            if column.regulates:
                set_pressure = column.set_pressure[scenario]
                slope[pressure > set_pressure] = 0.0
                np.minimum(pressure, set_pressure, out=pressure)
        return pressure, slope

    def head(self, flow: Floats, scenario: Ints) -> tuple[Floats, Floats]:
        """The same as head [m] and its derivative by flow [s/m²]."""
        pressure, slope = self.pressure(flow, scenario)
        return pressure / self.specific_weight, slope / self.specific_weight


@dataclass(frozen=True, slots=True)
class _StageColumn:
    """The stages that stand at one place of the head, over all scenarios; most of them share one curve."""

    curves: tuple[LossCurve, ...]
    curve: Ints  # (s,) which of them
    set_pressure: Floats  # (s,) [Pa]
    regulates: bool  # in any scenario

    @classmethod
    def of(cls, stages: Sequence[HeadStage]) -> "_StageColumn":
        curves = {id(stage.loss): stage.loss for stage in stages}
        number = {key: place for place, key in enumerate(curves)}
        set_pressure = np.array([stage.set_pressure for stage in stages])
        return cls(
            curves=tuple(curves.values()),
            curve=np.array([number[id(stage.loss)] for stage in stages]),
            set_pressure=set_pressure,
            regulates=bool(np.isfinite(set_pressure).any()),
        )

    def loss(self, flow: Floats, scenario: Ints) -> tuple[Floats, Floats]:
        """Loss [Pa] and its derivative by flow [Pa s/m³] of these scenarios; all (a,)."""
        if len(self.curves) == 1:
            return self.curves[0].loss(flow)
        loss, rate = np.empty_like(flow), np.empty_like(flow)
        for number, curve in enumerate(self.curves):
            rows = self.curve[scenario] == number
            loss[rows], rate[rows] = curve.loss(flow[rows])
        return loss, rate
