"""Tables as comma-separated values (RFC 4180), safe to open in a sheet."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from service.render.cells import is_number, said
from service.render.listing import Column, Listing
from service.render.plain import defused, number

LINE_END = "\r\n"

BYTE_ORDER_MARK = "\ufeff"
"""Tells a sheet that opens a file that it is UTF-8. In a cell it would be one character too many."""


def csv_of(listing: Listing, *, comma: bool = False) -> str:
    """A heading and the rows. With `comma` numbers have a decimal comma and cells are parted by semicolons."""
    heading = [headed(column) for column in listing.columns]
    return "".join(line + LINE_END for line in (csv_row(row, comma=comma) for row in (heading, *listing.rows)))


def headed(column: Column) -> str:
    """A heading with its unit."""
    return f"{column.heading} [{column.unit}]" if column.unit else column.heading


def csv_row(cells: Iterable[Any], *, comma: bool = False) -> str:
    """One row without a line end. Texts stand in quotes, always; numbers are bare; what does not exist is empty."""
    return (";" if comma else ",").join(_cell(cell, comma=comma) for cell in cells)


def _cell(cell: Any, *, comma: bool) -> str:
    if cell is None:
        return ""
    if is_number(cell):
        return number(cell, comma=comma)
    quoted = defused(said(cell, comma=comma)).replace('"', '""')
    return f'"{quoted}"'
