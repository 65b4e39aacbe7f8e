"""The end of a pipe as a fitting sees it: how it is joined, and in which size."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from service.parts.item import Item
from service.parts.listed import fitting_size, joining_of
from service.parts.materials import FLEXIBLE
from service.parts.models import Pipe
from service.parts.pipe import Joining
from service.parts.sundry import JOININGS, family_id, joined, sundry
from service.parts.trade_sizes import THREADS, thread_for

SMALL_TUBE = 6e-3
"""Bore below which flexible tube hangs in a hole of a larger pipe by a barbed connector. [m] Quarter-inch tube and
smaller: common practice, no source."""

SIZES = list(THREADS)


@dataclass(frozen=True, slots=True)
class Way:
    """One way of joining in one size."""

    joining: Joining
    size: str
    bore: float  # [m]
    clamped: bool = False  # whether clamps hold it on insert fittings
    punched: bool = False  # whether outlets are set into punched holes
    hangs: bool = False  # whether it hangs in a hole of a larger pipe


@dataclass(frozen=True, slots=True)
class EndToEnd:
    """What joins one length of pipe or wire to the next."""

    coupling: Item
    way: Way | None = None  # of its two ends; None for wire, whose splices take nothing more


def way_of(pipe: Pipe) -> Way:
    """How the ends of a pipe are joined."""
    joining = joining_of(pipe)
    flexible, barbed = pipe.material in FLEXIBLE, joining == "barbed"
    hangs = flexible and barbed and pipe.inside_diameter < SMALL_TUBE
    return Way(
        joining=joining,
        size=fitting_size(pipe),
        bore=pipe.inside_diameter,
        clamped=barbed and pipe.kind == "pipe" and not hangs,
        punched=flexible,
        hangs=hangs,
    )


def thread(size: str) -> Way:
    """A pipe thread."""
    return Way("threaded", size, THREADS.get(size, 0.0))


def fitting(kind: str, way: Way, *branch: Way) -> Item:
    """A fitting for a way of joining; of a branch in another size only the size matters."""
    return sundry(family_id(kind, way.joining), way.size, *(other.size for other in branch))


def alike(one: Way, other: Way) -> bool:
    """Whether the same fittings fit both."""
    return (one.joining, one.size) == (other.joining, other.size)


def steps(one: Way, other: Way) -> tuple[Way, ...]:
    """What is passed through from one way of joining to another: the other alone where they are alike.

    Adapters are made between sizes that are near. Where they are not, the size of the larger changes first, to the one
    that comes next to the smaller.
    """
    if alike(one, other):
        return (other,)
    large, small = sorted((one, other), key=lambda way: -way.bore)
    if one.joining == other.joining or large.size not in THREADS:
        return one, other
    near = thread_for(small.bore)
    if SIZES.index(large.size) - SIZES.index(near) <= 1:
        return one, other
    return one, replace(large, size=near, bore=THREADS[near]), other


def change(one: Way, other: Way) -> tuple[Item, str]:
    """The fitting between two ways of joining or two sizes of one, and the rule that it follows from."""
    large, small = sorted((one, other), key=lambda way: -way.bore)
    if one.joining == other.joining:
        return fitting("reducer", large, small), "size_change"
    return adapter(one, other), "joining_change"


def adapter(one: Way, other: Way) -> Item:
    """The fitting between two ways of joining."""
    pair: Sequence[Way] = sorted((one, other), key=lambda way: JOININGS.index(way.joining))
    sizes = dict.fromkeys(way.size for way in pair)
    return sundry(f"adapter-{joined(one.joining, other.joining)}", *sizes)
