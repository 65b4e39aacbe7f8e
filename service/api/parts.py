"""Routes about the catalogue of generic parts."""

from typing import Annotated, Literal

from fastapi import APIRouter, Depends, Path, Query, Request, Response
from pydantic import Field

from service.api.pointers import pointer
from service.api.present import CalculationQuery, Presenter
from service.api.problems import FieldError, Refusal
from service.api.strict_route import StrictRoute
from service.parts.catalogue import Catalogue, UnknownPart
from service.parts.listed import nearest_items
from service.parts.models import KINDS, Part
from service.parts.sundry import Sundry, families, find_family
from service.schemas.part_answers import SUNDRY, PartAnswer, PartsAnswer, show_part, show_parts
from service.units.model import Maybe
from service.units.text import PartId

router = APIRouter(prefix="/v1/parts", route_class=StrictRoute, tags=["parts"])


async def _catalogue(request: Request) -> Catalogue:
    catalogue: Catalogue = request.app.state.catalogue
    return catalogue


InCatalogue = Annotated[Catalogue, Depends(_catalogue)]


class PartsQuery(CalculationQuery):
    """Which parts to list, and in which units."""

    kind: Annotated[Maybe[Literal[(*KINDS, SUNDRY)]], Field(examples=["pipe"])] = None  # type: ignore[valid-type]
    """Kind of part; all kinds if left out. `sundry` are the fittings and whatever else a takeoff counts."""


ONE_OF_THEM = {
    "part": {
        "operationId": "getPart",
        "description": "Each part of the list by its id.",
        "parameters": {"id": "$response.body#/parts/0/id"},
    }
}


@router.get(
    "",
    name="listParts",
    summary="The catalogue, or one kind of part",
    response_model=PartsAnswer,
    responses={200: {"links": ONE_OF_THEM}},
)
async def list_parts(asked: Annotated[PartsQuery, Query()], catalogue: InCatalogue, present: Presenter) -> Response:
    """Generic parts, described by dimensions and standards, each with the source of its figures.

    Their ids are what `pipe` and `emitter` of a zone name, and what a price book names. Sundries are listed as
    families: the ids of their parts have sizes behind them.
    """
    return await present.kept(lambda query: show_parts(_listed(catalogue, query.kind), query.units), asked)


def _listed(catalogue: Catalogue, kind: str | None) -> list[Part | Sundry]:
    return [*catalogue.parts(kind), *(families().values() if kind in {None, SUNDRY} else ())]


@router.get("/{id}", name="getPart", summary="One part of the catalogue", response_model=PartAnswer)
async def get_part(
    part_id: Annotated[PartId, Path(alias="id", description="Id of the part.", examples=["pe-0.75in"])],
    asked: Annotated[CalculationQuery, Query()],
    catalogue: InCatalogue,
    present: Presenter,
) -> Response:
    """A part by its id."""
    try:
        part = find_family(part_id, asked.units) or catalogue.get(None, part_id)
    except UnknownPart as unknown:
        told = UnknownPart(None, nearest_items(part_id) or unknown.nearest)
        fault = FieldError(pointer=pointer("path", ["id"]), detail=str(told), accepted=told.accepted)
        raise Refusal("no-such-part", str(told), errors=[fault]) from None
    return await present.kept(lambda query: show_part(part, query.units), asked)
