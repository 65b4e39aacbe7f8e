"""A request that came before, word by word, gets the very bytes of before; one that holds them already gets none."""

from __future__ import annotations

from collections.abc import Hashable

from starlette.requests import Request
from starlette.responses import Response

from service.api.kept import Keeper, Kept

FRESH_SECONDS = 300
"""How long an answer may be shown without asking again. [s] Another version of the service may answer otherwise."""

OF_EVERY_GET = {"Cache-Control": f"public, max-age={FRESH_SECONDS}", "Vary": "Accept"}
"""Headers of what may be kept, by this service, by proxies and by whoever asked."""

ANYTHING = "*"


def answered_before(request: Request) -> Response | None:
    """The answer to a GET if its headers are kept, and its body, which stands under its tag."""
    if request.method != "GET":
        return None
    keeper: Keeper = request.app.state.keeper
    head = keeper.get(_key(request))
    if head is None:
        return None
    headers = dict(head.headers)
    if holds(request, headers["etag"], anything=True):
        return not_modified(headers["etag"])
    kept = keeper.get(headers["etag"])
    return Response(kept.body, headers=headers) if kept else None


def keep(request: Request, response: Response) -> None:
    """Keep the headers of the answer to a GET as they stand: what is added on its way out is of that one time."""
    keeper: Keeper = request.app.state.keeper
    keeper.put(_key(request), Kept(b"", tuple(response.headers.items())))


def holds(request: Request, tag: str, *, anything: bool = False) -> bool:
    """Whether the caller says to hold the answer of a tag (RFC 9110, section 13.1.2), or, by `*`, any at all."""
    listed = ",".join(request.headers.getlist("if-none-match")).split(",")
    held = {one.strip().removeprefix("W/") for one in listed}
    return tag in held or (anything and ANYTHING in held)


def not_modified(tag: str) -> Response:
    """Nothing but the news that there is none."""
    return Response(status_code=304, headers={**OF_EVERY_GET, "ETag": tag})


def _key(request: Request) -> Hashable:
    return request.scope["path"], request.scope["query_string"], tuple(request.headers.getlist("accept"))
