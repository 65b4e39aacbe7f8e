"""Lets pages of listed origins ask, and read every answer, errors too."""

from starlette.datastructures import Headers, MutableHeaders
from starlette.middleware.cors import CORSMiddleware
from starlette.responses import Response
from starlette.types import ASGIApp, Message, Send

from service.api.asgi.request_id import HEADER as REQUEST_ID
from service.api.problems import Refusal, problem_response

METHODS = ("GET", "HEAD", "POST", "OPTIONS")

EXPOSED = (REQUEST_ID, "Retry-After", "ETag", "Allow", "Content-Disposition")
"""Headers of an answer that a page may read beside the few it always may."""

PREFLIGHT_SECONDS = 3600


class Cors(CORSMiddleware):
    """The framework's layer, with refusals in the form of every other refusal. No cookies, so no credentials."""

    def __init__(self, app: ASGIApp, allow_origins: tuple[str, ...]) -> None:
        super().__init__(
            app,
            allow_origins=allow_origins,
            allow_methods=METHODS,
            allow_headers=("Content-Type", "If-None-Match", REQUEST_ID),
            expose_headers=EXPOSED,
            max_age=PREFLIGHT_SECONDS,
        )

    def preflight_response(self, request_headers: Headers) -> Response:
        """What a browser is told before it sends the request proper."""
        answer = super().preflight_response(request_headers)
        if answer.status_code < 400:
            return Response(status_code=204, headers=_without_body(answer))
        refusal = Refusal("not-allowed", "A page of this origin may not ask here with this method and these headers.")
        problem = problem_response(refusal, {"type": "http"})
        for name, value in _without_body(answer).items():
            problem.headers.setdefault(name, value)
        return problem

    async def send(self, message: Message, send: Send, request_headers: Headers) -> None:
        """Send one part of an answer, with what its reader's browser looks for."""
        if message["type"] == "http.response.start" and "origin" not in request_headers and not self.allow_all_origins:
            # A shared cache must not hand the answer to a request without an origin to a page that has one.
            MutableHeaders(scope=message).add_vary_header("Origin")
            await send(message)
            return
        await super().send(message, send, request_headers)


def _without_body(response: Response) -> dict[str, str]:
    return {name: value for name, value in response.headers.items() if name not in {"content-length", "content-type"}}
