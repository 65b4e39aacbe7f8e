"""How the API document describes answers that are not JSON, each with an example made of the JSON one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pydantic import BaseModel

from service.api.pictured import plots_of
from service.render.formats import FORMATS, USUAL, Format, Part, Told
from service.render.listing import main_table, plans

Json = dict[str, Any]

LONGEST = 200_000_000
"""Characters of an answer. A profile of all the places that a zone may have stays below."""

AS_TEXT: Mapping[str, Any] = {"type": "string", "maxLength": LONGEST, "pattern": r"^[^\u0000]*$"}

NAMES = {"csv": "One table", "xml": "One table", "html": "One table", "text": "One value"}
"""Formats with an example, and what it shows; the whole as a sheet would fill pages, a picture is no text."""

FIGURE = "flow"
"""A value that most answers have, to be picked in an example."""

OF_ANY = "units.pressure"
"""One that every answer has."""


def other_contents(model: type[BaseModel], document: Json) -> Json:
    """Media types of an answer other than JSON, with examples made of a document of the model."""
    return {
        form.media_type: {"schema": _schema(form), **_example(form, model, document)}
        for form in FORMATS.values()
        if form.name != USUAL[Part.WHOLE] and (plots_of(model) or not form.draws)
    }


def table_names(model: type[BaseModel]) -> list[str]:
    """What `table` may be for answers of the model."""
    return list(plans(model))


def _schema(form: Format) -> Json:
    if form.media_type.startswith("image/"):
        return {"type": "string", "format": "binary", "maxLength": LONGEST, "pattern": ""}
    return dict(AS_TEXT)


def _example(form: Format, model: type[BaseModel], document: Json) -> Json:
    if form.name not in NAMES:
        return {}
    if form.parts == {Part.PICK}:
        told = Told(model, document, pick=(FIGURE if FIGURE in document else OF_ANY,))
    else:
        told = Told(model, document, table=main_table(model))
    return {"examples": {form.name: {"summary": NAMES[form.name], "value": form.write(told).decode()}}}
