"""The end of a pipe as a fitting sees it: how it is joined, and in which size."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from service.parts.item import Item
from service.parts.listed import fitting_size, joining_of
from service.parts.materials import FLEXIBLE
from service.parts.models import Pipe
from service.parts.pipe import Joining
from service.parts.sundry import JOININGS, family_id, joined, sundry
from service.parts.trade_sizes import THREADS


@dataclass(frozen=True, slots=True)
class Way:
    """One way of joining in one size."""

    joining: Joining
    size: str
    bore: float  # [m]
    clamped: bool = False  # whether clamps hold it on insert fittings
    punched: bool = False  # whether outlets are set into punched holes


def way_of(pipe: Pipe) -> Way:
    """How the ends of a pipe are joined."""
    joining = joining_of(pipe)
    return Way(
        joining=joining,
        size=fitting_size(pipe),
        bore=pipe.inside_diameter,
        clamped=joining == "barbed" and pipe.kind == "pipe",
        punched=pipe.material in FLEXIBLE,
    )


def thread(size: str) -> Way:
    """A pipe thread."""
    return Way("threaded", size, THREADS.get(size, 0.0))


def fitting(kind: str, way: Way, *branch: Way) -> Item:
    """A fitting for a way of joining; of a branch in another size only the size matters."""
    return sundry(family_id(kind, way.joining), way.size, *(other.size for other in branch))


def reducer(one: Way, other: Way) -> Item:
    """The fitting between two sizes of one way of joining."""
    large, small = sorted((one, other), key=lambda way: -way.bore)
    return fitting("reducer", large, small)


def adapter(one: Way, other: Way) -> Item:
    """The fitting between two ways of joining."""
    pair: Sequence[Way] = sorted((one, other), key=lambda way: JOININGS.index(way.joining))
    sizes = dict.fromkeys(way.size for way in pair)
    return sundry(f"adapter-{joined(one.joining, other.joining)}", *sizes)
