"""The head of a zone: its devices in order, what joins them, and what they stand in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache

from service.parts.catalogue import Catalogue, catalogue_in_use
from service.parts.item import Item
from service.parts.listed import device_item
from service.parts.models import DevicePart
from service.parts.sundry import family_id, sundry
from service.parts.trade_sizes import THREADS, opening_size, pressure_size
from service.schemas.devices import (
    HeadBackflowPreventer,
    HeadDevice,
    HeadFilter,
    HeadInjector,
    HeadRegulator,
    HeadValve,
)
from service.schemas.slopes import ROUNDING
from service.schemas.takeoff_allowances import Allowances
from service.takeoff.pipework import TAP, count_joints
from service.takeoff.tally import Tally
from service.takeoff.ways import thread
from service.units.model import Model

ABOVE_GROUND = frozenset({"reduced_pressure", "pressure_vacuum_breaker"})
"""Backflow preventers that spill or breathe and so stand above the ground, in an enclosure."""

BAGS_PER_BOX = 2

OF_THE_ZONE = frozenset({"device", "name", "height"})
"""What a zone says of a device that no part has."""


def count_head(devices: Sequence[HeadDevice], size: str, *, frost: bool, allowances: Allowances, tally: Tally) -> None:
    """Count a head of these devices with threads of a size; without devices there is none."""
    if not devices:
        return
    way = thread(size)
    tee = sundry("tee-threaded", size)
    tally.work["head"] += 1
    tally.add(sundry("ball-valve-threaded", size), "isolation")
    tally.add(sundry("union-threaded", size), "take_apart", 2)
    pieces = 3 + len(devices)
    for device in devices:
        _count_device(device, size, tally)
    if allowances.pressure_taps != "none":
        tally.add(sundry("reducing-tee-threaded", size, TAP.size), "head_tap")
        tally.add(sundry("pressure-tap", TAP.size), "head_tap")
        count_joints(tally, TAP, 1)
        pieces += 1
    if frost:
        tally.add(tee, "blow_out")
        tally.add(sundry("blow-out-fitting", size), "blow_out")
        tally.add(tee, "drain")
        tally.add(sundry("drain-valve", size), "drain")
        count_joints(tally, way, 2)
        pieces += 2
    tally.add(sundry("nipple", size), "between", pieces - 1)
    count_joints(tally, way, 2 * (pieces - 1) + 1)  # each nipple has two ends; the supply side is one more
    _count_housing(devices, tally)


def _count_device(device: HeadDevice, size: str, tally: Tally) -> None:
    part = catalogue_part(device)
    if part is None:
        tally.add(described(device, size), "device")
    else:
        tally.add(device_item(part), "device_by_figures")
    if isinstance(device, HeadValve):
        tally.work["valve"] += 1
    if part is not None and part.nominal != size and part.nominal in THREADS:
        large, small = sorted((part.nominal, size), key=THREADS.__getitem__, reverse=True)
        tally.add(sundry("bushing", large, small), "device_size", 2)
        count_joints(tally, thread(part.nominal), 2)


def _count_housing(devices: Sequence[HeadDevice], tally: Tally) -> None:
    if any(isinstance(device, HeadValve | HeadFilter | HeadRegulator) for device in devices):
        tally.add(sundry("valve-box"), "box")
        tally.add(sundry("gravel"), "box_drainage", BAGS_PER_BOX)
    outdoors = sum(isinstance(device, HeadBackflowPreventer) and device.kind in ABOVE_GROUND for device in devices)
    tally.add(sundry("backflow-enclosure"), "enclosure", outdoors)


def catalogue_part(device: HeadDevice) -> DevicePart | None:
    """The part of the catalogue that a device is, if all its figures are those of one part and of no other."""
    return _part_in(catalogue_in_use(), device)


@lru_cache(maxsize=1024)
def _part_in(catalogue: Catalogue, device: HeadDevice) -> DevicePart | None:
    """Looked up once for equal devices: the zones of a job have much the same heads."""
    if device.loss is None:
        return None  # a size or a setting alone is no one part's
    stated = {name: value for name, value in device if value is not None and name not in OF_THE_ZONE}
    parts = catalogue.parts(str(getattr(device, "device", "")))
    alike = [part for part in parts if isinstance(part, DevicePart) and _has_figures(part, stated)]
    return alike[0] if len(alike) == 1 else None


def _has_figures(part: DevicePart, stated: Mapping[str, object]) -> bool:
    return all(_same(getattr(part, name, None), value) for name, value in stated.items())


def _same(one: object, other: object) -> bool:
    """Whether two figures, or tables of them, are one but for the rounding of units."""
    if isinstance(one, float) and isinstance(other, float):
        return abs(one - other) <= ROUNDING * abs(one)
    if isinstance(one, tuple) and isinstance(other, tuple):
        return len(one) == len(other) and all(map(_same, one, other))
    if isinstance(one, Model) and type(one) is type(other):
        return all(_same(getattr(one, name), getattr(other, name)) for name in type(one).model_fields)
    return one == other


def described(device: HeadDevice, size: str) -> Item:
    """A device that is no part of the catalogue, as it is described."""
    if isinstance(device, HeadBackflowPreventer):
        return sundry(family_id("backflow-preventer", device.kind), size)
    if isinstance(device, HeadValve):
        return sundry("anti-siphon-control-valve" if device.anti_siphon else "control-valve", size)
    if isinstance(device, HeadFilter):
        return sundry(family_id("described-filter", device.type or ""), *_fineness(device), size)
    if isinstance(device, HeadRegulator):
        return sundry("described-regulator", pressure_size(device.set_pressure), size)
    return sundry("injector" if isinstance(device, HeadInjector) else "other-device", size)


def _fineness(device: HeadFilter) -> Iterator[str]:
    if device.mesh is not None:
        yield f"{device.mesh}mesh"
    elif device.opening is not None:
        yield opening_size(device.opening)
