"""Places in a request, written so that a caller finds them and nothing of his can do harm."""

import re
from collections.abc import Sequence
from urllib.parse import quote

LONGEST_POINTER = 2000
"""Characters of a pointer."""

LONGEST_NAME = 64
"""Characters of a parameter's name that a pointer repeats; no declared one is longer."""

WHOLE_BODY = "#"

_PLAIN_NAME = re.compile(r"[A-Za-z][A-Za-z0-9_.-]{0,39}")


def plain_name(text: str) -> bool:
    """Whether a name that a caller sent may be shown to him again: no markup, no control characters, short."""
    return _PLAIN_NAME.fullmatch(text) is not None


def pointer(where: str, place: Sequence[str | int]) -> str:
    """A place as it is written in `errors[].pointer`; `where` is body, query or path.

    >>> pointer("body", ["runs", 2, "a/b"]), pointer("query", ["length"]), pointer("path", ["id"]), pointer("body", [])
    ('#/runs/2/a~1b', '?length', '{id}', '#')
    """
    parts = [str(part) for part in place]
    if where == "path":
        return f"{{{'.'.join(parts)}}}"
    if where != "body":
        return "?" + quote(".".join(parts)[:LONGEST_NAME], safe="")
    steps = ["/" + quote(part.replace("~", "~0").replace("/", "~1"), safe="~") for part in parts]
    # Keys are the caller's, and may be of any length: then the place is told as near as it can be.
    while sum(map(len, steps)) >= LONGEST_POINTER:
        steps.pop()
    return WHOLE_BODY + "".join(steps)
