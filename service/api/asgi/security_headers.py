"""Headers that tell browsers what an answer may not do. Sent with every answer, preflights and errors too."""

from collections.abc import Sequence

from starlette.datastructures import MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send


def content_policy(framing_origins: Sequence[str]) -> str:
    """The Content-Security-Policy: everything from here and nothing inline, but `data:` images, as plots have them.

    A page of a listed origin may show an answer in a frame (a printable sheet beside a form), others may not.
    """
    framing = "*" if "*" in framing_origins else " ".join(["'self'", *framing_origins])
    return "; ".join(
        (
            "default-src 'self'",
            "img-src 'self' data:",
            # The API browser sets the width of its columns by style attributes.
            "style-src 'self' 'unsafe-inline'",
            "object-src 'none'",
            "base-uri 'none'",
            "form-action 'self'",
            f"frame-ancestors {framing}",
        )
    )


class SecurityHeaders:
    """Adds the headers; an answer that sets one itself keeps its own."""

    def __init__(self, app: ASGIApp, framing_origins: Sequence[str]) -> None:
        self.app = app
        self.headers = {
            "Content-Security-Policy": content_policy(framing_origins),
            "X-Content-Type-Options": "nosniff",
            "Referrer-Policy": "no-referrer",
            # Answers hold nothing private: a page elsewhere may show a plot.
            "Cross-Origin-Resource-Policy": "cross-origin",
            "Cache-Control": "no-store",
        }

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        async def guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in self.headers.items():
                    headers.setdefault(name, value)
            await send(message)

        await self.app(scope, receive, guarded)
