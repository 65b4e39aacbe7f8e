"""How one request wants its answer to look, and what in that does not go together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, Literal

from fastapi import Request
from pydantic import BaseModel, Field, ValidationError

from service.api.asked_picture import faults_of_picture, plot_asked
from service.api.negotiation import liked_format, named_format
from service.api.pictured import plots_of
from service.api.problems import FieldError
from service.render.formats import FORMATS, USUAL, Format, Part
from service.render.listing import plans
from service.render.plot import Plot
from service.units.model import Maybe, Model

BETWEEN_PICKS = ","


class Presentation(Model):
    """How an answer is to look."""

    # Any word is let through here: an unknown format is no fault of a field but a 406 with the list.
    format: Annotated[
        Maybe[str], Field(max_length=16, json_schema_extra={"enum": list(FORMATS), "default": USUAL[Part.WHOLE]})
    ] = None
    """Format of the answer; wins over the header Accept. `text` goes with `pick`."""

    # Any word here too: what is told of an unknown one is which tables there are.
    table: Annotated[
        Maybe[str], Field(max_length=40, examples=["summary"], json_schema_extra={"pattern": r"^[a-z_]+$"})
    ] = None
    """One table of the answer, as csv, xml or html: `summary` for its single values, or a list in it by name."""

    pick: Annotated[Maybe[str], Field(min_length=1, max_length=1000, pattern=r"^[^\u0000-\u001f]+$")] = None
    """One value of the answer by its name in the document, as text and nothing else; several, parted by commas, as one
    row of csv. A row of a list is entered by its address, code, id or whatever stands first in it, or by its number
    from 1, as is one of several texts: `runs.row:2.end_pressure`, `regulator.reasons.1`."""

    decimal: Literal["point", "comma"] = "point"
    """Decimal mark of numbers in csv, text and html tables; other formats have the point alone. With a comma, cells of
    csv are parted by semicolons."""

    errors: Literal["problem", "text"] = "problem"
    """`text`: what cannot be answered comes with status 200 as one line that begins with `ERROR:`, for cells of sheets,
    which show nothing of any other status."""

    download: bool = False
    """Sent as a file to keep; csv then begins with a byte order mark, by which sheets know it for UTF-8."""


@dataclass(frozen=True, slots=True)
class Form:
    """The form of one answer."""

    format: Format
    table: str | None = None
    pick: tuple[str, ...] = ()
    comma: bool = False
    download: bool = False
    plot: Plot | None = None


def form_asked(request: Request, model: type[BaseModel]) -> tuple[Form, list[FieldError]]:
    """The form that a request asks for, and what is wrong with that; an answer of `model` has certain tables.

    Raises
    ------
    Refusal : 406, where the answer comes in no format that would do.
    """
    how = _presentation(request)
    plots = plots_of(model)
    # Of an answer without pictures a plot is a fault like any other: its form is chosen as if none were asked for.
    plotted = bool(plots) and "plot" in request.query_params
    part = Part.PICK if how.pick else Part.TABLE if how.table else Part.PLOT if plotted else Part.WHOLE
    usual_first = (FORMATS[USUAL[part]], *FORMATS.values())
    fitting = {form.name: form for form in usual_first if part in form.parts and (plots or not form.draws)}
    named = request.query_params.get("format")
    if named is not None:
        chosen = named_format(named, fitting)
    elif part is Part.PICK:
        # A cell takes whatever comes, and programs that fill cells say many things in Accept.
        chosen = fitting[USUAL[part]]
    else:
        chosen = liked_format(request, fitting)
    picks = tuple(name.strip() for name in how.pick.split(BETWEEN_PICKS)) if how.pick else ()
    plot = plot_asked(request, plots) if chosen.draws else None
    form = Form(chosen, how.table, picks, how.decimal == "comma", how.download, plot)
    faults = [*_faults(form, part, list(fitting.values()), list(plans(model)))]
    return form, [*faults, *faults_of_picture(request, plots, draws=chosen.draws)]


def _presentation(request: Request) -> Presentation:
    query = request.query_params
    try:
        return Presentation.model_validate({name: query[name] for name in Presentation.model_fields if name in query})
    except ValidationError:
        # The framework reads the same parameters, and tells the faults of them all.
        return Presentation()


def _with_comma(part: Part) -> Iterator[str]:
    """What has a decimal comma: formats of the same part of the answer, and of others."""
    for one in FORMATS.values():
        if part in one.comma:
            yield f"format={one.name}"
        else:
            yield from (f"{other.value} as {one.name}" for other in one.comma)


def _faults(form: Form, part: Part, fitting: list[Format], tables: list[str]) -> Iterator[FieldError]:
    if form.format not in fitting:
        alone = "This answer has no pictures." if form.format.draws else "This format is for pick alone."
        told = alone if part is Part.WHOLE else f"No {part.value} in it."
        yield FieldError(pointer="?format", detail=told, accepted=", ".join(one.name for one in fitting))
    elif form.comma and part not in form.format.comma:
        able = " or ".join(_with_comma(part))
        accepted = f"point, or comma with {able}" if part is not Part.PLOT else "point"
        yield FieldError(
            pointer="?decimal", detail=f"As {form.format.name} this has no decimal comma.", accepted=accepted
        )
    if form.table and form.pick:
        yield FieldError(pointer="?table", detail="A pick has no table.", accepted="one of table, pick")
    if form.table and form.table not in tables:
        yield FieldError(pointer="?table", detail="This answer has no such table.", accepted=", ".join(tables))
    if "" in form.pick:
        yield FieldError(pointer="?pick", detail="Between two commas nothing is named.", accepted="names of values")
