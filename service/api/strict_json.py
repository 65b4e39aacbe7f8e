"""JSON read strictly: what two programs could read differently is refused, not guessed.

Python's own reader takes NaN, lets the last of two equal keys win and turns 1e400 into infinity. RFC 8259 leaves
duplicate keys and large numbers to the reader, RFC 7493 (I-JSON) rules them out; so does this module.
"""

import json
import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import Any

from service.api.pointers import plain_name, pointer

LONGEST_INTEGER = 19
"""Digits of an integer: what 64 bits hold (RFC 7493 asks for less). Larger numbers lose nothing by an exponent."""

MOST_PLACES = 100
"""Places told at once."""

_SURROGATE_ESCAPE = re.compile(rb"\\u[dD][89a-fA-F]")
_SURROGATE = re.compile("[\ud800-\udfff]")

_SYNTAX = (
    ("Expecting value", "A value is missing, or is written as JSON has none"),
    ("Expecting property name", "A name in double quotes is missing"),
    ("Expecting ':'", "A colon is missing"),
    ("Expecting ','", "A comma or a closing bracket is missing"),
    ("Illegal trailing comma", "Behind a comma nothing follows"),
    ("Unterminated string", "A text has no closing quote"),
    ("Invalid control character", "A text holds a control character that is not escaped"),
    ("Invalid \\", "A text holds a backslash that escapes nothing"),
    ("Extra data", "More follows where the value has ended"),
    ("Unexpected UTF-8 BOM", "A byte order mark stands before the value"),
)
"""What is wrong with the syntax, by how the library's complaint of it begins."""

UNKNOWN_SYNTAX = "This is no JSON"
"""What is said where the library complains of something else."""


@dataclass(frozen=True, slots=True)
class Misread:
    """Stands in a value for a part of it that readers would read differently."""

    detail: str
    accepted: str


_NO_NUMBER = Misread("NaN and Infinity are no JSON numbers.", "a number, or nothing at all")
_TOO_LARGE = Misread("This number is too large to be held.", "a number up to 1.8e308")
_TOO_LONG = Misread(
    f"This integer has more than {LONGEST_INTEGER} digits.", f"at most {LONGEST_INTEGER} digits, or an exponent"
)
_TWICE = Misread("This key stands twice in one object.", "each key once")
_HALF = Misread("This text holds half a surrogate pair, which is no character.", "whole characters")


class NotJson(ValueError):
    """The bytes are no JSON text that every reader would read alike; says where and why, and never quotes them."""

    def __init__(self, detail: str, places: Sequence[tuple[str, Misread]] = ()) -> None:
        super().__init__(detail)
        self.places = places  # pointers and what is wrong there, for what is written as JSON is


def parse(raw: bytes) -> Any:
    """The value of a JSON text.

    Raises NotJson for everything else: bad UTF-8, a syntax error, a key given twice, NaN and infinities, numbers that
    no double holds, half a surrogate pair, nesting deeper than the interpreter follows (about a thousand levels).

    >>> parse(b'{"length": 12.5}')
    {'length': 12.5}
    >>> parse(b'{"length": 1e400}')
    Traceback (most recent call last):
    service.api.strict_json.NotJson: This number is too large to be held: #/length.
    """
    reader = _Reader()
    try:
        value = json.loads(
            raw.decode("utf-8"),
            object_pairs_hook=reader.object,
            parse_constant=reader.constant,
            parse_float=reader.float,
            parse_int=reader.integer,
        )
    except UnicodeDecodeError as fault:
        raise NotJson(f"The body is not UTF-8: byte {fault.start + 1} cannot be read.") from None
    except json.JSONDecodeError as fault:
        raise NotJson(_syntax(fault)) from None
    except RecursionError:
        raise NotJson("The body is nested too deep.") from None
    if reader.misread or (_SURROGATE_ESCAPE.search(raw) and _holds_half_pairs(value)):
        places = list(islice(_misread_places(value), MOST_PLACES))
        place, why = places[0]
        raise NotJson(f"{why.detail.removesuffix('.')}: {place}.{' There is more.' * (len(places) > 1)}", places)
    return value


def _syntax(fault: json.JSONDecodeError) -> str:
    if not fault.doc.strip():
        return "The body is empty."
    place = f"line {fault.lineno}, column {fault.colno}"
    if fault.pos >= len(fault.doc.rstrip()):
        return f"The body ends before its value does: {place}."
    why = next((words for start, words in _SYNTAX if fault.msg.startswith(start)), UNKNOWN_SYNTAX)
    return f"{why}: {place}."


class _Reader:
    """Puts a mark for whatever cannot be trusted, so that all of it can be told at once with its place."""

    def __init__(self) -> None:
        self.misread = False

    def _mark(self, why: Misread) -> Misread:
        self.misread = True
        return why

    def object(self, pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        value = dict(pairs)
        if len(value) != len(pairs):
            seen: set[str] = set()
            for name, _ in pairs:
                if name in seen:
                    value[name] = self._mark(_TWICE)
                seen.add(name)
        return value

    def constant(self, _: str) -> Misread:
        return self._mark(_NO_NUMBER)

    def float(self, digits: str) -> float | Misread:
        number = float(digits)
        return self._mark(_TOO_LARGE) if math.isinf(number) else number

    def integer(self, digits: str) -> int | Misread:
        return self._mark(_TOO_LONG) if len(digits.lstrip("-")) > LONGEST_INTEGER else int(digits)


def _holds_half_pairs(value: Any) -> bool:
    try:
        json.dumps(value, ensure_ascii=False).encode("utf-8")
    except UnicodeEncodeError:
        return True
    return False


def _misread_places(root: Any) -> Iterator[tuple[str, Misread]]:
    """Where marks and half surrogate pairs stand. Without recursion: a value may be as deep as the reader went."""
    path: list[str | int] = []
    levels: list[Iterator[tuple[Any, Any]]] = [iter([("", root)])]
    while levels:
        for key, value in levels[-1]:
            here = [*path, key][1:]
            if isinstance(key, str) and _SURROGATE.search(key):
                yield _near(here[:-1]), _HALF
            if isinstance(value, Misread):
                yield _near(here), value
            elif isinstance(value, str) and _SURROGATE.search(value):
                yield _near(here), _HALF
            elif isinstance(value, dict | list):
                path.append(key)
                levels.append(iter(value.items()) if isinstance(value, dict) else enumerate(value))
                break
        else:
            levels.pop()
            if path:
                path.pop()


def _near(place: list[str | int]) -> str:
    """The pointer to a place, or to the nearest one above it whose name may be shown."""
    shown = next((step for step, part in enumerate(place) if isinstance(part, str) and not plain_name(part)), None)
    return pointer("body", place[:shown])
