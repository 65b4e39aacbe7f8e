"""Every request has an id: the caller's, where it is a plain one, else a new one. The answer names it."""

import re
from uuid import uuid4

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

HEADER = "X-Request-ID"

_PLAIN = re.compile(r"[A-Za-z0-9._-]{1,64}")


class RequestId:
    """Puts the id into the request's state and into the answer's headers."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        offered = Headers(scope=scope).get(HEADER, "")
        request_id = offered if _PLAIN.fullmatch(offered) else uuid4().hex
        scope.setdefault("state", {})["request_id"] = request_id

        async def named(message: Message) -> None:
            if message["type"] == "http.response.start":
                MutableHeaders(scope=message)[HEADER] = request_id
            await send(message)

        await self.app(scope, receive, named)
