"""The supply and the head of a zone as pressure curves: what is left at the zone inlet at any flow.

In code the trade's *head* is the assembly, for head means pressure in hydraulics.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from service.hydraulics.devices import (
    CUBIC_METRE_PER_HOUR_PER_ROOT_BAR,
    GPM_PER_ROOT_PSI,
    NO_LOSS,
    FixedLoss,
    LossCurve,
    SquareLoss,
    SumLoss,
    TableLoss,
)
from service.hydraulics.friction import Pipes, friction_law
from service.hydraulics.supply import FlowTestDrop, HeadStage, InletPressure, PipeDrop, PumpDrop
from service.hydraulics.water import Water
from service.parts.loss import Loss
from service.parts.models import Meter
from service.schemas.devices import HeadDevice, HeadFilter, HeadRegulator
from service.schemas.supply import ServiceLine, Supply
from service.schemas.zone import Zone
from service.zones.pipework import local_coefficient


@dataclass(frozen=True, slots=True)
class Stage:
    """One thing that water passes between the source and the zone inlet."""

    name: str
    kind: str  # supply, device or friction: how the loss budget files it
    clean: LossCurve
    dirty: LossCurve
    device: HeadDevice | None = None  # None for what belongs to the supply
    place: int | None = None  # of the device in the head

    @property
    def regulates(self) -> bool:
        """Whether it is a regulator."""
        return isinstance(self.device, HeadRegulator)

    @property
    def set_pressure(self) -> float:
        """Pressure it holds, infinite for anything but a regulator. [Pa]"""
        return self.device.set_pressure if isinstance(self.device, HeadRegulator) else np.inf

    @property
    def rating(self) -> float:
        """Greatest pressure it stands, infinite where none is stated. [Pa]"""
        stated = None if self.device is None else self.device.max_pressure
        return np.inf if stated is None else stated

    def curve(self, *, clean: bool) -> LossCurve:
        """Its loss in a state of the filter."""
        return self.clean if clean else self.dirty

    def loss(self, flow: float, *, clean: bool) -> float:
        """Its loss at one flow [m³/s]. [Pa]"""
        return at_flow(self.curve(clean=clean), flow)


@dataclass(frozen=True, slots=True)
class Assembly:
    """Source, supply and head of a zone."""

    no_flow: float  # pressure of the source at its gauge, nothing flowing: S [Pa]
    lift: float  # pressure given up from the gauge to the zone inlet, below zero downhill [Pa]
    stages: tuple[Stage, ...]  # in the order in which the water meets them

    @property
    def regulator(self) -> int | None:
        """Place among the stages of the last regulator, which is the one that the zone sees."""
        places = [place for place, stage in enumerate(self.stages) if stage.regulates]
        return places[-1] if places else None

    @property
    def static(self) -> float:
        """Pressure at the zone inlet with nothing flowing and no regulator. [Pa]"""
        return self.no_flow - self.lift

    def without_regulators(self) -> Assembly:
        """The same with every regulator taken out."""
        return replace(self, stages=tuple(stage for stage in self.stages if not stage.regulates))

    def with_last(self, regulator: HeadRegulator, loss: LossCurve) -> Assembly:
        """The same with one more regulator, placed last."""
        stage = Stage("regulator", "device", loss, loss, device=regulator)
        return replace(self, stages=(*self.stages, stage))

    def curve(self, *, clean: bool) -> Scenario:
        """Scenario of this assembly."""
        return Scenario(self.static, tuple(HeadStage(s.curve(clean=clean), s.set_pressure) for s in self.stages))

    def beyond_regulator(self, *, clean: bool) -> Scenario:
        """Scenario of the last regulator holding its set pressure, whatever the supply."""
        place = self.regulator
        if place is None:
            raise ValueError("no regulator to hold")
        after = tuple(HeadStage(s.curve(clean=clean), s.set_pressure) for s in self.stages[place + 1 :])
        return Scenario(self.stages[place].set_pressure, after)

    def needed(self, inlet: float, flow: float, *, clean: bool, held: bool = False) -> float | None:
        """No-flow pressure of the source that leaves `inlet` at the zone inlet at `flow`. [Pa]

        None where a regulator's set pressure is too low for it. With `held` the last regulator must also hold.
        """
        pressure = inlet
        last = self.regulator
        for place in range(len(self.stages) - 1, -1, -1):
            stage = self.stages[place]
            if held and place == last:
                pressure = stage.set_pressure
            elif pressure > stage.set_pressure:
                return None
            pressure += stage.loss(flow, clean=clean)
        return pressure + self.lift

    def pressures(self, flow: float, *, clean: bool) -> list[float]:
        """Pressure before each stage and, last, at the zone inlet, at a flow [m³/s]. [Pa]"""
        pressure = self.static
        found = [pressure]
        for stage in self.stages:
            pressure = min(pressure - stage.loss(flow, clean=clean), stage.set_pressure)
            found.append(pressure)
        return found


@dataclass(frozen=True, slots=True)
class Scenario:
    """A pressure and what takes from it before the zone inlet."""

    pressure: float  # at no flow, at the height of the zone inlet [Pa]
    stages: tuple[HeadStage, ...]


def behind(scenarios: Sequence[Scenario], water: Water) -> InletPressure:
    """The source of a stacked solve of these scenarios."""
    return InletPressure(
        no_flow=np.array([scenario.pressure for scenario in scenarios]),
        drop=NO_LOSS,
        stages=tuple(scenario.stages for scenario in scenarios),
        specific_weight=water.specific_weight,
    )


def at_flow(curve: LossCurve, flow: float) -> float:
    """Loss of a curve at one flow [m³/s]. [Pa]"""
    return float(curve.loss(np.array([flow]))[0][0])


def assemble(zone: Zone, water: Water) -> Assembly:
    """The assembly of a zone."""
    supply = zone.supply
    stages = [*_supply_stages(supply, water, zone.options.friction)]
    for place, device in enumerate(zone.head):
        stages.append(_device_stage(device, place))
    return Assembly(_no_flow(supply, water), supply.lift * water.specific_weight, tuple(stages))


def device_name(device: HeadDevice) -> str:
    """What to call a device: the name it was given, or its kind."""
    return device.name or str(getattr(device, "device", "device")).replace("_", " ")


def _no_flow(supply: Supply, water: Water) -> float:
    if supply.static_pressure is not None:
        return supply.static_pressure
    if supply.water_level is not None:
        return supply.water_level * water.specific_weight
    pump = _pump(supply)
    return float(pump.pressures[0])


def _pump(supply: Supply) -> PumpDrop:
    """The pump curve from no flow on; a curve that begins later is carried back along its first line."""
    flows, pressures = np.array(supply.pump_curve, dtype=float).T
    if flows[0] > 0.0:
        slope = (pressures[1] - pressures[0]) / (flows[1] - flows[0])
        flows, pressures = np.insert(flows, 0, 0.0), np.insert(pressures, 0, pressures[0] - slope * flows[0])
    return PumpDrop(flows=flows, pressures=pressures)


def _supply_stages(supply: Supply, water: Water, friction: str) -> list[Stage]:
    if supply.flow_test is not None and supply.static_pressure is not None:
        test = supply.flow_test
        drop = FlowTestDrop(flow=test.flow, drop=supply.static_pressure - test.residual_pressure)
        return [Stage("supply as tested", "supply", drop, drop)]
    stages = []
    if supply.pump_curve is not None:
        pump = _pump(supply)
        stages.append(Stage("pump", "supply", pump, pump))
    if supply.service_line is not None:
        line = _service_line(supply.service_line, water, friction)
        stages.append(Stage("service line", "friction", line, line))
    if supply.meter_size is not None:
        meter = meter_loss(supply.meter_size)
        stages.append(Stage("water meter", "device", meter, meter))
    return stages


def _service_line(line: ServiceLine, water: Water, friction: str) -> PipeDrop:
    one = np.ones(1)
    pipes = Pipes(
        length=line.length * one,
        bore=line.pipe.inside_diameter * one,
        roughness=line.pipe.roughness * one,
        smoothness=line.pipe.hazen_williams_c * one,
        local=local_coefficient(line.fittings) * one,
    )
    law = friction_law(pipes, law=friction, viscosity=water.kinematic_viscosity)
    return PipeDrop(friction=law, specific_weight=water.specific_weight)


def meter_loss(meter: Meter) -> LossCurve:
    """Loss of a meter."""
    return NO_LOSS if meter.loss is None else loss_curve(meter.loss)


def _device_stage(device: HeadDevice, place: int) -> Stage:
    clean = NO_LOSS if device.loss is None else loss_curve(device.loss)
    dirty = clean
    if isinstance(device, HeadFilter) and device.dirty_allowance is not None:
        dirty = SumLoss((clean, FixedLoss(device.dirty_allowance)))
    return Stage(device_name(device), "device", clean, dirty, device=device, place=place)


def loss_curve(loss: Loss) -> LossCurve:
    """Curve of a loss as written."""
    if loss.fixed is not None:
        return FixedLoss(loss.fixed)
    if loss.cv is not None:
        return SquareLoss.of_valve(loss.cv * GPM_PER_ROOT_PSI)
    if loss.kv is not None:
        return SquareLoss.of_valve(loss.kv * CUBIC_METRE_PER_HOUR_PER_ROOT_BAR)
    if loss.point is not None:
        return SquareLoss.through(flow=loss.point.flow, loss=loss.point.loss)
    table = np.array([row for row in loss.table or () if row[0] > 0.0], dtype=float)
    # Some backflow preventers lose more at low flow; the solver needs a curve that never falls, and this one is safe.
    return TableLoss(flows=table[:, 0], losses=np.maximum.accumulate(table[:, 1]))
