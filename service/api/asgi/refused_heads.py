"""Requests that end at their head: the server could not read it, or it is longer than the settings allow."""

from starlette.types import ASGIApp, Receive, Scope, Send

from service.api.problems import Refusal, problem_response

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
        return None
