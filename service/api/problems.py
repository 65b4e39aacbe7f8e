"""How a request that gets no answer is told so: problem details after RFC 9457, one form for every status.

`type` is what programs rely on and leads to a page under /problems/; `title` never changes; `detail` speaks of the
request at hand. Nothing a caller sent is repeated, unless it is a short plain name.
"""

import re
from collections.abc import Mapping, Sequence
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field
from starlette.exceptions import HTTPException
from starlette.responses import Response
from starlette.types import Scope

from service.api.cell_errors import line, wants_a_line
from service.api.pointers import LONGEST_POINTER
from service.api.problem_types import PROBLEM_TYPES, TYPE_OF_STATUS, ProblemType

MEDIA_TYPE = "application/problem+json"

MOST_ERRORS = 100
"""Errors listed in one answer; a body of a hundred thousand wrong numbers is not told all of them."""

TEXT = r"^[^\u0000-\u0008\u000b-\u001f\u007f]*$"
"""Pattern of a text that people read: anything but control characters."""

_PLAIN_PATH = re.compile(r"(/[A-Za-z0-9_.:-]*)+")
_LONGEST_PATH = 200


class FieldError(BaseModel):
    """One thing to mend, and where."""

    model_config = ConfigDict(title="FieldError", frozen=True)

    pointer: Annotated[
        str,
        Field(
            max_length=LONGEST_POINTER,
            pattern=r"^([#?]\S*|\{[a-z_]+\})$",
            examples=["#/runs/2/length", "?length", "{id}"],
        ),
    ]
    """Where: a JSON Pointer into the body as a URI fragment (RFC 6901), `?` and the name of a query parameter, or
    the name of a part of the path in braces."""

    detail: Annotated[str, Field(max_length=2000, pattern=TEXT, examples=["This is missing."])]
    """What is wrong there."""

    accepted: Annotated[str, Field(max_length=4000, pattern=TEXT, examples=["a number from 0.00328 to 32800 ft"])]
    """What would be accepted."""


class ProblemDetails(BaseModel):
    """Why there is no answer (RFC 9457)."""

    model_config = ConfigDict(title="Problem", frozen=True)

    type: Annotated[str, Field(max_length=200, pattern=r"^/problems/[a-z0-9-]+$", examples=["/problems/invalid-input"])]
    """Which kind of problem: also the page that explains it."""

    title: Annotated[str, Field(max_length=200, pattern=TEXT, examples=["The input cannot be taken as it is"])]
    """The kind in words, always the same."""

    status: Annotated[int, Field(ge=400, le=599, json_schema_extra={"format": "int32"}, examples=[422])]
    """The HTTP status, for those who see the body alone."""

    detail: Annotated[str, Field(max_length=2000, pattern=TEXT, examples=["One field cannot be taken."])]
    """What happened this time."""

    instance: Annotated[
        str | None, Field(max_length=_LONGEST_PATH, pattern=r"^/[A-Za-z0-9/_.:-]*$", examples=["/v1/zones/check"])
    ] = None
    """The path asked; left out where it is not a plain one."""

    errors: Annotated[tuple[FieldError, ...], Field(max_length=MOST_ERRORS)] = ()
    """Every thing to mend; left out where there is none to point at."""


class Refusal(HTTPException):
    """A request is not answered, for a reason that has a row in the table of problem types."""

    def __init__(
        self,
        slug: str,
        detail: str,
        *,
        errors: Sequence[FieldError] = (),
        headers: Mapping[str, str] | None = None,
    ) -> None:
        self.type = PROBLEM_TYPES[slug]
        self.errors = errors
        super().__init__(self.type.status, detail, headers)


def refusal_of(fault: HTTPException) -> Refusal:
    """The refusal that a plain HTTP exception of the framework stands for."""
    if isinstance(fault, Refusal):
        return fault
    kind = TYPE_OF_STATUS.get(fault.status_code) or TYPE_OF_STATUS[400 if fault.status_code < 500 else 500]
    return Refusal(kind.slug, kind.happened, headers=fault.headers)


def problem_response(refusal: Refusal, scope: Scope) -> Response:
    """The refusal as an HTTP answer, in reply to the request of `scope`."""
    headers = {"Cache-Control": "no-store", **(refusal.headers or {})}
    if wants_a_line(scope, refusal.status_code):
        faults = [(fault.pointer, fault.detail, fault.accepted) for fault in refusal.errors]
        return Response(line(refusal.detail, faults), headers=headers, media_type="text/plain")
    details = describe(refusal.type, refusal.detail, scope, refusal.errors)
    return Response(
        details.model_dump_json(exclude_defaults=True), refusal.status_code, headers=headers, media_type=MEDIA_TYPE
    )


def describe(kind: ProblemType, detail: str, scope: Scope, errors: Sequence[FieldError] = ()) -> ProblemDetails:
    """The problem details of one occurrence."""
    path = scope.get("path", "")
    plain = len(path) <= _LONGEST_PATH and _PLAIN_PATH.fullmatch(path)
    return ProblemDetails(
        type=kind.path,
        title=kind.title,
        status=kind.status,
        detail=detail,
        instance=path if plain else None,
        errors=tuple(errors[:MOST_ERRORS]),
    )


def details_of_example(kind: ProblemType) -> ProblemDetails:
    """What an occurrence of a type looks like, for its page and for the API document."""
    errors = [FieldError(pointer=kind.pointer, detail=kind.fault, accepted=kind.accepted)] if kind.pointer else []
    return describe(kind, kind.detail, {"path": "/v1/zones/check"}, errors)
