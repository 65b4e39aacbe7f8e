"""One thing that water passes between the source and the zone inlet, with its loss as a curve."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from service.hydraulics.devices import FixedLoss, LossCurve, SharedLoss, SumLoss
from service.parts.loss import stated_loss
from service.schemas.devices import HeadDevice, HeadFilter, HeadRegulator


@dataclass(frozen=True, slots=True)
class Stage:
    """A device of the head, or a part of the supply."""

    name: str
    kind: str  # supply, device or friction: how the loss budget files it
    clean: LossCurve  # of the zone's own flow
    dirty: LossCurve
    device: HeadDevice | None = None  # None for what belongs to the supply
    others: float = 0.0  # flow that other zones draw through it at the same time [m³/s]

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
        """Its loss at one flow of the zone [m³/s]. [Pa]"""
        return self.curve(clean=clean).at(flow)


def device_name(device: HeadDevice) -> str:
    """What to call a device: the name it was given, or its kind."""
    return device.name or str(getattr(device, "device", "device")).replace("_", " ")


def device_stage(device: HeadDevice, others: float = 0.0) -> Stage:
    """A device of the head, with the flow that others draw through it [m³/s]."""
    clean = shared(stated_loss(device.loss), others)
    dirty = clean
    if isinstance(device, HeadFilter) and device.dirty_allowance is not None:
        dirty = SumLoss((clean, FixedLoss(device.dirty_allowance)))
    return Stage(device_name(device), "device", clean, dirty, device=device, others=others)


def shared(curve: LossCurve, others: float) -> LossCurve:
    """A curve of the zone's own flow where others draw their flow [m³/s] through the same thing."""
    return SharedLoss(curve, others) if others else curve
