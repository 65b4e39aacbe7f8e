"""The page of evidence: every check of the numbers against something outside the project, as the tests left it."""

import json
from functools import cache
from importlib.resources import files
from typing import Any

from fastapi import APIRouter, Response
from fastapi.responses import HTMLResponse
from markupsafe import Markup

from service.api.pages import page
from service.api.strict_route import NO_PARAMETERS, StrictRoute
from service.render import evidence as told
from service.render.difference_sketch import difference_sketch

router = APIRouter(route_class=StrictRoute, include_in_schema=False, dependencies=[NO_PARAMETERS])

_DATA = files("service") / "web/static/evidence.json"


@cache
def recorded() -> dict[str, Any]:
    """What `python -m tests.evidence.rewrite` wrote."""
    data: dict[str, Any] = json.loads(_DATA.read_text("utf-8"))
    return data


@router.get("/evidence")
async def get_evidence() -> HTMLResponse:
    """Each check with its source, what it expects, what is computed, and how far the two are apart."""
    data = recorded()
    return page(
        "evidence.html",
        root="",
        told=told,
        counts=told.counted(data["topics"]),
        exact=next(one for one in data["comparisons"] if one["name"] == "root"),
        sketch=Markup(difference_sketch(data["comparisons"])),  # noqa: S704 - written by an XML writer, from our file
        **data,
    )


@router.get("/evidence.csv")
async def get_evidence_table() -> Response:
    """The checks as one table."""
    return Response(told.checks_as_csv(recorded()["topics"]), media_type="text/csv; charset=utf-8")
