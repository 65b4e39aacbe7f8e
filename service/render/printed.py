"""Tables as they are printed: rounded, without what is empty, one for each kind of thing, no wider than paper."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from service.render.cells import is_number, said
from service.render.in_words import words
from service.render.listing import SUMMARY, Column, Listing
from service.render.rounding import decimals, fixed
from service.units.sentence import figure

MOST_COLUMNS = 8
"""Columns that fit on upright paper. [-] Of more, what all rows share is told below the table."""

KIND, SOURCE = "kind_of_part", "source"
"""Columns by which rows are parted into tables, and that tell where figures come from."""

CODES = frozenset({"constituent", "joining", "kind", "material"})
"""Columns of words that programs match; on paper they are read."""


@dataclass(frozen=True, slots=True)
class Heading:
    """What stands over a column."""

    words: str
    unit: str = ""
    is_of_figures: bool = False


@dataclass(frozen=True, slots=True)
class Printed:
    """One table."""

    title: str
    headings: Sequence[Heading]
    rows: Sequence[Sequence[str]]
    shared: Sequence[tuple[str, str]] = ()  # what holds for every row: words, and the value with its unit
    sources: Sequence[str] = ()  # numbered from 1 in the rows

    @property
    def is_wide(self) -> bool:
        """Whether it wants paper laid across."""
        return len(self.headings) > MOST_COLUMNS


@dataclass(slots=True)
class _Columns:
    """A table by columns, while it is made narrower."""

    columns: list[Column]
    cells: list[list[Any]] = field(default_factory=list)

    def taken(self, place: int) -> tuple[Column, list[Any]]:
        return self.columns.pop(place), self.cells.pop(place)


def printed(listed: Listing) -> Iterator[Printed]:
    """The table, or one for each kind of part in it; none where there are no rows."""
    if listed.name == SUMMARY:
        yield from _summary(listed)
        return
    headings = [column.heading for column in listed.columns]
    kind = headings.index(KIND) if KIND in headings else None
    groups: dict[str, list[Sequence[Any]]] = {}
    for row in listed.rows:
        groups.setdefault(listed.name if kind is None else f"{row[kind]}s", []).append(row)
    for title, rows in groups.items():
        cells = [list(column) for column in zip(*rows, strict=True)]
        kept = [place for place, column in enumerate(cells) if place != kind and not all(map(_is_empty, column))]
        table = _Columns([listed.columns[place] for place in kept], [cells[place] for place in kept])
        yield _narrowed(words(title), table, numbered=kind is not None)


def _narrowed(title: str, table: _Columns, *, numbered: bool) -> Printed:
    """The table with its sources below it if they are to be `numbered`, and what all rows share if it is too wide."""
    shared: list[tuple[str, str]] = []
    sources: list[str] = []
    names = [column.heading for column in table.columns]
    if numbered and SOURCE in names:
        column, cells = table.taken(names.index(SOURCE))
        sources = list(dict.fromkeys(map(str, cells)))
        table.columns.append(column)
        table.cells.append([str(sources.index(str(cell)) + 1) for cell in cells])
    if len(table.columns) > MOST_COLUMNS:
        for place in range(len(table.columns) - 1, -1, -1):
            column, cells = table.columns[place], table.cells[place]
            if column.heading != SOURCE and len(cells) > 1 and all(cell == cells[0] for cell in cells):
                table.taken(place)
                shared.insert(0, (words(column.heading), f"{_one_by_one(cells)[0]} {column.unit}".rstrip()))
    printed = list(_ranges_together(table))
    return Printed(
        title, [head for head, _ in printed], list(zip(*(cells for _, cells in printed), strict=True)), shared, sources
    )


def _ranges_together(table: _Columns) -> Iterator[tuple[Heading, Sequence[str]]]:
    """Headings and cells as printed, the two ends of a range in one column."""
    names = [column.heading for column in table.columns]
    cells = [_column(column) for column in table.cells]
    cells = [list(map(words, told)) if name in CODES else told for name, told in zip(names, cells, strict=True)]
    for place, column in enumerate(table.columns):
        of, _, end = column.heading.rpartition(".")
        heading = Heading(words(column.heading), column.unit, _is_of_figures(table.cells[place]))
        if end == "1" and f"{of}.2" in names:
            ranges = [
                f"{low} to {high}" if low else ""
                for low, high in zip(cells[place], cells[names.index(f"{of}.2")], strict=True)
            ]
            yield replace(heading, words=words(of)), ranges
        elif not (end == "2" and f"{of}.1" in names):
            yield heading, cells[place]


def _summary(listed: Listing) -> Iterator[Printed]:
    """The single values that there are, one below the other with their units, where they come from at the end."""
    values = {name: (_told(value), unit) for name, value, unit in listed.rows if not _is_empty(value)}
    if not values:
        return
    roots = {name.partition(".")[0] for name in values}
    rows = []
    for name, (value, unit) in values.items():
        of, _, end = name.rpartition(".")
        if end == "2" and f"{of}.1" in values:
            continue
        other = values.get(f"{of}.2") if end == "1" else None
        told = f"{value} to {other[0]}" if other else value
        whole = of if other else name
        short = whole.partition(".")[2] if len(roots) == 1 else whole
        rows.append((words(short), f"{told} {unit}".rstrip()))
    rows.sort(key=lambda row: row[0] == SOURCE)
    yield Printed("", [Heading("what"), Heading("value")], rows)


def _is_empty(cell: Any) -> bool:
    return cell is None or cell in ("", [])


def _column(cells: Sequence[Any]) -> list[str]:
    """The cells of a column: its figures with as many decimals each."""
    if _is_of_figures(cells):
        numbers = [cell for cell in cells if cell is not None]
        places = 0 if all(isinstance(number, int) for number in numbers) else decimals(numbers)
        return ["" if cell is None else fixed(cell, places) for cell in cells]
    return _one_by_one(cells)


def _one_by_one(cells: Sequence[Any]) -> list[str]:
    return [_told(cell) for cell in cells]


def _told(cell: Any) -> str:
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    return figure(cell) if is_number(cell) else said(cell)


def _is_of_figures(cells: Sequence[Any]) -> bool:
    """Whether whatever stands in the column is a figure."""
    there = [cell for cell in cells if cell is not None]
    return bool(there) and all(map(is_number, there))
