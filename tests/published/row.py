"""One row of evidence: a number from outside, what the service computes for it, and how close it must come."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum

import pytest


class Provenance(StrEnum):
    """How far a number can be trusted."""

    FOUND = "read in a document that can be named"
    MEMORY = "from memory, not read again"
    DERIVED = "computed for this project from a named formula, not a published number"


@dataclass(frozen=True, slots=True)
class Source:
    """Where numbers come from."""

    title: str
    author: str | None
    year: int | None
    locator: str
    provenance: Provenance


@dataclass(frozen=True, slots=True)
class Row:
    """One number of a source."""

    what: str
    expected: float
    compute: Callable[[], float]
    source: Source
    why: str  # of the tolerance
    rel: float = 0.0
    abs: float = 0.0


def each(rows: Sequence[Row]) -> pytest.MarkDecorator:
    """Parametrise a test by rows."""
    return pytest.mark.parametrize("row", rows, ids=[row.what for row in rows])


def agrees(row: Row) -> None:
    """Fail unless the service computes what the source says."""
    computed = row.compute()
    assert computed == pytest.approx(row.expected, rel=row.rel, abs=row.abs), (
        f"{row.what}: {computed:.6g} computed, {row.expected:.6g} in {row.source.title} ({row.source.provenance})"
    )
