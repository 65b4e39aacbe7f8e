"""What feeds a zone as stages with a loss each: a main as tested or described, a tank, a pump."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from service.hydraulics.devices import LossCurve
from service.hydraulics.friction import Pipes, friction_law
from service.hydraulics.supply import FlowTestDrop, PipeDrop, PumpDrop
from service.hydraulics.water import Water
from service.parts.fittings import local_coefficient
from service.parts.loss import stated_loss
from service.schemas.supply import ServiceLine, Supply
from service.zones.pipework import pressure_rating
from service.zones.stage import Stage, shared


@dataclass(frozen=True, slots=True)
class SupplyPart:
    """A meter or service line, which stands under the supply's pressure whether water flows or not."""

    name: str
    rating: float  # [Pa]
    most: float  # no-flow pressure of the source at its gauge at which it stands at its rating [Pa]


def no_flow_pressure(supply: Supply, water: Water) -> float:
    """Pressure of the source at its gauge with nothing flowing: of the main, the tank's surface, the pump. [Pa]"""
    if supply.static_pressure is not None:
        return supply.static_pressure
    if supply.water_level is not None:
        return supply.water_level * water.specific_weight
    return float(_pump(supply).pressures[0])


def supply_stages(supply: Supply, water: Water, friction: str, others: float) -> list[Stage]:
    """What takes pressure between the source and the head.

    A flow test is made at the connection, so meter and service line lie inside it and are not charged again. `others`
    is the flow that other users draw at the same time [m³/s].
    """
    stages: list[Stage] = []

    def add(name: str, kind: str, curve: LossCurve) -> None:
        curve = shared(curve, others)
        stages.append(Stage(name, kind, curve, curve, others=others))

    if supply.flow_test is not None and supply.static_pressure is not None:
        test = supply.flow_test
        drop = FlowTestDrop(flow=test.flow, drop=supply.static_pressure - test.residual_pressure)
        add("supply as tested", "supply", drop)
        return stages
    if supply.pump_curve is not None:
        add("pump", "supply", _pump(supply))
    if supply.service_line is not None:
        add("service line", "friction", _service_line(supply.service_line, water, friction))
    if supply.meter_size is not None:
        add("water meter", "device", stated_loss(supply.meter_size.loss))
    return stages


def supply_parts(supply: Supply, water: Water, warmest: float) -> list[SupplyPart]:
    """What of the supply has a pressure rating, the water at its warmest [°C].

    The meter stands at the gauge, the service line has a low end.
    """
    parts = []
    meter, line = supply.meter_size, supply.service_line
    if meter is not None and meter.max_pressure is not None:
        parts.append(SupplyPart("water meter", meter.max_pressure, meter.max_pressure))
    if line is not None and line.pipe.max_pressure is not None:
        fall = min(supply.lift, 0.0) * water.specific_weight
        rating = pressure_rating(line.pipe, warmest)
        parts.append(SupplyPart("service line", rating, rating + fall))
    return parts


def _pump(supply: Supply) -> PumpDrop:
    """The pump curve from no flow on; a curve that begins later is carried back along its first line."""
    flows, pressures = np.array(supply.pump_curve, dtype=float).T
    if flows[0] > 0.0:
        slope = (pressures[1] - pressures[0]) / (flows[1] - flows[0])
        flows, pressures = np.insert(flows, 0, 0.0), np.insert(pressures, 0, pressures[0] - slope * flows[0])
    return PumpDrop(flows=flows, pressures=pressures)


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
