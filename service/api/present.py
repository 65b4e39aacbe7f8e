"""Gives an answer the form that was asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from typing import Annotated, Any, TypeVar

from fastapi import Depends, Query, Request, Response
from pydantic import BaseModel
from pydantic_core import from_json

from service.api.again import OF_EVERY_GET, holds, keep, not_modified
from service.api.asked_form import Presentation, form_asked
from service.api.asked_picture import Picture
from service.api.kept import Keeper
from service.api.problems import FieldError, Refusal
from service.api.sheets import in_detail, picture_document, sheet_document
from service.api.sizes import zone_size
from service.api.tags import Tagger, canonical
from service.api.workers import Crew
from service.render.formats import Told, json_of
from service.render.pick import STEP, NoSuchValue, picked, picks
from service.schemas.wire import to_wire
from service.units.model import QueryModel, UnitModel
from service.units.nothing_null import NothingNull

AT_ONCE_BYTES = 64 * 1024
"""Largest document that is written on the event loop: some milliseconds."""

MOST_NAMES = 60
"""Names told where one is unknown. [-]"""


class CalculationQuery(Presentation, QueryModel):
    """Base of calculations asked by GET: `units` and how the answer is to look, beside the numbers."""


A = TypeVar("A", bound=UnitModel)

PROFILE = "profile"
"""Table of the places along runs, and the list of them in each run."""


class Presented:
    """Turns an answer to the caller's units and writes it in the form that one request asked for."""

    def __init__(self, request: Request) -> None:
        self.request = request
        self.model: type[BaseModel] = request.scope["route"].response_model
        self.form, self.faults = form_asked(request, self.model)
        # The route tells these together with the faults of other parameters, if there are any.
        request.state.presentation_faults = self.faults

    def __call__(self, compute: Callable[[A], NothingNull], asked: A) -> Response:
        """Compute, convert, write. A large answer takes its time in each of the three: a thread's work."""
        self._refuse_faults()
        return self._response(self._written(self._document(compute, asked)))

    async def kept(self, compute: Callable[[A], NothingNull], asked: A) -> Response:
        """Answer a GET: at once if the caller or this service has the answer already, else by computing it once."""
        self._refuse_faults()
        state = self.request.app.state
        keeper: Keeper = state.keeper
        tagger: Tagger = state.tagger
        crew: Crew = state.cell_crew
        draughtsmen: Crew = state.drawing_crew
        meant = canonical(self.request.url.path, asked)
        tag = tagger.tag(meant, self.form)
        if holds(self.request, tag):
            return not_modified(tag)
        plot = self.form.plot
        key = (meant, self._is_sheet, self._of_places, plot and plot.name)

        async def write() -> bytes:
            text = await keeper.once(key, partial(crew.run, lambda: json_of(self._document(compute, asked))))
            quick = plot is None and not self._is_sheet and len(text) <= AT_ONCE_BYTES
            return self._written_again(text) if quick else await draughtsmen.run(self._written_again, text)

        # Those who ask alike at the same time wait for one drawing, too: the tag tells each body from all others.
        body = await keeper.once(tag, write)
        response = self._response(body, {**OF_EVERY_GET, "ETag": tag})
        keep(self.request, response)
        return response

    @property
    def _is_sheet(self) -> bool:
        return self.form.format.sheet and self.form.table is None

    @property
    def _of_places(self) -> bool:
        """Whether something is asked for of the places along the runs, which an answer tells only in detail."""
        return self.form.table == PROFILE or any(PROFILE in name.split(STEP) for name in self.form.pick)

    def _document(self, compute: Callable[[A], NothingNull], asked: A) -> dict[str, Any]:
        """What is to be written: the answer, or what a sheet or a plot is made from."""
        size = zone_size(self.request)
        plot = self.form.plot
        if plot is not None:
            return picture_document(self.model, plot.name, asked, size)
        if self._is_sheet:
            return sheet_document(compute, asked, size)
        return to_wire(compute(in_detail(asked) if self._of_places else asked), asked.units)

    def _refuse_faults(self) -> None:
        if self.faults:
            raise Refusal("invalid-input", "The answer cannot be given the form asked for.", errors=self.faults)

    def _written_again(self, text: bytes) -> bytes:
        return self._written(from_json(text)) if self.form.format.name != "json" else text

    def _written(self, document: dict[str, Any]) -> bytes:
        form = self.form
        told = Told(self.model, document, form.table, form.pick, form.comma, form.download, form.plot)
        try:
            return form.format.write(told)
        except NoSuchValue:
            raise _refusal_of_picks(told) from None

    def _response(self, body: bytes, headers: dict[str, str] | None = None) -> Response:
        form = self.form
        named = {"Vary": "Accept", **(headers or {})}
        if form.download:
            shown = form.table or (form.plot.name if form.plot else None)
            file = "-".join(filter(None, (self.request.url.path.rpartition("/")[2], shown)))
            named["Content-Disposition"] = f'attachment; filename="{file}.{form.format.ending}"'
        return Response(body, media_type=form.format.media_type, headers=named)


def _refusal_of_picks(told: Told) -> Refusal:
    return Refusal("invalid-input", "The answer has no such value.", errors=list(_faults_of_picks(told)))


def _faults_of_picks(told: Told) -> Iterator[FieldError]:
    for place, name in enumerate(told.pick, start=1):
        try:
            if len(told.pick) == 1:
                picks(told.model, told.document, told.pick)
            else:
                picked(told.model, told.document, name)
        except NoSuchValue as unknown:
            # Names may hold what the caller wrote, such as that of an emitter.
            known = [one for one in unknown.known if one.isprintable()]
            more = f" and {len(known) - MOST_NAMES} more" if len(known) > MOST_NAMES else ""
            accepted = ", ".join(known[:MOST_NAMES]) + more
            which = f"Name {place}: " if len(told.pick) > 1 else ""
            yield FieldError(pointer="?pick", detail=which + unknown.told, accepted=accepted[:4000] or "nothing")


async def _presenter(request: Request) -> Presented:
    # Read from the request itself: beside a query model that forbids unknown parameters none can be declared.
    return Presented(request)


async def _only_presentation(how: Annotated[Presentation, Query()]) -> None:
    """Let the parameters of presentation through and no others."""


Presenter = Annotated[Presented, Depends(_presenter)]

PRESENTED = Depends(_only_presentation)
"""Declares the parameters of presentation, for a route that has no query model of its own."""


class PicturedPresentation(Presentation, Picture):
    """How an answer that has pictures is to look."""


async def _only_pictured(how: Annotated[PicturedPresentation, Query()]) -> None:
    """Let the parameters of presentation and of pictures through and no others."""


PICTURED_TOO = Depends(_only_pictured)
"""The same for a route whose answer has pictures."""
