"""Routes about a whole zone."""

from functools import partial
from typing import Annotated

from fastapi import APIRouter, Body, Query, Response

from service.api.documented import zone_requests
from service.api.present import PICTURED_TOO, PicturedPresentation, Presenter
from service.api.sizes import ZoneSize
from service.api.strict_route import StrictRoute
from service.api.workers import Workers
from service.api.zone_errors import told_at_parameters
from service.schemas.answers import CheckAnswer
from service.schemas.uniform_query import UniformQuery
from service.schemas.zone import Zone
from service.zones.check import check
from service.zones.instances import Limits

ANSWERED = "What the zone does."

router = APIRouter(prefix="/v1/zones", route_class=StrictRoute, tags=["zones"])

ZoneBody = Annotated[Zone, Body(openapi_examples=zone_requests())]


@router.post(
    "/check",
    name="checkZone",
    summary="Whether a zone works, and why",
    response_model=CheckAnswer,
    response_description=ANSWERED,
    dependencies=[PICTURED_TOO],
)
async def check_zone(zone: ZoneBody, size: ZoneSize, workers: Workers, present: Presenter) -> Response:
    """Pressure at every outlet and line end, losses one by one, uniformity, regulator and filter, findings, cautions.

    A zone that works badly is an answer with findings; only a zone that is none gets a problem.
    """
    return await workers.run(present, partial(check, size=size), zone)


class AskedUniform(PicturedPresentation, UniformQuery):
    """A zone of equal laterals, all in parameters."""


def check_asked(query: AskedUniform, size: Limits) -> CheckAnswer:
    """The check that a query asks for."""
    with told_at_parameters(query):
        return check(query.to_zone(), size, query.assumptions)


@router.get(
    "/uniform",
    name="askUniformZone",
    summary="Whether a zone of equal laterals works, by parameters",
    response_model=CheckAnswer,
    response_description=ANSWERED,
)
async def ask_uniform_zone(asked: Annotated[AskedUniform, Query()], size: ZoneSize, present: Presenter) -> Response:
    """The same check for equal laterals along one header, in parameters alone: for the cell of a sheet or a form.

    What is left out is filled in by habit and listed under `assumed`.
    """
    return await present.kept(partial(check_asked, size=size), asked)
