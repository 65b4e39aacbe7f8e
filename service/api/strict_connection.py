"""Reads heads of requests as RFC 9112 has them, more strictly than the library where two readers could differ."""

import re

import h11

_ABSOLUTE = re.compile(rb"https?://([^/?#]+)(.*)", re.IGNORECASE)

_TOLD = re.compile(rb"^(origin|x-request-id):[ \t]*([\x20-\x7e]*?)[ \t]*\r?$", re.IGNORECASE | re.MULTILINE)

SERVER_WIDE = b"*"


class UnclearRequest(h11.RemoteProtocolError):
    """A head that readers could take for different requests; in words for whoever sent it."""


class StrictConnection(h11.Connection):
    """The server's side of one connection."""

    head = b""
    """The head that is being read, as far as it has come."""

    def next_event(self) -> h11.Event | type[h11.NEED_DATA] | type[h11.PAUSED]:
        """What comes next.

        Raises
        ------
        UnclearRequest : for a request that must not be answered as if it were plain what it is.
        """
        if self.their_state is h11.IDLE:
            self.head = self.trailing_data[0]
        event = super().next_event()
        if not isinstance(event, h11.Request):
            return event
        _refuse_two_ends(event)
        return _addressed(event)

    def told_headers(self) -> list[tuple[bytes, bytes]]:
        """Headers that an answer depends on even where the head as a whole cannot be read."""
        return [(name.lower(), value) for name, value in _TOLD.findall(self.head)]


def _refuse_two_ends(request: h11.Request) -> None:
    """Two ways to tell where a body ends are how a request is hidden inside another (RFC 9112, sections 6.1, 6.3)."""
    names = {name for name, _ in request.headers}
    if b"transfer-encoding" not in names:
        return
    if b"content-length" in names:
        raise UnclearRequest("Content-Length and Transfer-Encoding do not go together.")
    if request.http_version < b"1.1":
        raise UnclearRequest("HTTP/1.0 knows no Transfer-Encoding.")


def _addressed(request: h11.Request) -> h11.Request:
    """The request by its path; one sent as if to a proxy names the host in its first line (section 3.2.2)."""
    if request.target.startswith(b"/") or (request.method == b"OPTIONS" and request.target == SERVER_WIDE):
        return request
    absolute = _ABSOLUTE.fullmatch(request.target)
    if absolute is None:
        raise UnclearRequest("The address begins neither with a slash nor with http.")
    host, path = absolute.groups()
    return h11.Request(
        method=request.method,
        headers=[(b"host", host), *((name, value) for name, value in request.headers if name != b"host")],
        target=path if path.startswith(b"/") else b"/" + path,
        http_version=request.http_version,
    )
