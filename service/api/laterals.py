"""Routes about one line with its outlets."""

from functools import partial
from typing import Annotated

from fastapi import APIRouter, Body, Query, Response

from service.api.documented import LATERAL_REQUESTS
from service.api.present import PICTURED_TOO, PicturedPresentation, Presenter
from service.api.sizes import ZoneSize
from service.api.strict_route import StrictRoute
from service.api.workers import Workers
from service.api.zone_errors import told_at_parameters
from service.schemas.answers import LateralAnswer
from service.schemas.lateral import Lateral
from service.schemas.profile_query import ProfileQuery
from service.zones.instances import Limits
from service.zones.lateral import profile_lateral

router = APIRouter(prefix="/v1/laterals", route_class=StrictRoute, tags=["laterals"])

ANSWERED = "Pressure, flow, velocity and loss along the line."


class AskedProfile(PicturedPresentation, ProfileQuery):
    """One lateral, all in parameters."""


def profile_asked(query: AskedProfile, size: Limits) -> LateralAnswer:
    """The profile that a query asks for."""
    with told_at_parameters(query):
        return profile_lateral(query.to_lateral(), size, query.assumptions)


@router.post(
    "/profile",
    name="profileLateral",
    summary="One line from a given inlet pressure",
    response_model=LateralAnswer,
    response_description=ANSWERED,
    dependencies=[PICTURED_TOO],
)
async def profile_a_lateral(
    lateral: Annotated[Lateral, Body(openapi_examples=LATERAL_REQUESTS)],
    size: ZoneSize,
    workers: Workers,
    present: Presenter,
) -> Response:
    """What reaches each outlet of one line that is fed at a pressure you know."""
    return await workers.run(present, partial(profile_lateral, size=size), lateral)


@router.get(
    "/profile",
    name="askLateralProfile",
    summary="One line from a given inlet pressure, by parameters",
    response_model=LateralAnswer,
    response_description=ANSWERED,
)
async def ask_lateral_profile(asked: Annotated[AskedProfile, Query()], size: ZoneSize, present: Presenter) -> Response:
    """The same for a line with evenly spaced outlets, in parameters alone: for the cell of a sheet or a form."""
    return await present.kept(partial(profile_asked, size=size), asked)
