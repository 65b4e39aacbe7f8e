"""The page at `/`: what the service does, shown on the demo zone by the very check that answers requests."""

from functools import cache
from typing import Any

from fastapi import APIRouter
from fastapi.responses import HTMLResponse
from markupsafe import Markup

from service.api import examples
from service.api.pages import page
from service.api.strict_route import NO_PARAMETERS, StrictRoute
from service.api.workers import Workers
from service.render.budget import budget_lines
from service.render.profile_sketch import Curve, curve_of, profile_sketch
from service.schemas.wire import to_wire
from service.schemas.zone import Zone
from service.units.sentence import figure
from service.zones.check import check

router = APIRouter(route_class=StrictRoute, include_in_schema=False, dependencies=[NO_PARAMETERS])


@router.get("/")
async def get_landing(workers: Workers) -> HTMLResponse:
    """The job, a worked example with its answer, one that fails and why, and where to go from here."""
    return page("landing.html", root="", **await workers.run(worked_example))


@cache
def worked_example() -> dict[str, Any]:
    """The demo zone and its broken twin with their answers, made once: equal requests have equal answers."""
    answer, twin = (_answered(examples.request(name)) for name in (examples.DEMO, examples.TWIN))
    curves = [_worst_line(answer, "one of eight rows", "sound"), _worst_line(twin, "the single line", "broken")]
    sketch = profile_sketch(
        curves,
        least=answer["critical_outlet"]["minimum"],
        title="Pressure along one of eight rows and along the same emitters joined into one line",
        units=answer["units"],
    )
    return {
        "figure": figure,
        "zone": examples.written(examples.DEMO),
        "answer": answer,
        "twin": twin,
        "budget": budget_lines(answer["loss_budget"]),
        "sketch": Markup(sketch),  # noqa: S704 - written by an XML writer, from our own files
    }


def _answered(request: dict[str, Any]) -> dict[str, Any]:
    in_detail = {**request, "options": {**request.get("options", {}), "detail": "outlets"}}
    zone = Zone.model_validate(in_detail)
    return to_wire(check(zone), zone.units)


def _worst_line(answer: dict[str, Any], label: str, kind: str) -> Curve:
    """Pressure along the run that holds the outlet with the least to spare."""
    critical = answer["critical_outlet"]["run"]
    return curve_of(label, kind, next(run["profile"] for run in answer["runs"] if run["run"] == critical))
