"""Joints: what holds the ends of fittings, and what they use up."""

from __future__ import annotations

from collections.abc import Iterator

from service.parts.item import Item
from service.parts.pipe import Joining
from service.parts.sundry import sundry
from service.takeoff.tally import Tally
from service.takeoff.ways import Way

USED_UP: dict[Joining, tuple[str, ...]] = {
    "solvent_weld": ("solvent-cement", "primer"),
    "threaded": ("thread-tape",),
    "soldered": ("solder-and-flux",),
}
"""What joints use up, by the way of joining."""


def taken(way: Way) -> Iterator[tuple[Item, str]]:
    """What one end of a fitting takes beside the fitting, each with its rule."""
    if way.clamped:
        yield sundry("clamp", way.size), "insert_clamp"
    for kind in USED_UP.get(way.joining, ()):
        yield sundry(kind), "joints"


def count_joints(tally: Tally, way: Way, times: int) -> None:
    """Count ends of fittings and what they take."""
    tally.work["joint"] += times
    for item, rule in taken(way):
        tally.add(item, rule, times)
