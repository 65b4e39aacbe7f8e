"""The server's HTTP/1.1 protocol with a clock: what the application never sees still has an end.

The stock protocol waits for ever for the end of a request's headers, answers what it cannot read in plain text, and at
shutdown drops connections whose first request is on its way.
"""

import asyncio
import sys
from collections.abc import Callable
from typing import Any

import h11
from starlette.types import Message, Receive, Scope, Send
from uvicorn.protocols.http.flow_control import CLOSE_HEADER
from uvicorn.protocols.http.h11_impl import STATUS_PHRASES, H11Protocol, RequestResponseCycle

from service.api.asgi.refused_heads import UNREADABLE
from service.api.problem_types import PROBLEM_TYPES
from service.api.problems import Refusal
from service.api.strict_connection import StrictConnection, UnclearRequest
from service.settings import Settings

FAREWELL_SECONDS = 0.5
"""Time that a silent connection has at shutdown, for a request that is already under way."""


TOO_LARGE = 431
"""What the parser hints at when the buffer for a head is full."""


class TimedH11(H11Protocol):
    """One connection. Settings come by the state that the application's lifespan hands to the server."""

    patience: asyncio.TimerHandle | None = None
    heard = False  # whether part of a head has arrived that is not complete
    deaf = False  # whether nothing more is heard: what still comes is read away
    leaving = False
    ended = False  # whether whoever asks has said all he will

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.conn: StrictConnection = StrictConnection(
            h11.SERVER, self.settings.header_bytes + self.settings.target_bytes
        )
        self.application = self.app
        self.app = self._ask

    @property
    def settings(self) -> Settings:
        """What the operator set."""
        settings: Settings = self.app_state["settings"]
        return settings

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Start the clock of the first head."""
        super().connection_made(transport)
        self._within(self.settings.header_seconds, self._head_is_late)

    def connection_lost(self, exc: Exception | None) -> None:
        """Stop the clock."""
        self._at_ease()
        super().connection_lost(exc)

    def data_received(self, data: bytes) -> None:
        """Take bytes; run the clock exactly while the head of a request is incomplete."""
        if not self.deaf:
            self.heard = True
            super().data_received(data)
            self._mind_the_clock()

    def _mind_the_clock(self) -> None:
        if self.deaf:
            return
        if self.transport.is_closing():
            self._at_ease()
        elif self.conn.their_state is h11.IDLE:
            if self.patience is None and self.conn.trailing_data[0]:
                self._within(self.settings.header_seconds, self._head_is_late)
        elif not self._reading_away():
            self._at_ease()

    def eof_received(self) -> bool:  # type: ignore[override]
        """Go on with what was asked where nothing more will come; returns whether anything was."""
        self.ended = True
        answering = self.conn.our_state in {h11.SEND_RESPONSE, h11.SEND_BODY}
        if answering and not self.deaf and self.cycle.more_body:
            self._break_off(self.cycle)
        return answering or (self.deaf and self.conn.our_state is h11.IDLE)

    def _should_upgrade(self) -> bool:
        """Never: nothing else is spoken here, and the stock class would complain of it in the log."""
        return False

    def handle_events(self) -> None:
        """Take the requests that are complete; once leaving, promise no further ones."""
        super().handle_events()
        if self.leaving and not self.deaf and self.conn.their_state is not h11.IDLE:
            self.cycle.keep_alive = False

    def on_response_complete(self) -> None:
        """Go on to the next request, or read away what is left of a refused body for a while."""
        self.heard = False
        super().on_response_complete()
        if self.ended and self.conn.our_state is not h11.SEND_RESPONSE:
            self.transport.close()
        elif self._reading_away() and not self.transport.is_closing():
            self._within(self.settings.body_seconds, self.transport.close)

    def shutdown(self) -> None:
        """Finish what is in flight, and what was sent before the caller could know."""
        self.leaving = True
        # The stock class says None for a cycle that has not begun, and types it as if it always had.
        cycle: RequestResponseCycle | None = self.cycle
        if cycle is None or cycle.response_complete:
            self._unset_keepalive_if_required()
            self._within(FAREWELL_SECONDS, self.transport.close)
        else:
            super().shutdown()

    def send_400_response(self, msg: str) -> None:  # noqa: ARG002 - the parser's words are for nobody outside
        """Refuse what is no readable request, or end a body that is none."""
        fault = sys.exception()
        cycle: RequestResponseCycle | None = self.cycle
        if cycle is not None and not cycle.response_complete:
            self._break_off(cycle)
        elif isinstance(fault, UnclearRequest):
            self._refuse("bad-request", str(fault))
        elif getattr(fault, "error_status_hint", 400) != TOO_LARGE:
            self._refuse("bad-request")
        elif b"\n" in self.conn.head:
            self._refuse("headers-too-large")
        else:
            self._refuse("address-too-long")

    def _head_is_late(self) -> None:
        if self.heard:
            self._refuse("too-slow", "The headers did not arrive in time.")
        else:
            self.transport.close()

    def _reading_away(self) -> bool:
        """Whether a body goes on arriving whose request is answered already."""
        return self.conn.their_state is h11.SEND_BODY and self.cycle.response_complete

    def _break_off(self, cycle: RequestResponseCycle) -> None:
        """Tell the application that the rest of a body will not come. What it answers still goes out."""
        self.deaf = True
        cycle.disconnected = True
        cycle.message_event.set()

    def _refuse(self, slug: str, detail: str = "") -> None:
        """Have the application refuse what was no request to it, so that the answer is like all its answers."""
        if self.transport.is_closing() or self.deaf:
            return
        self.deaf = True
        if self.conn.our_state not in {h11.IDLE, h11.SEND_RESPONSE}:
            self._say_goodbye()
            return
        refusal = Refusal(slug, detail or PROBLEM_TYPES[slug].happened)
        task = self.loop.create_task(self._ask(self._unread(refusal), _nothing_more, self._tell))
        self.tasks.add(task)
        task.add_done_callback(self.tasks.discard)

    def _unread(self, refusal: Refusal) -> Scope:
        """A request of which nothing is known but what its answer's headers depend on."""
        return {
            "type": "http",
            "asgi": {"version": self.asgi_version, "spec_version": "2.3"},
            "http_version": "1.1",
            "server": self.server,
            "client": self.client,
            "scheme": self.scheme,
            "method": "",
            "root_path": "",
            "path": "",
            "raw_path": b"",
            "query_string": b"",
            "headers": self.conn.told_headers(),
            "state": {**self.app_state, UNREADABLE: refusal},
        }

    async def _ask(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Ask the application; what it answers to what was not heard out is told by ourselves."""

        async def tell(message: Message) -> None:
            await (self._tell(message) if self.deaf else send(message))

        await self.application(scope, receive, tell)

    async def _tell(self, message: Message) -> None:
        """Send one part of a last answer."""
        if self.transport.is_closing():
            return
        if message["type"] == "http.response.start":
            status = message["status"]
            headers = [*self.server_state.default_headers, *message["headers"], CLOSE_HEADER]
            self._write(h11.Response(status_code=status, headers=headers, reason=STATUS_PHRASES[status]))
            return
        self._write(h11.Data(data=message.get("body", b"")))
        if not message.get("more_body", False):
            self._write(h11.EndOfMessage())
            self._say_goodbye()

    def _write(self, event: h11.Event) -> None:
        self.transport.write(self.conn.send(event) or b"")

    def _say_goodbye(self) -> None:
        """End our side, and read away what still comes: closing on unread bytes would destroy the answer."""
        if self.ended or not self.transport.can_write_eof():
            self.transport.close()
            return
        self.transport.write_eof()
        self.flow.resume_reading()
        self._within(self.settings.body_seconds, self.transport.close)

    def _within(self, seconds: float, otherwise: Callable[[], None]) -> None:
        self._at_ease()
        self.patience = self.loop.call_later(seconds, otherwise)

    def _at_ease(self) -> None:
        if self.patience is not None:
            self.patience.cancel()
            self.patience = None


async def _nothing_more() -> Message:
    return {"type": "http.disconnect"}
