"""One row of evidence: a number from outside, what the service computes for it, and how close it must come.

Tests are parametrised by rows, and the page of evidence is made from the same ones: tests/evidence.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

import pytest


class Provenance(StrEnum):
    """How far a number can be trusted."""

    FOUND = "read in a document that can be named"
    MEMORY = "from memory, not read again"
    PRACTICE = "common practice, no source"
    DERIVED = "computed for this project from a named formula, not a published number"


@dataclass(frozen=True, slots=True)
class Source:
    """Where numbers come from."""

    title: str
    author: str | None
    year: int | None
    locator: str
    provenance: Provenance
    address: str = ""  # where it was read

    def worked_out(self) -> Source:
        """The source of a number that follows from what is printed here, but is not itself printed."""
        return replace(self, provenance=Provenance.DERIVED)


@dataclass(frozen=True, slots=True)
class Way:
    """How a source computes what the service rightly computes otherwise, and that this gives the source's number."""

    words: str
    compute: Callable[[], float]
    rel: float = 0.0
    abs: float = 0.0


@dataclass(frozen=True, slots=True)
class Row:
    """One number of a source."""

    what: str
    expected: float
    compute: Callable[[], float]
    source: Source
    why: str  # of the tolerance, or of the difference where the service rightly differs
    rel: float = 0.0
    abs: float = 0.0
    way: Way | None = None  # the source's own, where the service rightly differs

    @property
    def tolerance(self) -> float:
        """Farthest that the computed number may lie from the expected one, in its unit."""
        return max(self.rel * abs(self.expected), self.abs)


def each(rows: Sequence[Row]) -> pytest.MarkDecorator:
    """Parametrise a test by rows."""
    return pytest.mark.parametrize("row", rows, ids=[row.what for row in rows])


def agrees(row: Row) -> None:
    """Fail unless the service computes what the source says, and the source's own way gives its number."""
    computed = row.compute()
    assert computed == pytest.approx(row.expected, rel=row.rel, abs=row.abs), (
        f"{row.what}: {computed:.6g} computed, {row.expected:.6g} in {row.source.title} ({row.source.provenance})"
    )
    if row.way is not None:
        theirs = row.way.compute()
        assert theirs == pytest.approx(row.expected, rel=row.way.rel, abs=row.way.abs), (
            f"{row.what}: {theirs:.6g} {row.way.words}, {row.expected:.6g} in {row.source.title}"
        )
