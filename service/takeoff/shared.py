"""Which zone of a job has what several zones share."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from service.schemas.devices import HeadDevice
from service.schemas.takeoff import TakeoffJob

VALVE = "valve"


@dataclass(frozen=True, slots=True)
class Own:
    """What is a zone's own."""

    devices: Sequence[HeadDevice]  # of its head
    wired: float | None  # way from its valves to the controller [m]; None without wire


def own_of_each(job: TakeoffJob) -> Iterator[Own]:
    """What is each zone's own: of what zones share the first of them has it.

    A valve that they share is wired once, over the longest way that any of them states.
    """
    ways = [zone.installation.controller_distance for zone in job.zones]
    longest = max((way for way in ways if way is not None), default=None)
    had: set[str] = set()
    for zone, way in zip(job.zones, ways, strict=True):
        devices = [device for device in zone.head if device.device not in had]
        valve = any(device.device == VALVE for device in devices)
        shared = VALVE in job.shared
        yield Own(devices, (longest if valve else None) if shared else way)
        had |= {device.device for device in zone.head if device.device in job.shared}
