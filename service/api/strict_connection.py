"""Reads heads of requests as RFC 9112 has them, more strictly than the library where two readers could differ."""

import re

import h11

_ABSOLUTE = re.compile(rb"https?://([^/?#]*)(.*)", re.IGNORECASE)

_HOST = re.compile(rb"(\[[0-9A-Fa-f:.]+\]|[A-Za-z0-9._~!$&'()*+,;=%-]*)(:[0-9]*)?")
"""A name or an address, and perhaps a port: RFC 3986, section 3.2, without a user, whom no server wants to hear of."""

_TOLD = re.compile(rb"^(origin|x-request-id):([\t\x20-\x7e]*)\r?$", re.IGNORECASE | re.MULTILINE)

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
        if not event.http_version.startswith(b"1."):
            raise UnclearRequest("This version of HTTP is not understood here; 1.0 and 1.1 are.")
        _refuse_two_ends(event)
        return _addressed(event)

    def told_headers(self) -> list[tuple[bytes, bytes]]:
        """Headers that an answer depends on even where the head as a whole cannot be read."""
        return [(name.lower(), value.strip()) for name, value in _TOLD.findall(self.head)]


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
    """The request by its path, at a host that can be one (RFC 9112, section 3.2).

    A request as if to a proxy names the host in its first line, which then counts and not the header.
    """
    target = request.target
    host = next((value for name, value in request.headers if name == b"host"), b"")
    absolute = _ABSOLUTE.fullmatch(target)
    if absolute is not None:
        host, path = absolute.groups()
        target = path if path.startswith(b"/") else b"/" + path
        if not host:
            raise UnclearRequest("The address names no host.")
    elif not target.startswith(b"/") and (request.method, target) != (b"OPTIONS", SERVER_WIDE):
        raise UnclearRequest("The address begins neither with a slash nor with http.")
    if not _HOST.fullmatch(host):
        raise UnclearRequest("The host is neither a name nor an address.")
    if absolute is None:
        return request
    headers = [(b"host", host), *((name, value) for name, value in request.headers if name != b"host")]
    return h11.Request(method=request.method, headers=headers, target=target, http_version=request.http_version)
