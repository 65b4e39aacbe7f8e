"""The head of a zone: its devices in order, what joins them, and what they stand in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise

from service.parts.catalogue import Catalogue, catalogue_in_use
from service.parts.item import Item
from service.parts.listed import device_item
from service.parts.models import DevicePart
from service.parts.sundry import family_id, slug, sundry
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
from service.takeoff.joints import count_joints
from service.takeoff.pipework import TAP
from service.takeoff.tally import Tally
from service.takeoff.ways import Way, thread
from service.units.model import Model

ABOVE_GROUND = frozenset({"reduced_pressure", "pressure_vacuum_breaker"})
"""Backflow preventers that spill or breathe and so stand above the ground, in an enclosure."""

BAGS_PER_BOX = 2

OF_THE_ZONE = frozenset({"name", "height", "shared_flow"})
"""What a zone says of a device that no part has."""


ASSEMBLY = (
    ("isolation",),
    ("take_apart",),
    ("device", "device_by_figures"),
    ("head_tap",),
    ("blow_out",),
    ("drain",),
    ("between",),
    ("device_size",),
    ("box",),
    ("box_drainage",),
    ("enclosure",),
)
"""Rules in the order in which a head is put together, what holds and houses its pieces behind them."""

STAGES = {rule: stage for stage, rules in enumerate(ASSEMBLY) for rule in rules}


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of a head."""

    item: Item
    rule: str
    size: str  # thread at either end
    into: Sequence[tuple[Item, Way]] = ()  # what is screwed into its branch, and the thread there


def count_head(devices: Sequence[HeadDevice], size: str, *, frost: bool, allowances: Allowances, tally: Tally) -> None:
    """Count a head of these devices with threads of a size; without devices there is none."""
    if not devices:
        return
    tally.work["head"] += 1
    tally.work["valve"] += sum(isinstance(device, HeadValve) for device in devices)
    pieces = list(_pieces(devices, size, frost=frost, taps=allowances.pressure_taps != "none", tally=tally))
    for place, piece in enumerate(pieces):
        _add(piece.item, piece.rule, tally, place=place)
        for item, way in piece.into:
            _add(item, piece.rule, tally, place=place, within=1)
            count_joints(tally, way, 1)
    count_joints(tally, thread(size), 1)  # the supply side; each nipple between two pieces has two ends
    for one, other in pairwise(pieces):
        _count_between(one.size, other.size, tally)
    _count_housing(devices, tally)


def _pieces(devices: Sequence[HeadDevice], size: str, *, frost: bool, taps: bool, tally: Tally) -> Iterator[Piece]:
    """The pieces of a head in the order water meets them."""
    way, tee = thread(size), sundry("tee-threaded", size)
    yield Piece(sundry("ball-valve-threaded", size), "isolation", size)
    yield Piece(sundry("union-threaded", size), "take_apart", size)
    for device in devices:
        yield _device(device, size, tally)
    yield Piece(sundry("union-threaded", size), "take_apart", size)
    if taps:
        tap = sundry("pressure-tap", TAP.size), TAP
        yield Piece(sundry("reducing-tee-threaded", size, TAP.size), "head_tap", size, [tap])
    if frost:
        yield Piece(tee, "blow_out", size, [(sundry("blow-out-fitting", size), way)])
        yield Piece(tee, "drain", size, [(sundry("drain-valve", size), way)])


def _device(device: HeadDevice, size: str, tally: Tally) -> Piece:
    part = catalogue_part(device)
    if part is not None:
        return Piece(device_item(part), "device_by_figures", part.nominal if part.nominal in THREADS else size)
    item = described(device, size)
    tally.described[item.line].add(tuple(value for name, value in device if name not in OF_THE_ZONE))
    return Piece(item, "device", size)


def _count_between(one: str, other: str, tally: Tally) -> None:
    """Count the nipple between two pieces, and the bushing where their threads differ."""
    large, small = sorted((one, other), key=THREADS.__getitem__, reverse=True)
    _add(sundry("nipple", small), "between", tally)
    count_joints(tally, thread(small), 2)
    if large != small:
        _add(sundry("bushing", large, small), "device_size", tally)
        count_joints(tally, thread(large), 1)


def _count_housing(devices: Sequence[HeadDevice], tally: Tally) -> None:
    if any(map(_is_boxed, devices)):
        _add(sundry("valve-box"), "box", tally)
        _add(sundry("gravel"), "box_drainage", tally, BAGS_PER_BOX)
    outdoors = sum(isinstance(device, HeadBackflowPreventer) and device.kind in ABOVE_GROUND for device in devices)
    _add(sundry("backflow-enclosure"), "enclosure", tally, outdoors)


def _is_boxed(device: HeadDevice) -> bool:
    """Whether a device stands in a box. A vacuum breaker has to stand in the open, above what it feeds."""
    if isinstance(device, HeadValve):
        return not device.anti_siphon
    return isinstance(device, HeadFilter | HeadRegulator)


def _add(item: Item, rule: str, tally: Tally, count: float = 1, *, place: int = 0, within: int = 0) -> None:
    """Count a part as one of the head, at its stage of the assembly, wherever else such parts are used."""
    of_head = replace(item, section="head")
    tally.add(of_head, rule, count)
    stands = STAGES[rule], place, within
    tally.places[of_head.line] = min(tally.places.get(of_head.line, stands), stands)


def catalogue_part(device: HeadDevice) -> DevicePart | None:
    """The part of the catalogue that a device is, if all its figures are those of one part and of no other."""
    return _part_in(catalogue_in_use(), device)


@lru_cache(maxsize=1024)
def _part_in(catalogue: Catalogue, device: HeadDevice) -> DevicePart | None:
    """Looked up once for equal devices: the zones of a job have much the same heads."""
    if device.loss is None:
        return None  # a size or a setting alone is no one part's
    stated = {name: value for name, value in device if value is not None and name not in {"device", *OF_THE_ZONE}}
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
    if isinstance(device, HeadInjector):
        return sundry("injector", size)
    return sundry("other-device", size, name=slug(device.name or ""))


def _fineness(device: HeadFilter) -> Iterator[str]:
    if device.mesh is not None:
        yield f"{device.mesh}mesh"
    elif device.opening is not None:
        yield opening_size(device.opening)
