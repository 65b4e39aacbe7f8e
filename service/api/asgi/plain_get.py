"""HEAD and Range, which sheets send before they GET: a HEAD is a GET without its body, a Range gets the whole."""

from starlette.types import ASGIApp, Message, Receive, Scope, Send


class PlainGet:
    """Turns HEAD into GET for the application and keeps the body back; hides Range."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        whole = {**scope, "headers": [pair for pair in scope["headers"] if pair[0] != b"range"]}
        if scope["method"] != "HEAD":
            await self.app(whole, receive, send)
            return

        async def bodiless(message: Message) -> None:
            if message["type"] == "http.response.body":
                message = {**message, "body": b""}
            await send(message)

        await self.app({**whole, "method": "GET"}, receive, bodiless)
