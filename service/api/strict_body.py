"""Reads a request strictly before the framework sees it: its size, its pace, its type, its JSON, its parameters.

The framework's own reader would hold a slow body open for ever, read a huge one whole, and let the last of two equal
keys win. What passes here goes on to ordinary validation.
"""

import asyncio
from collections.abc import Callable, Coroutine
from functools import cached_property
from typing import Annotated, Any, ClassVar

from fastapi import Depends, Query, Request, Response
from fastapi.exceptions import RequestValidationError
from fastapi.routing import APIRoute
from pydantic import TypeAdapter
from starlette.datastructures import QueryParams

from service.api.field_errors import REPEAT_MARK, refusal_of_fields
from service.api.problems import Refusal
from service.api.strict_json import NotJson, parse
from service.settings import Settings
from service.units.model import Model

JSON = "application/json"

Handler = Callable[[Request], Coroutine[Any, Any, Response]]


class StrictRequest(Request):
    """A request whose body was read already, and whose repeated parameters show up as unknown ones."""

    raw: bytes = b""
    parsed: Any = None

    async def body(self) -> bytes:
        """The bytes that were read."""
        return self.raw

    async def json(self) -> Any:
        """What they say."""
        return self.parsed

    @cached_property
    def _each_once(self) -> QueryParams:
        seen: set[str] = set()
        pairs = []
        for name, value in super().query_params.multi_items():
            pairs.append((name + REPEAT_MARK if name in seen else name, value))
            seen.add(name)
        return QueryParams(pairs)

    @property
    def query_params(self) -> QueryParams:
        """The parameters; one given again has REPEAT_MARK behind its name, which no declared parameter has."""
        return self._each_once


class StrictRoute(APIRoute):
    """A route that takes no request which could be read in two ways."""

    body_limit: ClassVar[str] = "zone_body_bytes"

    def get_route_handler(self) -> Handler:
        """The framework's handler, behind a strict reader."""
        answer = super().get_route_handler()
        takes_body = self.body_field is not None

        async def read_strictly(plain: Request) -> Response:
            request = StrictRequest(plain.scope, plain.receive)
            if takes_body:
                await _read(request, getattr(plain.app.state.settings, self.body_limit))
            try:
                return await answer(request)
            except RequestValidationError as refused:
                raise refusal_of_fields(refused.errors(), request.parsed, self._schemas) from None

        return read_strictly

    @cached_property
    def _schemas(self) -> dict[str, dict[str, Any]]:
        """JSON Schema of the body and of the parameters, as a caller writes them."""
        fields = {"query": self.dependant.query_params, "body": [self.body_field] if self.body_field else []}
        return {
            where: TypeAdapter[Any](field.field_info.annotation or Any).json_schema(by_alias=True)
            for where, declared in fields.items()
            for field in declared[:1]
        }


class _NoParameters(Model):
    """The query of a route that takes none."""


async def _no_parameters(_: Annotated[_NoParameters, Query()]) -> None:
    """Refuse every parameter by name."""


NO_PARAMETERS = Depends(_no_parameters)
"""For a route without parameters: none is ignored."""


class JobRoute(StrictRoute):
    """A strict route whose body may hold many zones."""

    body_limit = "job_body_bytes"


async def _read(request: StrictRequest, most: int) -> None:
    _refuse_other_types(request)
    request.raw = await _bytes(request, most)
    try:
        request.parsed = parse(request.raw)
    except NotJson as fault:
        raise Refusal("not-json", str(fault)) from None


def _refuse_other_types(request: Request) -> None:
    media_type, _, parameters = request.headers.get("content-type", "").partition(";")
    charset = parameters.strip().lower().removeprefix("charset=").strip('"')
    if media_type.strip().lower() != JSON or charset not in {"", "utf-8"}:
        raise Refusal("not-sent-as-json", f"The body must come as {JSON}, in UTF-8.", headers={"Accept": JSON})
    if request.headers.get("content-encoding", "identity").lower() != "identity":
        raise Refusal("not-sent-as-json", "The body must not be compressed.", headers={"Accept-Encoding": "identity"})


async def _bytes(request: Request, most: int) -> bytes:
    """The body, given up at its first byte too many, or when it comes too slowly."""
    settings: Settings = request.app.state.settings
    too_large = Refusal("body-too-large", f"The body is larger than {most} bytes.")
    announced = request.headers.get("content-length", "")
    if announced.isdecimal() and int(announced) > most:
        raise too_large
    start = asyncio.get_running_loop().time()
    raw = bytearray()
    try:
        async with asyncio.timeout_at(start + settings.body_seconds) as deadline:
            async for chunk in request.stream():
                raw += chunk
                if len(raw) > most:
                    raise too_large
                earned = len(raw) / settings.body_bytes_per_second
                deadline.reschedule(start + settings.body_seconds + earned)
    except TimeoutError:
        # Whoever is this slow would hold the connection as well.
        raise Refusal("too-slow", "The body did not arrive in time.", headers={"Connection": "close"}) from None
    return bytes(raw)
