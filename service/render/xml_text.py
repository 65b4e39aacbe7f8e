"""An answer as XML: no namespace, one flat element a value, names that never change.

Single values stand first, each under a name of its own, so that `number(//flow)` finds the one that is meant; tables
follow as elements of `row`s.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import chain
from typing import Any
from xml.sax.saxutils import escape, quoteattr

from pydantic import BaseModel

from service.render.cells import is_number, said
from service.render.listing import SUMMARY, Document, Listing, listing, plans
from service.render.plain import number

ROOT = "answer"

_FORBIDDEN = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""What no XML text may hold in any spelling: Extensible Markup Language 1.0, fifth edition, production 2."""

_AS_ESCAPED = {"\r": "&#13;"}
"""What readers would take for something else if it stood there plainly: section 2.11, ends of lines."""


def xml_of(model: type[BaseModel], document: Document, table: str | None = None) -> str:
    """The whole answer, or one table of it."""
    names = [table] if table else [name for name, plan in plans(model).items() if not plan.repeats]
    shown = (listing(model, document, name) for name in names)
    body = "".join(line for each in shown for line in (_singles(each) if each.name == SUMMARY else _table(each)))
    return f'<?xml version="1.0" encoding="UTF-8"?>\n<{ROOT}>\n{body}</{ROOT}>\n'


def _singles(summary: Listing) -> Iterator[str]:
    for what, value, unit in summary.rows:
        for element in _elements(*_marks(what, unit), value):
            yield element + "\n"


def _table(table: Listing) -> Iterator[str]:
    marks = [_marks(column.heading, column.unit) for column in table.columns]
    yield f"<{table.name}>\n"
    for row in table.rows:
        cells = (_elements(start, end, cell) for (start, end), cell in zip(marks, row, strict=True))
        yield f"<row>{''.join(chain.from_iterable(cells))}</row>\n"
    yield f"</{table.name}>\n"


def _marks(path: str, unit: str) -> tuple[str, str]:
    """What stands before and behind a value: its element, with its unit."""
    name = path.replace(".", "_")
    label = f" unit={quoteattr(unit)}" if unit else ""
    return f"<{name}{label}>", f"</{name}>"


def _elements(start: str, end: str, value: Any) -> Sequence[str]:
    """An element, for a list one for each entry, for what does not exist none."""
    if is_number(value):
        return (start + number(value) + end,)
    return [start + _text(said(entry)) + end for entry in _entries(value)]


def _text(text: str) -> str:
    """A text as it was given, but for what XML forbids."""
    return escape(_FORBIDDEN.sub("", text), _AS_ESCAPED)


def _entries(value: Any) -> Sequence[Any]:
    if value is None:
        return ()
    if isinstance(value, list | tuple):
        return [[entry] if isinstance(entry, list | tuple) else entry for entry in value]
    return (value,)
