"""Blocks of an answer in words, for whoever reads it on paper or in a terminal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from service.units.sentence import figure

Document = Mapping[str, Any]
"""An answer in the caller's units, as plain objects, lists, texts and numbers."""

MOST_SUITING = 6
"""Parts named that suit; of more it is told how many. [-]"""


def words(code: str) -> str:
    """A code that programs match, as it is read.

    >>> words("double_check"), words("outlets.first_at"), words("ph")
    ('double check', 'outlets first at', 'pH')
    """
    return "pH" if code == "ph" else code.replace(".", " ").replace("_", " ")


def measured(document: Document, value: float, dimension: str) -> str:
    """A figure with its unit."""
    return f"{figure(value)} {document['units'].get(dimension, '')}".rstrip()


def outlets(document: Document) -> Iterator[tuple[str, str]]:
    """The lowest, the highest and the critical outlet, each by name and in one line."""
    for name in ("lowest", "highest", "critical"):
        outlet = document.get(f"{name}_outlet")
        if outlet is None:
            continue
        at, pressure, flow = (
            measured(document, outlet[key], dimension)
            for key, dimension in (("at", "length"), ("pressure", "pressure"), ("flow", "outlet_flow"))
        )
        told = f"{outlet['run']} at {at}: {pressure}, {flow}"
        if "minimum" in outlet:
            minimum, margin = (measured(document, abs(outlet[key]), "pressure") for key in ("minimum", "margin"))
            told += f"; it needs {minimum}, so {margin} {'to spare' if outlet['margin'] >= 0 else 'too little'}"
        yield f"{name} outlet", told


def uniformity(document: Document) -> Iterator[str]:
    """How evenly each kind of outlet waters."""
    kinds = document.get("uniformity", {}).get("by_kind", ())
    for kind in kinds:
        emission = "hydraulic emission uniformity" if kind["hydraulic_only"] else "emission uniformity"
        told = (
            f"flow varies {kind['flow_variation']:.1f} %, {emission} {kind['emission_uniformity']:.1f} %, "
            f"statistical {kind['statistical_uniformity']:.1f} % ({kind['class']})"
        )
        yield told if len(kinds) == 1 else f"{kind['kind']}: {told}"


def supply(document: Document) -> str:
    """What the supply gives, and what is left of it where the head begins."""
    block = document["supply"]
    still, left = (measured(document, block[key], "pressure") for key in ("pressure", "pressure_left"))
    return f"{still} with no flow, {left} at {measured(document, block['flow'], 'flow')}"


def suiting(block: Document) -> str:
    """The parts that suit, of many the first."""
    return some([part["part"] for part in block["suits"]], MOST_SUITING)


def some(names: Sequence[str], most: int) -> str:
    """The first of the names, and how many more there are."""
    more = len(names) - most
    return ", ".join(names[:most]) + (f" and {more} more" if more > 0 else "")
