"""Requests that end at their head: the server could not read it, or it is longer than the settings allow."""

from collections.abc import Iterator
from urllib.parse import unquote_to_bytes

from starlette.types import ASGIApp, Receive, Scope, Send

from service.api.problems import FieldError, Refusal, problem_response

UNREADABLE = "unreadable"
"""Where the state of a request has the refusal of the server that could not read it."""


class RefusedHeads:
    """Answers for the server what it could not read, and bounds what it could: whichever server it is."""

    def __init__(self, app: ASGIApp, target_bytes: int, header_bytes: int) -> None:
        self.app = app
        self.target_bytes = target_bytes
        self.header_bytes = header_bytes

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] == "http":
            refusal = scope.get("state", {}).get(UNREADABLE) or self._refusal(scope)
            if refusal is not None:
                await problem_response(refusal, scope)(scope, receive, send)
                return
        await self.app(scope, receive, send)

    def _refusal(self, scope: Scope) -> Refusal | None:
        target = len(scope.get("raw_path") or scope["path"].encode()) + len(scope["query_string"])
        if target > self.target_bytes:
            return Refusal("address-too-long", f"Path and query are longer than {self.target_bytes} bytes.")
        if sum(len(name) + len(value) for name, value in scope["headers"]) > self.header_bytes:
            return Refusal("headers-too-large", f"The headers are larger than {self.header_bytes} bytes.")
        garbled = list(_garbled(scope["query_string"]))
        return Refusal("invalid-input", "The query is not text throughout.", errors=garbled) if garbled else None


def _garbled(query: bytes) -> Iterator[FieldError]:
    """Parameters whose bytes are no text: to read on would be to guess what they were."""
    if b"%" not in query and query.isascii():
        return
    for parameter in query.split(b"&"):
        try:
            unquote_to_bytes(parameter).decode()
        except UnicodeDecodeError:
            name = unquote_to_bytes(parameter.partition(b"=")[0]).decode(errors="ignore")
            yield FieldError(pointer=f"?{name}", detail="These bytes are no text.", accepted="UTF-8, percent-encoded")
