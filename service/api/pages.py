"""Pages for people: the API browser, and what each type of problem means. None needs the internet."""

import json
from importlib.resources import files
from typing import Any

from fastapi import APIRouter, Request, Response
from fastapi.responses import FileResponse, HTMLResponse
from jinja2 import Environment, PackageLoader, select_autoescape
from markupsafe import Markup, escape
from starlette.staticfiles import StaticFiles

from service import __version__
from service.api.problem_types import PROBLEM_TYPES
from service.api.problems import Refusal, details_of_example
from service.api.strict_route import NO_PARAMETERS, StrictRoute

router = APIRouter(route_class=StrictRoute, include_in_schema=False, dependencies=[NO_PARAMETERS])

_templates = Environment(
    loader=PackageLoader("service", "web/templates"),
    autoescape=select_autoescape(["html"]),
    trim_blocks=True,
    lstrip_blocks=True,
)
_templates.globals["version"] = __version__


def _coded(text: str) -> Markup:
    """A text whose words between backticks are shown as code."""
    plain, *rest = map(escape, text.split("`"))
    for place, part in enumerate(rest):
        plain += part if place % 2 else Markup("<code>{}</code>").format(part)
    return plain


_templates.filters["coded"] = _coded

STATIC_SECONDS = 3600

_ICON = files("service") / "web/static/favicon.ico"


def page(name: str, **facts: Any) -> HTMLResponse:
    """A page from its template."""
    return HTMLResponse(_templates.get_template(name).render(facts))


class OwnFiles(StaticFiles):
    """Our own files and those of the API browser, which come with a Python package."""

    def __init__(self) -> None:
        super().__init__(packages=[("service", "web/static"), ("fastapi_offline", "static")])

    def file_response(self, *args: Any, **kwargs: Any) -> Response:
        """One file, which a browser may keep for a while."""
        response = super().file_response(*args, **kwargs)
        response.headers["Cache-Control"] = f"public, max-age={STATIC_SECONDS}"
        return response


_files = OwnFiles()


@router.get("/static/{name}")
async def get_file(name: str, request: Request) -> Response:
    """A file that a page needs."""
    return await _files.get_response(name, request.scope)


@router.get("/docs")
async def get_docs() -> HTMLResponse:
    """The API browser."""
    return page("docs.html", root="")


@router.get("/problems")
async def get_problems() -> HTMLResponse:
    """The index of problem types."""
    return page(
        "problems.html", root="", problems=sorted(PROBLEM_TYPES.values(), key=lambda kind: (kind.status, kind.slug))
    )


@router.get("/problems/{slug}")
async def get_problem(slug: str) -> HTMLResponse:
    """What one type of problem means, how to mend it, an example."""
    kind = PROBLEM_TYPES.get(slug)
    if kind is None:
        raise Refusal("no-such-page", "There is no such type of problem; /problems lists them all.")
    example = details_of_example(kind).model_dump(mode="json", exclude_defaults=True)
    return page("problem.html", root="../", problem=kind, example=json.dumps(example, indent=2, ensure_ascii=False))


@router.get("/favicon.ico")
async def get_icon() -> FileResponse:
    """The icon that browsers ask for unasked."""
    return FileResponse(str(_ICON), media_type="image/x-icon", headers={"Cache-Control": "public, max-age=86400"})


@router.get("/openapi.json")
async def get_openapi_document(request: Request) -> Response:
    """The API document."""
    return Response(
        json.dumps(request.app.openapi(), ensure_ascii=False).encode(),
        media_type="application/json",
        headers={"Cache-Control": f"public, max-age={STATIC_SECONDS}"},
    )
