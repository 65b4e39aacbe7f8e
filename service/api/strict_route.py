"""Routes that read a request strictly before the framework sees it. What passes goes on to ordinary validation."""

import logging
from collections.abc import Callable, Coroutine
from functools import cached_property
from typing import Annotated, Any, ClassVar

from fastapi import Depends, Query, Request, Response
from fastapi.exceptions import RequestValidationError
from fastapi.routing import APIRoute
from pydantic import TypeAdapter
from starlette.datastructures import State

from service.api.field_errors import refusal_of_fields
from service.api.problem_types import PROBLEM_TYPES
from service.api.problems import Refusal
from service.api.strict_body import parse_body, read_bytes, refuse_other_types
from service.api.strict_request import StrictRequest
from service.api.zone_errors import refusal_of_zone
from service.hydraulics.solve import NotConverged
from service.parts.catalogue import using
from service.units.model import Model
from service.zones.faults import ZoneFaults

logger = logging.getLogger("service.refusals")

AT_ONCE_BYTES = 64 * 1024
"""Largest body that is parsed and validated on the event loop: some milliseconds."""

Handler = Callable[[Request], Coroutine[Any, Any, Response]]


class StrictRoute(APIRoute):
    """A route that takes no request which could be read in two ways."""

    body_limit: ClassVar[str] = "zone_body_bytes"

    def get_route_handler(self) -> Handler:
        """The framework's handler, behind a strict reader."""
        answer = super().get_route_handler()

        async def read_strictly(plain: Request) -> Response:
            request = StrictRequest(plain.scope, plain.receive)
            with using(plain.app.state.catalogue):
                if self.body_field is not None:
                    await self._read(request, plain.app.state)
                try:
                    return await answer(request)
                except RequestValidationError as refused:
                    further = getattr(request.state, "presentation_faults", ())
                    raise refusal_of_fields(
                        refused.errors(), request.parsed, self._schemas, request.system, further
                    ) from None
                except ZoneFaults as refused:
                    raise refusal_of_zone(refused.faults, request.system) from None
                except NotConverged as failed:
                    logger.warning("no solution", extra={"fields": {"path": request.url.path, "why": str(failed)}})
                    raise Refusal("no-solution", PROBLEM_TYPES["no-solution"].detail) from None

        return read_strictly

    async def _read(self, request: StrictRequest, state: State) -> None:
        refuse_other_types(request)
        request.raw = await read_bytes(request, getattr(state.settings, self.body_limit), state.settings)
        if len(request.raw) <= AT_ONCE_BYTES:
            request.parsed = parse_body(request.raw)
        else:
            # Long enough in the reading that everyone else would feel it: a thread's work.
            request.parsed = await state.crew.run(self._validated, request.raw)

    def _validated(self, raw: bytes) -> Any:
        """The body as its model, which the framework then takes as it is; where it has faults, as it was written."""
        written = parse_body(raw)
        if self.body_field is None:
            return written
        model, faults = self.body_field.validate(written)
        return written if faults else model

    @cached_property
    def _schemas(self) -> dict[str, dict[str, Any]]:
        """JSON Schema of the body and of the parameters, as a caller writes them."""
        # Beside a body the parameters of presentation are declared by a dependency.
        declared = (self.dependant, *self.dependant.dependencies)
        query = [field for dependant in declared for field in dependant.query_params]
        fields = {"query": query, "body": [self.body_field] if self.body_field else []}
        return {
            where: TypeAdapter[Any](field.field_info.annotation or Any).json_schema(by_alias=True)
            for where, declared in fields.items()
            for field in declared[:1]
        }


class JobRoute(StrictRoute):
    """A strict route whose body may hold many zones."""

    body_limit = "job_body_bytes"


class _NoParameters(Model):
    """The query of a route that takes none."""


async def _no_parameters(_: Annotated[_NoParameters, Query()]) -> None:
    """Refuse every parameter by name."""


NO_PARAMETERS = Depends(_no_parameters)
"""For a route without parameters: none is ignored."""
