"""The supply and the head of a zone in a row: what is left at the zone inlet at any flow.

In code the trade's *head* is the assembly, for head means pressure in hydraulics.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from service.hydraulics.devices import NO_LOSS
from service.hydraulics.supply import HeadStage, InletPressure
from service.hydraulics.water import Water
from service.schemas.devices import HeadRegulator
from service.schemas.zone import Zone
from service.zones.stage import Stage, device_stage
from service.zones.supply import SupplyPart, no_flow_pressure, supply_parts, supply_stages


@dataclass(frozen=True, slots=True)
class Assembly:
    """Source, supply and head of a zone."""

    no_flow: float  # pressure of the source at its gauge, nothing flowing: S [Pa]
    lift: float  # pressure given up from the gauge to the zone inlet, below zero downhill [Pa]
    stages: tuple[Stage, ...]  # in the order in which the water meets them
    parts: tuple[SupplyPart, ...] = ()  # of the supply, with a rating
    others: float = 0.0  # flow that others draw from the supply at the same time [m³/s]
    regulator: int | None = field(init=False)
    """Place among the stages of the last regulator, which is the one that the zone sees."""

    def __post_init__(self) -> None:
        """Find the last regulator."""
        places = [place for place, stage in enumerate(self.stages) if stage.regulates]
        object.__setattr__(self, "regulator", places[-1] if places else None)

    @property
    def static(self) -> float:
        """Pressure at the zone inlet with nothing flowing and no regulator. [Pa]"""
        return self.no_flow - self.lift

    def without_regulators(self) -> Assembly:
        """The same with every regulator taken out."""
        return replace(self, stages=tuple(stage for stage in self.stages if not stage.regulates))

    @property
    def sharing(self) -> float:
        """Flow of other zones through the last regulator. [m³/s]"""
        return 0.0 if self.regulator is None else self.stages[self.regulator].others

    def with_last(self, regulator: HeadRegulator) -> Assembly:
        """The same with this one regulator, placed last, in place of any other; others draw through it as before."""
        others = [stage for stage in self.stages if not stage.regulates]
        return replace(self, stages=(*others, device_stage(regulator, self.sharing)))

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

    def taken(self, flow: float, *, clean: bool) -> float:
        """Pressure that goes between the source and the zone inlet, beside what regulators hold back. [Pa]"""
        return sum((stage.loss(flow, clean=clean) for stage in self.stages), self.lift)

    def pressures(self, flow: float, *, clean: bool) -> list[float]:
        """Pressure before each stage and, last, at the zone inlet, at a flow [m³/s]. [Pa]"""
        pressure = self.static
        found = [pressure]
        for stage in self.stages:
            pressure = min(pressure - stage.loss(flow, clean=clean), stage.set_pressure)
            found.append(pressure)
        return found

    def shut_off_pressures(self) -> list[float]:
        """Pressure before each stage and, last, at the zone inlet with nothing flowing: no loss is credited. [Pa]"""
        pressure = self.static
        found = [pressure]
        for stage in self.stages:
            pressure = min(pressure, stage.set_pressure)
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


def assemble(zone: Zone, water: Water) -> Assembly:
    """The assembly of a zone."""
    supply = zone.supply
    through = _others_through(zone)
    others = max(through[0], supply.other_flow or 0.0)
    stages = supply_stages(supply, water, zone.options.friction, others)
    stages += [device_stage(device, through[place]) for place, device in enumerate(zone.head)]
    return Assembly(
        no_flow=no_flow_pressure(supply, water),
        lift=supply.lift * water.specific_weight,
        stages=tuple(stages),
        parts=tuple(supply_parts(supply, water, zone.water.warmest)),
        others=others,
    )


def _others_through(zone: Zone) -> list[float]:
    """Flow of other zones through each device of the head, and last through the zone's own pipes: none. [m³/s]

    What passes a device has passed all that stand before it.
    """
    through = [0.0]
    for device in reversed(zone.head):
        through.append(max(through[-1], device.shared_flow or 0.0))
    return through[::-1]
