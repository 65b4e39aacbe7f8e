"""The ground under a run, as its pipe goes."""

from __future__ import annotations

from itertools import pairwise
from typing import Annotated

from service.schemas.slopes import ROUNDING, too_steep
from service.units.lists import Items
from service.units.quantity import Distance, Height
from service.units.refusal import Refusal
from service.units.sentence import Measured, Sentence

Ground = Annotated[tuple[tuple[Distance, Height], ...], Items(2, 1000)]
"""Points `[distance, height]`: distance along the pipe from 0 to its length, height above its start."""


def disorder(ground: Ground, length: float) -> list[Refusal]:
    """What keeps these points from being the ground under `length` [m] of pipe."""
    refusals = []
    if ground[0] != (0, 0):
        refusals.append(Refusal(("ground", 0), "The ground does not begin at the start of the run.", "[0, 0]"))
    for row, ((before, low), (distance, high)) in enumerate(pairwise(ground), start=1):
        if distance <= before:
            facts = {"now": _length(distance), "before": _length(before)}
            told = Sentence("{now} comes after {before}.", facts)
            refusals.append(Refusal(("ground", row, 0), told, Sentence("a distance above {before}", facts)))
        else:
            refusals += too_steep(("ground", row, 1), high - low, distance - before)
    end = ground[-1][0]
    if abs(end - length) > ROUNDING * length:
        facts = {"end": _length(end), "length": _length(length)}
        told = Sentence("The ground ends at {end}, but the run is {length} long.", facts)
        refusals.append(Refusal(("ground", len(ground) - 1, 0), told, Sentence("{length}", facts)))
    return refusals


def _length(value: float) -> Measured:
    return Measured(value, "length")
