"""The formats an answer comes in, by the name that `format=` takes. A new one is a line here."""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import partial
from types import MappingProxyType

from pydantic import BaseModel
from pydantic_core import to_json

from service.render.cells import is_number, said
from service.render.csv_text import BYTE_ORDER_MARK, csv_of, csv_row
from service.render.html_text import sheet_page, table_page
from service.render.listing import Document, listing, main_table
from service.render.pick import picks
from service.render.plain import defused
from service.render.plot import Plot, drawn
from service.render.xml_text import xml_of


class Part(StrEnum):
    """How much of an answer is asked for."""

    WHOLE = "whole"
    TABLE = "table"
    PICK = "pick"
    PLOT = "plot"


@dataclass(frozen=True, slots=True)
class Told:
    """An answer to be written, and how."""

    model: type[BaseModel]
    document: Document
    table: str | None = None
    pick: tuple[str, ...] = ()
    comma: bool = False  # a decimal comma in numbers
    download: bool = False  # to be kept as a file
    plot: Plot | None = None

    @property
    def picks(self) -> list[object]:
        """The values of the names in `pick`."""
        return picks(self.model, self.document, self.pick)


@dataclass(frozen=True, slots=True)
class Format:
    """One format: what it is called, what the header Content-Type says, how it is written, what it can be asked for."""

    name: str
    media_type: str
    write: Callable[[Told], bytes]
    parts: frozenset[Part] = frozenset({Part.WHOLE})
    comma: frozenset[Part] = frozenset()  # the parts in which it can write a decimal comma
    sheet: bool = False  # whether the whole answer is shown as a sheet, which tells more than was asked for
    alias: str = ""  # another media type that means the same

    @property
    def media_types(self) -> tuple[str, ...]:
        """What it may be asked for as, without parameters."""
        return tuple(filter(None, (self.media_type.partition(";")[0], self.alias)))

    @property
    def draws(self) -> bool:
        """Whether it is a picture, which not every answer comes as."""
        return Part.PLOT in self.parts

    @property
    def ending(self) -> str:
        """How the name of a file of this format ends."""
        return "txt" if self.name == "text" else self.name


def _json(told: Told) -> bytes:
    return json_of(told.document)


def json_of(document: Document) -> bytes:
    """The document itself."""
    text = to_json(document, inf_nan_mode="constants")
    if b"NaN" in text or b"Infinity" in text:
        # In a name they are letters. As numbers they have no place in JSON: better a loud failure than a wrong answer.
        json.dumps(document, allow_nan=False)
    return text


def _csv(told: Told) -> bytes:
    if told.pick:
        text = csv_row(told.picks, comma=told.comma)
    else:
        name = told.table or main_table(told.model)
        text = csv_of(listing(told.model, told.document, name), comma=told.comma)
    return (BYTE_ORDER_MARK * told.download + text).encode()


def _xml(told: Told) -> bytes:
    return xml_of(told.model, told.document, told.table).encode()


def _html(told: Told) -> bytes:
    if told.table:
        return table_page(told.model, told.document, told.table, comma=told.comma).encode()
    return sheet_page(told.model, told.document).encode()


def _text(told: Told) -> bytes:
    values = told.picks
    if len(values) == 1:
        value = values[0]
        text = said(value, comma=told.comma)
        return (text if is_number(value) else defused(text)).encode()
    return csv_row(values, comma=told.comma).encode()


def _picture(told: Told, form: str) -> bytes:
    if told.plot is None:
        raise ValueError("nothing says which plot to draw")
    return drawn(told.document, told.plot, form)


_UTF8 = "; charset=utf-8"

WORDS = frozenset({Part.WHOLE, Part.TABLE, Part.PICK})
"""The parts of an answer that can be told in rows of words and numbers."""

PICTURES = frozenset({Part.WHOLE, Part.PLOT})
"""The parts of an answer that pictures show: the whole by the first of its plots, or a plot by name."""

FORMATS: Mapping[str, Format] = MappingProxyType(
    {
        form.name: form
        for form in (
            Format("json", "application/json", _json),
            Format("csv", "text/csv" + _UTF8, _csv, WORDS, WORDS),
            # RFC 7303, section 9.2: text/xml is an alias.
            Format("xml", "application/xml", _xml, frozenset({Part.WHOLE, Part.TABLE}), alias="text/xml"),
            Format(
                "html",
                "text/html" + _UTF8,
                _html,
                frozenset({Part.WHOLE, Part.TABLE}),
                frozenset({Part.TABLE}),
                sheet=True,
            ),
            Format("text", "text/plain" + _UTF8, _text, frozenset({Part.PICK}), frozenset({Part.PICK})),
            Format("png", "image/png", partial(_picture, form="png"), PICTURES),
            Format("svg", "image/svg+xml", partial(_picture, form="svg"), PICTURES),
        )
    }
)
"""Every format by name."""

USUAL: Mapping[Part, str] = MappingProxyType(
    {Part.WHOLE: "json", Part.TABLE: "csv", Part.PICK: "text", Part.PLOT: "png"}
)
"""The format of each part where none is asked for."""
