"""Routes about the head of a zone: regulator and filter."""

from functools import partial
from typing import Annotated

from fastapi import APIRouter, Body, Query, Response

from service.api.asked_form import Presentation
from service.api.documented import FILTER_REQUESTS
from service.api.present import PICTURED_TOO, PRESENTED, Presenter
from service.api.sizes import ZoneSize
from service.api.strict_route import StrictRoute
from service.api.workers import Workers
from service.api.zone_errors import told_at_parameters
from service.api.zones import AskedUniform, ZoneBody
from service.schemas.advice_answers import FilterAdviceAnswer, RegulatorAdviceAnswer
from service.schemas.filtration import Filtration
from service.schemas.filtration_query import FiltrationQuery
from service.zones.advice import filter_advice, regulator_advice
from service.zones.instances import Limits

router = APIRouter(prefix="/v1", route_class=StrictRoute, tags=["head"])

OF_REGULATOR = "Whether a regulator is wanted, from which supply pressure it holds, and which one suits."
OF_FILTER = "Type, opening and body of the filter, when to clean it, and what the water asks for besides."


@router.post(
    "/regulators/advice",
    name="adviseRegulator",
    summary="Whether a zone wants a pressure regulator, and which",
    response_model=RegulatorAdviceAnswer,
    response_description=OF_REGULATOR,
    dependencies=[PICTURED_TOO],
)
async def advise_regulator(zone: ZoneBody, size: ZoneSize, workers: Workers, present: Presenter) -> Response:
    """The regulator block of a check by itself: supply pressures that matter, set pressures that suit, and why."""
    return await workers.run(present, partial(regulator_advice, size=size), zone)


def regulator_asked(query: AskedUniform, size: Limits) -> RegulatorAdviceAnswer:
    """The advice that a query asks for."""
    with told_at_parameters(query):
        return regulator_advice(query.to_zone(), size, query.assumptions)


@router.get(
    "/regulators/advice",
    name="askRegulatorAdvice",
    summary="Whether a zone of equal laterals wants a pressure regulator, by parameters",
    response_model=RegulatorAdviceAnswer,
    response_description=OF_REGULATOR,
)
async def ask_regulator_advice(asked: Annotated[AskedUniform, Query()], size: ZoneSize, present: Presenter) -> Response:
    """The same for equal laterals along one header, in parameters alone: for the cell of a sheet or a form."""
    return await present.kept(partial(regulator_asked, size=size), asked)


@router.post(
    "/filters/advice",
    name="adviseFilter",
    summary="Which filter a water and outlets need",
    response_model=FilterAdviceAnswer,
    response_description=OF_FILTER,
    dependencies=[PRESENTED],
)
async def advise_filter(
    asked: Annotated[Filtration, Body(openapi_examples=FILTER_REQUESTS)], workers: Workers, present: Presenter
) -> Response:
    """Filter advice from the water, the flow, and the emitter or the passage to protect.

    Laboratory values are optional; each one given is judged by the published tables.
    """
    return await workers.run(present, filter_advice, asked)


class AskedFiltration(Presentation, FiltrationQuery):
    """A filter, all in parameters."""


def filter_asked(query: AskedFiltration) -> FilterAdviceAnswer:
    """The advice that a query asks for."""
    return filter_advice(query.to_filtration())


@router.get(
    "/filters/advice",
    name="askFilterAdvice",
    summary="Which filter a water and outlets need, by parameters",
    response_model=FilterAdviceAnswer,
    response_description=OF_FILTER,
)
async def ask_filter_advice(asked: Annotated[AskedFiltration, Query()], present: Presenter) -> Response:
    """The same in parameters alone: for the cell of a sheet or a form."""
    return await present.kept(filter_asked, asked)
