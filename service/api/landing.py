"""The page at `/`: what the service does, shown on the demo zone by the very check that answers requests."""

from functools import cache
from typing import Any

from fastapi import APIRouter
from fastapi.responses import HTMLResponse

from service.api import examples
from service.api.pages import page
from service.api.pictured import plots_of
from service.api.strict_route import NO_PARAMETERS, StrictRoute
from service.api.workers import Workers
from service.render.budget import budget_lines
from service.render.plot import Plot, Size, inline
from service.schemas.answers import CheckAnswer
from service.schemas.wire import to_wire
from service.schemas.zone import Zone
from service.units.sentence import figure
from service.zones.check import check
from service.zones.trace import trace

router = APIRouter(route_class=StrictRoute, include_in_schema=False, dependencies=[NO_PARAMETERS])

PROFILE = Plot("profile", Size(704, 300, 100, captioned=False))

ROWS = (
    "v1/zones/uniform?static_pressure=64&laterals=8&apart=3&lateral_pipe=dripline-17mm&lateral_length=80"
    "&emitter=inline-compensating-0.6gph&spacing=1&regulator=25"
)

ADDRESSES = {
    "rows": ROWS,
    "cell": f"{ROWS}&pick=end_of_line_pressure",
    "table": f"{ROWS}&table=runs",
    "sheet": f"{ROWS}&format=html",
    "pictures": {plot: f"{ROWS}&plot={plot}&format=svg" for plot in plots_of(CheckAnswer)},
}
"""Addresses to start from, by what comes."""


@router.get("/")
async def get_landing(workers: Workers) -> HTMLResponse:
    """The job, a worked example with its answer, one that fails and why, and where to go from here."""
    return page("landing.html", root="", **await workers.run(worked_example))


@cache
def worked_example() -> dict[str, Any]:
    """The demo zone and its broken twin with their answers, made once: equal requests have equal answers."""
    zone, twin = (Zone.model_validate(examples.request(name)) for name in (examples.DEMO, examples.TWIN))
    answer = to_wire(check(zone), zone.units)
    return {
        "figure": figure,
        "zone": examples.written(examples.DEMO),
        "answer": answer,
        "twin": to_wire(check(twin), twin.units),
        "budget": budget_lines(answer["loss_budget"]),
        "pictures": [inline(to_wire(trace(each), each.units), PROFILE) for each in (zone, twin)],
        "addresses": ADDRESSES,
    }
