"""What nobody thought of: logged in full, told in one plain sentence.

It stands inside the layer for other origins, so that a page elsewhere sees the 500 and not a network error.
"""

import logging

from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.api.problem_types import PROBLEM_TYPES
from service.api.problems import Refusal, problem_response

logger = logging.getLogger("service.surprises")


class Surprises:
    """Answers 500 for any exception that comes this far."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        started = False

        async def watched(message: Message) -> None:
            nonlocal started
            started = started or message["type"] == "http.response.start"
            await send(message)

        try:
            await self.app(scope, receive, watched)
        except Exception:
            if scope["type"] != "http" or started:
                raise
            fields = {"path": scope["path"], "request_id": scope.get("state", {}).get("request_id", "")}
            logger.exception("unexpected", extra={"fields": fields})
            refusal = Refusal("unexpected", PROBLEM_TYPES["unexpected"].detail)
            await problem_response(refusal, scope)(scope, receive, send)
