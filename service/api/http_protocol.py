"""The server's HTTP/1.1 protocol with a clock: what the application never sees still has an end.

The stock protocol waits for ever for the end of a request's headers, answers what it cannot read in plain text, and at
shutdown drops connections whose first request is on its way.
"""

import asyncio
import sys
from collections.abc import Callable
from typing import Any

import h11
from uvicorn.protocols.http.h11_impl import STATUS_PHRASES, H11Protocol, RequestResponseCycle

from service.api.problem_types import PROBLEM_TYPES
from service.api.problems import MEDIA_TYPE, describe
from service.settings import Settings

FAREWELL_SECONDS = 0.5
"""Time that a silent connection has at shutdown, for a request that is already under way."""


TOO_LARGE = 431
"""What the parser hints at when the buffer for a head is full."""


class TimedH11(H11Protocol):
    """One connection. Settings come by the state that the application's lifespan hands to the server."""

    patience: asyncio.TimerHandle | None = None
    heard = False  # whether part of a head has arrived that is not complete
    deaf = False  # whether the connection is over and only read away
    leaving = False

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

    def handle_events(self) -> None:
        """Take the requests that are complete; once leaving, promise no further ones."""
        super().handle_events()
        if self.leaving and self.conn.their_state is not h11.IDLE:
            self.cycle.keep_alive = False

    def on_response_complete(self) -> None:
        """Go on to the next request, or read away what is left of a refused body for a while."""
        self.heard = False
        super().on_response_complete()
        if self._reading_away() and not self.transport.is_closing():
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
        """Refuse what is no readable request."""
        fault = sys.exception()
        if getattr(fault, "error_status_hint", 400) != TOO_LARGE:
            self._refuse("bad-request")
        elif b"\n" in self.conn.trailing_data[0]:
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

    def _refuse(self, slug: str, detail: str = "") -> None:
        if self.transport.is_closing() or self.deaf:
            return
        if self.conn.our_state in {h11.IDLE, h11.SEND_RESPONSE}:
            kind = PROBLEM_TYPES[slug]
            body = describe(kind, detail or kind.happened, {}).model_dump_json(exclude_defaults=True).encode()
            headers: list[tuple[str, str]] = [
                ("content-type", MEDIA_TYPE),
                ("content-length", str(len(body))),
                ("cache-control", "no-store"),
                ("x-content-type-options", "nosniff"),
                ("connection", "close"),
            ]
            response = h11.Response(status_code=kind.status, headers=headers, reason=STATUS_PHRASES[kind.status])
            events: list[Any] = [response, h11.Data(data=body), h11.EndOfMessage()]
            self.transport.write(b"".join(self.conn.send(event) or b"" for event in events))
        self._say_goodbye()

    def _say_goodbye(self) -> None:
        """End our side, and read away what still comes: closing on unread bytes would destroy the answer."""
        if not self.transport.can_write_eof():
            self.transport.close()
            return
        self.deaf = True
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
