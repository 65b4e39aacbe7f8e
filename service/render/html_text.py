"""An answer as a page: a sheet to print, or one plain table for a program to read."""

from __future__ import annotations

from typing import Any

from jinja2 import Environment, PackageLoader, select_autoescape
from markupsafe import Markup, escape
from pydantic import BaseModel

from service.render.cells import is_number, said
from service.render.csv_text import headed
from service.render.in_words import words
from service.render.listing import Document, listing
from service.render.material_list import MaterialList
from service.render.plain import defused, number, one_line
from service.render.sheet import Sheet
from service.schemas.takeoff_answers import TakeoffAnswer


def _tidy(value: Any) -> Any:
    return one_line(value) if isinstance(value, str) and not isinstance(value, Markup) else value


LONGEST_FOOT = 80
"""Characters of a title at the foot of every page. [-]"""


def _in_style(text: str) -> Markup:
    """A text as a string of a style sheet, each character but letters and figures by its number."""
    plain = one_line(text)
    cut = plain if len(plain) <= LONGEST_FOOT else plain[: LONGEST_FOOT - 1] + "…"
    escaped = (char if char.isascii() and char.isalnum() else f"\\{ord(char):x} " for char in cut)
    return Markup(f'"{"".join(escaped)}"')  # noqa: S704 - nothing but letters, figures and numbers


_templates = Environment(
    loader=PackageLoader("service", "web/templates"),
    autoescape=select_autoescape(["html"]),
    finalize=_tidy,
    trim_blocks=True,
    lstrip_blocks=True,
)
_templates.filters["words"] = words
_templates.filters["in_style"] = _in_style


def table_page(model: type[BaseModel], document: Document, table: str, *, comma: bool = False) -> str:
    """One table and nothing else, its id and caption always the same, each number bare in a cell of its own."""
    shown = listing(model, document, table)
    # Long tables are put together here: a template takes its time for every cell.
    rows = "\n".join(f"<tr>{''.join(_cell(cell, comma=comma) for cell in row)}</tr>" for row in shown.rows)
    headings = [headed(column) for column in shown.columns]
    return _templates.get_template("table.html").render(
        name=shown.name,
        headings=headings,
        rows=Markup(rows),  # noqa: S704 - each cell is escaped
    )


def _cell(cell: Any, *, comma: bool) -> str:
    if is_number(cell):
        return f'<td class="n">{number(cell, comma=comma)}</td>'
    return f"<td>{escape(defused(said(cell, comma=comma)))}</td>"


def sheet_page(model: type[BaseModel], document: Document) -> str:
    """The answer for people: what matters first, nothing fetched from elsewhere, fit to be printed."""
    if model is TakeoffAnswer:
        return _templates.get_template("takeoff.html").render(list=MaterialList(document))
    return _templates.get_template("sheet.html").render(sheet=Sheet(model, document))
