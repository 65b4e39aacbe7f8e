"""Routes about a whole zone."""

from functools import partial
from typing import Annotated

from fastapi import APIRouter, Body, Response

from service.api.documented import zone_requests
from service.api.present import PRESENTED, Presenter
from service.api.sizes import ZoneSize
from service.api.strict_route import StrictRoute
from service.api.workers import Workers
from service.schemas.answers import CheckAnswer
from service.schemas.zone import Zone
from service.zones.check import check

router = APIRouter(prefix="/v1/zones", route_class=StrictRoute, tags=["zones"])

ZoneBody = Annotated[Zone, Body(openapi_examples=zone_requests())]


@router.post(
    "/check",
    name="checkZone",
    summary="Whether a zone works, and why",
    response_model=CheckAnswer,
    response_description="What the zone does.",
    dependencies=[PRESENTED],
)
async def check_zone(zone: ZoneBody, size: ZoneSize, workers: Workers, present: Presenter) -> Response:
    """Pressure at every outlet and line end, losses one by one, uniformity, regulator and filter, findings, cautions.

    A zone that works badly is an answer with findings; only a zone that is none gets a problem.
    """
    return await workers.run(present, partial(check, size=size), zone)
