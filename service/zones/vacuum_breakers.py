"""Which devices of a head are vacuum breakers, or hold one."""

from __future__ import annotations

from typing import Literal

from service.schemas.devices import HeadBackflowPreventer, HeadDevice, HeadValve

BreakerKind = Literal["atmospheric", "pressure"]

_KINDS: dict[str, BreakerKind] = {
    "atmospheric_vacuum_breaker": "atmospheric",
    "pressure_vacuum_breaker": "pressure",
}


def breaker_kind(device: HeadDevice) -> BreakerKind | None:
    """Kind of vacuum breaker that a device is or holds, if any."""
    if isinstance(device, HeadValve):
        return "atmospheric" if device.anti_siphon else None
    return _KINDS.get(device.kind) if isinstance(device, HeadBackflowPreventer) else None


def breaker_height(device: HeadDevice) -> float | None:
    """Height of its vacuum breaker above the zone inlet, None where it states none. [m]"""
    return device.height if isinstance(device, HeadValve | HeadBackflowPreventer) else None
