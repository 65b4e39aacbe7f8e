"""Answers a GET that came before, word by word, before anything else looks at it."""

from starlette.requests import Request
from starlette.types import ASGIApp, Receive, Scope, Send

from service.api.again import answered_before


class AnsweredBefore:
    """Stands before the routes, which it spares the reading of what they read already."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        before = answered_before(Request(scope)) if scope["type"] == "http" else None
        await (before or self.app)(scope, receive, send)
