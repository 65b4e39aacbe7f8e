"""When to clean filters, and roughly how long they last until then."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from types import MappingProxyType

from service.schemas.head_answers import BetweenCleanings
from service.units.dimensions import System, to_si
from service.units.sentence import Measured, Sentence
from service.zones.criteria import CLEAN_AT_LOSS
from service.zones.filters_in_place import FilterInPlace

GRAM = 1e-3
"""Gram. [kg]"""

DIRT_HELD: Mapping[str, float] = MappingProxyType(
    {
        kind: grams * GRAM / to_si(1.0, "flow", System.US)
        for kind, grams in {"screen": 1.0, "disc": 3.0, "media": 30.0}.items()
    }
)
"""Dry dirt that a filter holds when due for cleaning, over the most flow it is made for. [kg s/m³]

1, 3 and 30 g for each gpm: our own estimate, which no source bears out; another body, or another dirt, holds several
times more or less.
"""


def clean_when(filters: Sequence[FilterInPlace]) -> Sentence:
    """When to clean each of some filters, by gauges to either side of it: other devices may stand between them."""
    if not filters:
        return Sentence("Clean when the difference of gauges before and after the filter has grown by {rise}.", _rise())
    if len(filters) == 1:
        return _when(filters[0], "the filter", "")
    alike = Counter(one.name for one in filters)
    told = {}
    for place, one in enumerate(filters, start=1):
        name = one.name if alike[one.name] == 1 else f"{one.name} ({place} of {len(filters)})"
        told[f"number_{place}"] = _when(one, "it", f" the {name}")
    return Sentence(" ".join(f"{{{place}}}" for place in told), told)


def _when(one: FilterInPlace, where: str, which: str) -> Sentence:
    if one.kind == "separator":
        return Sentence("Drain the separator of its sand from time to time: no gauge tells when.")
    facts: dict[str, Measured | Sentence | str] = {"which": which, "where": where}
    if one.allowance and one.clean_loss is not None:
        told = "Clean{which} when gauges before and after {where} differ by {at} at this flow, {more} more than clean."
        facts |= {
            "at": Measured(one.clean_loss + one.allowance, "pressure"),
            # A sentence of its own, so that a clean loss of next to nothing does not lend the sum six digits.
            "more": Sentence("{rise}", _rise(one.allowance)),
        }
        return Sentence(told, facts)
    told = "Clean{which} when the difference of gauges before and after {where} has grown by {rise}."
    return Sentence(told, {**facts, **_rise(one.allowance)})


def _rise(allowance: float = 0.0) -> dict[str, Measured]:
    return {"rise": Measured(allowance or CLEAN_AT_LOSS, "pressure")}


def between_cleanings(filters: Sequence[FilterInPlace], suspended_solids: float | None) -> BetweenCleanings | Sentence:
    """Roughly how much water the filter that takes the load passes between cleanings, or why that cannot be guessed.

    Parameters
    ----------
    filters : in the order in which water meets them; the first that holds dirt back takes all of it
    suspended_solids : in the water [kg/m³]
    """
    loaded = next((one for one in filters if one.kind in DIRT_HELD), None)
    if not suspended_solids or loaded is None:
        lacking = "a filter that holds dirt" if suspended_solids else "the suspended solids"
        told = "How long it lasts between cleanings cannot even be guessed without {lacking}."
        return Sentence(told, {"lacking": lacking})
    made_for = loaded.made_for or loaded.flow
    held = DIRT_HELD[loaded.kind] * made_for
    volume = held / suspended_solids
    facts: dict[str, Measured | float | str] = {
        "solids": Measured(suspended_solids, "concentration"),
        "held": held / GRAM,
        "kind": loaded.kind,
        "most": Measured(made_for, "flow"),
        "taken": "" if loaded.made_for else " (it states no flow range)",
    }
    told = (
        "A rough guess of our own, no source, several times more or less: a {kind} filter made for {most}{taken} is "
        "taken to hold {held} g of dirt, and all of the {solids} to stay in it. Go by the gauges."
    )
    return BetweenCleanings(volume=volume, duration=volume / loaded.flow, why=Sentence(told, facts))
