"""When to clean a filter, and roughly how long it lasts until then."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from service.schemas.head_answers import BetweenCleanings
from service.units.dimensions import System, to_si
from service.units.sentence import Measured, Sentence
from service.zones.criteria import CLEAN_AT_LOSS

GRAM = 1e-3
"""Gram. [kg]"""

DIRT_HELD: Mapping[str, float] = MappingProxyType(
    {
        kind: grams * GRAM / to_si(1.0, "flow", System.US)
        for kind, grams in {"screen": 1.0, "disc": 3.0, "media": 30.0}.items()
    }
)
"""Dry dirt that a filter holds when due for cleaning, over the most flow it is made for. [kg s/m³]

1, 3 and 30 g for each gpm: common practice, no source; another body, or another dirt, holds several times more or less.
"""


def clean_when(clean: float | None, allowance: float, *, several: bool) -> Sentence:
    """When to clean a filter of a clean loss and an allowance on top of it [Pa], or several in a row."""
    where = "before the first filter and after the last" if several else "before and after the filter"
    if allowance and clean is not None:
        told = "Clean when gauges {where} differ by {at} at this flow, {allowance} more than when all is clean."
        at, more = Measured(clean + allowance, "pressure"), Measured(allowance, "pressure")
        return Sentence(told, {"where": where, "at": at, "allowance": more})
    told = "Clean when the difference of gauges {where} has grown by {rise}."
    return Sentence(told, {"where": where, "rise": Measured(allowance or CLEAN_AT_LOSS, "pressure")})


def between_cleanings(
    kind: str, *, made_for: float, flow: float, suspended_solids: float | None
) -> BetweenCleanings | None:
    """Roughly how much water a filter passes between cleanings; None where that cannot even be guessed.

    Parameters
    ----------
    kind : type of filter
    made_for : the most flow it is made for [m³/s]
    flow : through it [m³/s]
    suspended_solids : in the water, all of them taken to be held [kg/m³]
    """
    if not suspended_solids or kind not in DIRT_HELD or flow <= 0.0:
        return None
    held = DIRT_HELD[kind] * made_for
    volume = held / suspended_solids
    solids = Measured(suspended_solids, "concentration")
    facts: dict[str, Measured | float | str] = {"solids": solids, "held": held / GRAM, "kind": kind}
    told = (
        "A rough guess, several times more or less: a {kind} filter of this size is taken to hold {held} g of dirt, "
        "and all of the {solids} to stay in it. Go by the gauges."
    )
    return BetweenCleanings(volume=volume, duration=volume / flow, why=Sentence(told, facts))
