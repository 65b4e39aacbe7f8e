"""Sentences that keep their figures in SI until it is known who reads them."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import combinations

from service.units.dimensions import DIMENSIONS, System

USUAL_DIGITS = 3
"""Significant digits of a figure in a sentence. [-] Gauges and tapes on site read no finer."""

MOST_DIGITS = 7
"""Significant digits beyond which two figures that still look alike are left alike. [-]"""

MOST_DECIMALS = 6
"""Decimal places a figure in a sentence may have. [-] Smaller ones read as nought."""


def figure(value: float, digits: int = USUAL_DIGITS) -> str:
    """A number for reading: `digits` significant, but never a digit before the point lost.

    >>> figure(13.5678), figure(1234.5), figure(-0.0), figure(25.0), figure(0.01234)
    ('13.6', '1234', '0', '25', '0.0123')
    """
    if value == 0 or not math.isfinite(value):
        return "0" if value == 0 else str(value)
    decimals = min(max(digits - 1 - math.floor(math.log10(abs(value))), 0), MOST_DECIMALS)
    text = f"{value:.{decimals}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


@dataclass(frozen=True, slots=True)
class Measured:
    """A quantity to be named in a sentence: its SI value and its dimension."""

    value: float
    dimension: str

    def said(self, system: System, digits: int = USUAL_DIGITS) -> str:
        """The quantity in the reader's unit, label and all: `13.6 psi`."""
        unit = DIMENSIONS[self.dimension].unit(system)
        return f"{figure(unit.from_si(self.value), digits)} {unit.label}"


@dataclass(frozen=True, slots=True)
class Sentence:
    """A template with `{name}` places and the facts that fill them; a fact may be a sentence itself."""

    template: str
    facts: Mapping[str, Measured | Sentence | str | int | float] = field(default_factory=dict)

    def said(self, system: System) -> str:
        """The sentence in the reader's units.

        Two figures of one dimension that differ are told with as many digits as it takes to tell these two apart:
        "10 psi is below the 10 psi it needs" would help nobody.

        >>> needs = Sentence("{have} is below {need}.", {"have": Measured(99_960.0, "pressure"),
        ...                                              "need": Measured(100_000.0, "pressure")})
        >>> needs.said(System.METRIC)
        '99.96 kPa is below 100 kPa.'
        """
        used = {name: fact for name, fact in self.facts.items() if f"{{{name}}}" in self.template}
        words = {name: _word(fact, system, USUAL_DIGITS) for name, fact in used.items()}
        for digits in range(USUAL_DIGITS + 1, MOST_DIGITS + 1):
            alike = _alike(used, words)
            if not alike:
                break
            words |= {name: _word(used[name], system, digits) for name in alike}
        return self.template.format_map(words)


def _alike(facts: Mapping[str, Measured | Sentence | str | int | float], words: Mapping[str, str]) -> set[str]:
    """Names of the figures that read like another one of their dimension which is not the same."""
    measured = [(name, fact) for name, fact in facts.items() if isinstance(fact, Measured)]
    return {
        name
        for (one, a), (other, b) in combinations(measured, 2)
        if a.dimension == b.dimension
        and words[one] == words[other]
        and not math.isclose(a.value, b.value, rel_tol=1e-9)
        for name in (one, other)
    }


def _word(fact: Measured | Sentence | str | float, system: System, digits: int) -> str:
    if isinstance(fact, Sentence):
        return fact.said(system)
    if isinstance(fact, Measured):
        return fact.said(system, digits)
    return figure(fact, digits) if isinstance(fact, float) else str(fact)
