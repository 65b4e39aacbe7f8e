"""How fine a filter must be for what it protects."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from service.parts.mesh import opening_of
from service.parts.models import Emitter
from service.schemas.devices import HeadFilter
from service.units.sentence import Measured, Sentence

USUAL_MESH = 150
"""Mesh taken where nothing states its passage or its filter. [-] Smith, Clemson Cooperative Extension, Landscape
Irrigation Equipment Part 5: the usual screen for drip emitters."""


@dataclass(frozen=True, slots=True)
class NeededOpening:
    """Widest filter opening that protects the outlets, and where it comes from."""

    opening: float  # [m]
    why: Sentence
    assumed: bool  # because nothing states what it needs
    stated: bool = False  # by the part itself


def opening(value: float) -> Measured:
    """An opening in m, to be said."""
    return Measured(value, "roughness")


USUAL = NeededOpening(
    opening_of(USUAL_MESH),
    Sentence(
        "An outlet states neither its passage nor its filter: {opening} ({mesh} mesh) is usual for drip.",
        {"opening": opening(opening_of(USUAL_MESH)), "mesh": USUAL_MESH},
    ),
    assumed=True,
)
"""What an outlet needs that does not say."""


def needed_opening(emitters: Iterable[Emitter], share: float) -> NeededOpening:
    """The finest opening that any of the emitters asks for.

    Its own `filter_opening`, else a share of its passage, else what is usual.
    """
    return min(_asked(emitters, share), key=lambda need: need.opening)


def opening_for_passage(passage: float, share: float) -> NeededOpening:
    """The opening that protects a passage [m]."""
    facts: dict[str, Measured | float] = {
        "passage": Measured(passage, "diameter"),
        "share": 100 * share,
        "opening": opening(share * passage),
    }
    told = Sentence("The smallest passage is {passage}, and {share} % of that is {opening}.", facts)
    return NeededOpening(share * passage, told, assumed=False)


def _asked(emitters: Iterable[Emitter], share: float) -> Iterator[NeededOpening]:
    for emitter in emitters:
        if emitter.filter_opening is not None:
            facts: dict[str, Measured | str] = {
                "emitter": f"The {emitter.id}" if emitter.id else "The emitter",
                "opening": opening(emitter.filter_opening),
            }
            told = Sentence("{emitter} asks for a filter of {opening} or finer.", facts)
            yield NeededOpening(emitter.filter_opening, told, assumed=False, stated=True)
        elif emitter.passage is not None:
            yield opening_for_passage(emitter.passage, share)
        else:
            yield USUAL


def states_filter(emitter: Emitter) -> bool:
    """Whether an emitter tells how fine a filter it needs, be it by its passage."""
    return emitter.filter_opening is not None or emitter.passage is not None


def filter_fineness(device: HeadFilter) -> float | None:
    """Size of particle that a filter of the head holds back, None where it states none. [m]"""
    if device.opening is not None or device.mesh is None:
        return device.opening
    return opening_of(device.mesh)
