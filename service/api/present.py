"""Gives an answer the form that was asked for."""

from collections.abc import Callable
from typing import Annotated, Any, Protocol, TypeVar

from fastapi import Depends, Query, Request, Response
from pydantic import Field

from service.api.negotiation import chosen_format
from service.render.formats import FORMATS, Format
from service.schemas.nothing_null import NothingNull
from service.schemas.wire import to_wire
from service.units.dimensions import System
from service.units.model import Maybe, Model, QueryModel


class Presentation(Model):
    """How an answer is to look."""

    # Any word is let through here: an unknown format is no fault of a field but a 406 with the list.
    format: Annotated[
        Maybe[str], Field(max_length=16, json_schema_extra={"enum": list(FORMATS), "default": next(iter(FORMATS))})
    ] = None
    """Format of the answer; wins over the header Accept."""


class CalculationQuery(Presentation, QueryModel):
    """Base of calculations asked by GET: `units` and how the answer is to look, beside the numbers."""


class Asked(Protocol):
    """Whatever says the units of its answer."""

    @property
    def units(self) -> System:
        """The caller's units."""


A = TypeVar("A", bound=Asked)


class Presented:
    """Turns an answer to the caller's units and writes it in the format that one request asked for."""

    def __init__(self, form: Format) -> None:
        self.form = form

    def __call__(self, compute: Callable[[A], NothingNull], asked: A) -> Response:
        """Compute, convert, write. A large answer takes its time in each of the three: a thread's work."""
        return self.document(to_wire(compute(asked), asked.units))

    def document(self, document: dict[str, Any]) -> Response:
        """Write what is in the caller's units already."""
        return Response(self.form.write(document), media_type=self.form.media_type, headers={"Vary": "Accept"})


async def _presenter(request: Request) -> Presented:
    # Read from the request itself: beside a query model that forbids unknown parameters none can be declared.
    return Presented(chosen_format(request))


async def _only_presentation(how: Annotated[Presentation, Query()]) -> None:
    """Let the parameters of presentation through and no others."""


Presenter = Annotated[Presented, Depends(_presenter)]

PRESENTED = Depends(_only_presentation)
"""Declares the parameters of presentation, for a route that has no query model of its own."""
