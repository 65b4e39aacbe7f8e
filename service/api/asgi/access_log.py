"""One line of JSON for each request: what was asked, how it ended, how long it took. No bodies and no parameters."""

import logging
from time import perf_counter

from starlette.types import ASGIApp, Message, Receive, Scope, Send

logger = logging.getLogger("service.access")


class AccessLog:
    """Logs each request when its answer is sent, or lost."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http" or not logger.isEnabledFor(logging.INFO):
            await self.app(scope, receive, send)
            return
        start = perf_counter()
        status = 0
        sent = 0

        async def counted(message: Message) -> None:
            nonlocal status, sent
            status = message.get("status", status)
            sent += len(message.get("body", b""))
            await send(message)

        try:
            await self.app(scope, receive, counted)
        finally:
            fields = {
                "method": scope["method"],
                "path": scope["path"],
                "status": status,
                "milliseconds": round(1000 * (perf_counter() - start), 2),
                "bytes": sent,
                "client": scope["client"][0] if scope.get("client") else "",
                "request_id": scope.get("state", {}).get("request_id", ""),
            }
            logger.info("request", extra={"fields": fields})
