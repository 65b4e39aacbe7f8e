"""JSON read strictly: what two programs could read differently is refused, not guessed.

Python's own reader takes NaN, lets the last of two equal keys win and turns 1e400 into infinity. RFC 8259 leaves
duplicate keys and large numbers to the reader, RFC 7493 (I-JSON) rules them out; so does this module.
"""

import json
import math
import re
from typing import Any

LONGEST_INTEGER = 19
"""Digits of an integer: what 64 bits hold (RFC 7493 asks for less). Larger numbers lose nothing by an exponent."""

_SURROGATE_ESCAPE = re.compile(rb"\\u[dD][89a-fA-F]")
_PLAIN_NAME = re.compile(r"[A-Za-z][A-Za-z0-9_.-]{0,39}")


class NotJson(ValueError):
    """The bytes are no JSON text that every reader would read alike; says where and why, and never quotes them."""


def plain_name(text: str) -> bool:
    """Whether a name that a caller sent may be shown to him again: no markup, no control characters, short."""
    return _PLAIN_NAME.fullmatch(text) is not None


def parse(raw: bytes) -> Any:
    """The value of a JSON text.

    Raises NotJson for everything else: bad UTF-8, a syntax error, a key given twice, NaN and infinities, numbers that
    no double holds, half a surrogate pair, nesting deeper than the interpreter follows (about a thousand levels).

    >>> parse(b'{"length": 12.5}')
    {'length': 12.5}
    >>> parse(b'{"length": 1e400}')
    Traceback (most recent call last):
    service.api.strict_json.NotJson: A number is too large to be held.
    """
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError as fault:
        raise NotJson(f"The body is not UTF-8: byte {fault.start + 1} cannot be read.") from None
    try:
        value = json.loads(
            text,
            object_pairs_hook=_object,
            parse_constant=_no_constant,
            parse_float=_finite,
            parse_int=_integer,
        )
    except json.JSONDecodeError as fault:
        raise NotJson(f"{fault.msg}: line {fault.lineno}, column {fault.colno}.") from None
    except RecursionError:
        raise NotJson("The body is nested too deep.") from None
    if _SURROGATE_ESCAPE.search(raw):
        _refuse_half_pairs(value)
    return value


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    value = dict(pairs)
    if len(value) != len(pairs):
        seen: set[str] = set()
        twice = next(name for name, _ in pairs if name in seen or seen.add(name))  # type: ignore[func-returns-value]
        named = f"The key '{twice}'" if plain_name(twice) else "A key"
        raise NotJson(f"{named} stands twice in one object.")
    return value


def _no_constant(_: str) -> float:
    raise NotJson("NaN and Infinity are no JSON numbers.")


def _finite(digits: str) -> float:
    number = float(digits)
    if math.isinf(number):
        raise NotJson("A number is too large to be held.")
    return number


def _integer(digits: str) -> int:
    if len(digits.lstrip("-")) > LONGEST_INTEGER:
        raise NotJson(f"An integer has more than {LONGEST_INTEGER} digits.")
    return int(digits)


def _refuse_half_pairs(value: Any) -> None:
    try:
        json.dumps(value, ensure_ascii=False).encode("utf-8")
    except UnicodeEncodeError:
        raise NotJson("A text holds half a surrogate pair, which is no character.") from None
