"""What a cell of a sheet shows in place of a value: one short line. Of any status but 200 it would show nothing."""

from __future__ import annotations

from collections.abc import Sequence

from starlette.types import Scope

from service.render.plain import one_line

Fault = tuple[str, str, str]
"""Where, what is wrong there, what would be accepted."""

WISH = b"errors=text"

START = "ERROR: "
"""How the line begins, for a sheet to look for."""

BETWEEN, AND_SO_ON = ", ", ", …"
"""What parts a list, and how it ends where the line has no room for more."""

LONGEST = 250
"""Characters of a line. A cell shows fewer, its editor all of them."""


def wants_a_line(scope: Scope, status: int) -> bool:
    """Whether an error is to be a value. A fault of the service's own never is: it must be seen from outside."""
    asked = WISH in scope.get("query_string", b"").split(b"&") and scope.get("method") != "OPTIONS"
    return asked and (status < 500 or status == 503)


def line(detail: str, faults: Sequence[Fault]) -> str:
    """The first fault, or without faults the detail, in one line."""
    told = detail
    if faults:
        where, what, accepted = faults[0]
        more = f" And {len(faults) - 1} more." if len(faults) > 1 else ""
        brief = ": ".join(filter(None, (where.strip("?#{}"), what)))
        told = brief + _listed(accepted, LONGEST - len(START + brief + more)) + more
    text = one_line(START + told)
    return text if len(text) <= LONGEST else text[: LONGEST - 1] + "…"


def _listed(accepted: str, room: int) -> str:
    """What would be accepted, as far as there is room for it."""
    full = f" Accepted: {accepted}."
    if len(full) <= room:
        return full
    some = full[: max(room - len(AND_SO_ON), 0)].rpartition(BETWEEN)[0]
    return some + AND_SO_ON if some else ""
