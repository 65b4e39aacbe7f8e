"""The route of takeoffs."""

from functools import partial
from typing import Annotated

from fastapi import APIRouter, Body, Depends, Request, Response

from service.api.documented import job_requests
from service.api.present import PRESENTED, Presenter
from service.api.sizes import ZoneSize
from service.api.strict_route import JobRoute
from service.api.workers import Workers
from service.schemas.takeoff import TakeoffJob
from service.schemas.takeoff_answers import TakeoffAnswer
from service.schemas.takeoff_prices import PriceBook
from service.takeoff.takeoff import takeoff

router = APIRouter(prefix="/v1/zones", route_class=JobRoute, tags=["zones"])

JobBody = Annotated[TakeoffJob, Body(openapi_examples=job_requests())]


async def _house_prices(request: Request) -> PriceBook | None:
    prices: PriceBook | None = request.app.state.prices
    return prices


HousePrices = Annotated[PriceBook | None, Depends(_house_prices)]
"""The price book of the operator, if he has one."""


@router.post(
    "/takeoff",
    name="takeOffZones",
    summary="What it takes to build the zones of a job, and what they cost",
    response_model=TakeoffAnswer,
    response_description="The list of materials, priced if there are prices.",
    dependencies=[PRESENTED],
)
async def take_off_zones(
    job: JobBody, size: ZoneSize, prices: HousePrices, workers: Workers, present: Presenter
) -> Response:
    """Pipe, fittings, outlets, heads, wire and what joints use up, counted from the runs, each count with its rule.

    Quantities add up over the zones; packages are rounded up once for the job. With `prices`, or where the operator has
    a price book, each line has its amount and the job its total, with labour, overhead, profit and tax.
    """
    return await workers.run(present, partial(takeoff, size=size, prices=prices), job)
