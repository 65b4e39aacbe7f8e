"""How one request wants a picture to be drawn, and what in that does not go together."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Annotated, Any, Literal, Self

from fastapi import Request
from pydantic import Field, ModelWrapValidatorHandler, ValidationError, model_validator

from service.api.problems import FieldError
from service.render.plot import PLOTS, Plot, Size
from service.units.model import Maybe, Model, UnitModel
from service.units.quantity import Plain
from service.units.reading import is_reading, reading

SMALLEST_WIDTH, SMALLEST_HEIGHT = 6.0, 4.5
"""Size on paper below which the words on a picture would not fit. [in]"""

USUAL_DPI = 110
"""Pixels to the inch of a picture that has enough of them. [1/in]"""

SIZES = ("width", "height", "dpi")


class Picture(Model):
    """How a picture is to look."""

    plot: Annotated[Maybe[Literal[PLOTS]], Field(examples=["profile"])] = None  # type: ignore[valid-type]
    """A picture, as png or svg: `profile`, pressure and flow along every pipe with the way to the critical outlet;
    `budget`, the loss budget as descending steps; `response`, outlet pressure and flow over the pressure of the supply
    with the thresholds; `plan`, a sketch of the pipes coloured by pressure, whose lengths are true unless it says
    otherwise and whose directions are free. The first one that the answer has if format or Accept asks for a picture
    and this is left out. An svg keeps names in every script, and tells its figures in words to those who do not see
    them; a png has a mark for each letter that its typeface lacks."""

    width: Annotated[int, Plain(320, 3400, whole=True)] = 960
    """Width of a picture in pixels."""

    height: Annotated[int, Plain(240, 3400, whole=True)] = 600
    """Height of a picture in pixels."""

    dpi: Maybe[Annotated[int, Plain(50, 300, whole=True)]] = None
    """Pixels to the inch. Words keep their size on paper, so with more pixels to the inch they take more of them. At
    least 6 inches have to fit into the width and 4.5 into the height. 110 if left out, or on a small picture as many
    as that allows."""

    @property
    def most_dpi(self) -> int:
        """Pixels to the inch with which the words still fit."""
        return int(min(self.width / SMALLEST_WIDTH, self.height / SMALLEST_HEIGHT))

    @property
    def size(self) -> Size:
        """Pixels across, down and to the inch."""
        return Size(self.width, self.height, self.dpi or min(USUAL_DPI, self.most_dpi))

    @model_validator(mode="wrap")
    @classmethod
    def _read_from_text(cls, data: Any, handler: ModelWrapValidatorHandler[Self]) -> Self:
        # A query with units reads its numbers itself; beside a body, where units are told, these are read alone.
        if is_reading.get() or issubclass(cls, UnitModel):
            return handler(data)
        with reading(None, as_text=True):
            return handler(data)


def plot_asked(request: Request, plots: Sequence[str]) -> Plot:
    """The plot that a request asks for, the first of `plots` if it does not say which."""
    how = _picture(request)
    return Plot(how.plot or next(iter(plots), PLOTS[0]), how.size)


def faults_of_picture(request: Request, plots: Sequence[str], *, draws: bool) -> Iterator[FieldError]:
    """What is wrong with it; `draws` tells whether the format is a picture at all."""
    how, query = _picture(request), request.query_params
    if "plot" in query and ("table" in query or "pick" in query):
        yield FieldError(pointer="?plot", detail="A plot has no other parts.", accepted="one of plot, table, pick")
    elif how.plot is not None and how.plot not in plots:
        yield FieldError(
            pointer="?plot", detail="This answer has no such plot.", accepted=", ".join(plots) or "no plot"
        )
    if not draws:
        for name in SIZES:
            # Generated clients send every default along: what is only repeated asks for nothing.
            if name in query and getattr(how, name) != Picture.model_fields[name].default:
                accepted = "format=png or format=svg beside it"
                yield FieldError(pointer=f"?{name}", detail="Nothing but a picture has a size.", accepted=accepted)
        return
    if how.dpi is not None and how.dpi > how.most_dpi:
        told = f"Words would not fit into {how.width} by {how.height} pixels of this size."
        yield FieldError(pointer="?dpi", detail=told, accepted=f"at most {how.most_dpi}, or more pixels")


def _picture(request: Request) -> Picture:
    query = request.query_params
    try:
        return Picture.model_validate({name: query[name] for name in Picture.model_fields if name in query})
    except ValidationError:
        # The framework reads the same parameters, and tells the faults of them all.
        return Picture()
