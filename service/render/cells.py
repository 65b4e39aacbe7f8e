"""What stands in one cell, as text."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.render.plain import number

BETWEEN = "; "
"""Between the entries of a list that shares one cell."""


def is_number(cell: Any) -> bool:
    """Whether a cell is to be written bare."""
    return isinstance(cell, int | float) and not isinstance(cell, bool)


def said(cell: Any, *, comma: bool = False) -> str:
    """A cell as text: a list's entries one behind the other, nothing as the empty text.

    >>> said([[2, 9], [8, 10.5]]), said(True), said(None), said(["a", "b"])
    ('2 9; 8 10.5', 'true', '', 'a; b')
    """
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "true" if cell else "false"
    if is_number(cell):
        return number(cell, comma=comma)
    if isinstance(cell, Mapping):
        return BETWEEN.join(f"{name}: {said(value, comma=comma)}" for name, value in cell.items())
    if isinstance(cell, list | tuple):
        return BETWEEN.join(_entry(entry, comma=comma) for entry in cell)
    return str(cell)


def _entry(entry: Any, *, comma: bool) -> str:
    if isinstance(entry, list | tuple):
        return " ".join(said(value, comma=comma) for value in entry)
    return said(entry, comma=comma)
