"""Tables of plain text that line up in any terminal."""

import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import zip_longest
from textwrap import wrap

GAP = "  "

SHORTEST_TEXT = 12
"""Width that a column of text keeps, however narrow the terminal. [characters]"""


def shown(text: str) -> str:
    r"""The text without what would steer a terminal or turn the direction of reading.

    >>> shown("bed\u202e:2")
    'bed?:2'
    """
    return "".join(char if char.isprintable() else "?" for char in text)


def width(text: str) -> int:
    r"""Columns that a text takes: two for a wide character, none for a mark upon the one before.

    >>> width("µm"), width("畑"), width("e\u0301")
    (2, 2, 1)
    """
    return sum(
        0 if unicodedata.combining(char) else 2 if unicodedata.east_asian_width(char) in "WF" else 1 for char in text
    )


def cut(text: str, most: int) -> str:
    """The text, or its start and end where it is wider than `most`; the end of an address tells the copies apart.

    >>> cut("bed:12/row:104", 11)
    'bed:1…w:104'
    """
    if width(text) <= most:
        return text
    head = tail = (most - 1) // 2
    while width(text[:head] + text[-tail:]) > most - 1:
        head -= 1
    return f"{text[:head]}…{text[-tail:]}"


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its heading, its unit, its cells, and to which side they stand."""

    heading: str
    cells: Sequence[str]
    unit: str = ""
    right: bool = True
    wraps: bool = False  # whether a long cell goes on below instead of being cut

    @property
    def width(self) -> int:
        """Columns of the terminal that it takes."""
        return max(map(width, (self.heading, self.unit, *self.cells)))


def table(columns: Sequence[Column], most: int) -> list[str]:
    """Lines of a table no wider than `most`: headings, units, cells. The widest column of text gives way."""
    widths = [column.width for column in columns]
    over = sum(widths) + len(GAP) * (len(columns) - 1) - most
    texts = [index for index, column in enumerate(columns) if not column.right]
    if over > 0 and texts:
        longest = max(texts, key=lambda index: widths[index])
        widths[longest] = max(widths[longest] - over, SHORTEST_TEXT)
    rows = [tuple(column.heading for column in columns)]
    if any(column.unit for column in columns):
        rows.append(tuple(column.unit for column in columns))
    rows += zip(*(column.cells for column in columns), strict=True)
    return [line for row in rows for line in _lines(columns, row, widths)]


def _lines(columns: Sequence[Column], row: Sequence[str], widths: Sequence[int]) -> Iterator[str]:
    """The lines of one row: one, unless a cell wraps."""
    cells = [
        wrap(cell, most) or [""] if column.wraps else [cut(cell, most)]
        for column, cell, most in zip(columns, row, widths, strict=True)
    ]
    for line in zip_longest(*cells, fillvalue=""):
        yield GAP.join(map(_aligned, columns, line, widths)).rstrip()


def _aligned(column: Column, text: str, most: int) -> str:
    space = " " * (most - width(text))
    return space + text if column.right else text + space


def paragraph(text: str, most: int, *, first: str = "", later: str | None = None) -> list[str]:
    """Lines of running text, the first one behind `first` and the others behind `later` or as much space."""
    behind = " " * width(first) if later is None else later
    lines = wrap(shown(text), most, initial_indent=first, subsequent_indent=behind, break_on_hyphens=False)
    return lines or [first.rstrip()]
