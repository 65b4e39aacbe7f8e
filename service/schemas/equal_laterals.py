"""Equal laterals along one header, as the runs of a zone."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

Fields = Mapping[str, Any]
"""Fields of a run, in SI."""


def equal_laterals(
    lateral: Fields, *, header: Fields, feed: Fields | None, count: int, apart: float, centre: bool
) -> list[dict[str, Any]]:
    """Runs for `count` laterals `apart` [m] along a header that is fed at one end or at its centre.

    Each `Fields` has all of a run but its id and its place. Laterals that are nought apart need no header.
    """
    if feed is None:
        runs, start = [], {}
    else:
        runs, start = [{"id": "feed", **feed}], {"from": "feed", "from_at": feed["length"]}
    spread = (count - 1) * apart
    if count == 1:
        return [*runs, {"id": "lateral", **lateral, **start}]
    if spread == 0:
        return [*runs, {"id": "lateral", **lateral, **start, "copies": {"count": count, "apart": 0.0}}]
    if not centre:
        runs.append({"id": "header", **header, **start, "length": spread})
        return [*runs, _row(lateral, first=0.0, count=count, apart=apart)]
    # Two equal arms leave from one place. Of an odd number of laterals, one stands at that place itself.
    arms, odd = {"count": 2, "apart": 0.0}, count % 2
    runs.append({"id": "header", **header, **start, "length": spread / 2, "copies": arms})
    runs.append(_row(lateral, first=apart if odd else apart / 2, count=count // 2, apart=apart))
    return [*runs, {"id": "middle", **lateral, **start}] if odd else runs


def _row(lateral: Fields, *, first: float, count: int, apart: float) -> dict[str, Any]:
    """Laterals along the header."""
    copies = {"count": count, "apart": apart}
    return {"id": "lateral", **lateral, "from": "header", "from_at": first, "copies": copies}
