"""How the numbers of the request at hand are written: its unit system, and whether numbers come as text."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

from service.units.dimensions import System

system_in_use: ContextVar[System | None] = ContextVar("system_in_use", default=None)
"""Unit system of the request being validated; None outside of one, where numbers are SI already."""

is_reading: ContextVar[bool] = ContextVar("is_reading", default=False)
"""Whether some request is being read: models nested in it follow its units, not their own."""

numbers_as_text: ContextVar[bool] = ContextVar("numbers_as_text", default=False)
"""Whether numbers may come as text, as they do in a query."""

_NUMERAL = re.compile(r"\s*([+-]?(?:[0-9]+(?:\.[0-9]*|,[0-9]+)?|[.,][0-9]+)(?:[eE][+-]?[0-9]+)?)\s*", re.ASCII)

_MAYBE_THOUSANDS = re.compile(r"\s*[+-]?[1-9][0-9]{0,2},[0-9]{2}0\s*", re.ASCII)
"""What may be one number or its thousandfold: `1,500`. No sheet writes such a decimal: it drops a last nought."""


@contextmanager
def reading(system: System | None, *, as_text: bool = False) -> Iterator[None]:
    """Read the numbers validated inside this block as `system` writes them; None reads SI."""
    reading_token = is_reading.set(True)
    system_token = system_in_use.set(system)
    text_token = numbers_as_text.set(as_text)
    try:
        yield
    finally:
        is_reading.reset(reading_token)
        system_in_use.reset(system_token)
        numbers_as_text.reset(text_token)


def number_in(value: object) -> float | int | None:
    """The number that a parsed value holds, or None: no boolean, no NaN, text only where text is read.

    In text one comma stands for the decimal point, for a sheet set to such a locale writes `12,5`; where it may part
    thousands, as in `1,500`, there is no telling which number was meant, and so there is none. An infinity is let
    through (`1e400` has that value): it lies outside every range, and is told as such.
    """
    if isinstance(value, str) and numbers_as_text.get():
        numeral = _NUMERAL.fullmatch(value)
        return None if numeral is None or _MAYBE_THOUSANDS.fullmatch(value) else float(numeral[1].replace(",", "."))
    if isinstance(value, bool) or not isinstance(value, float | int) or value != value:  # noqa: PLR0124 - NaN
        return None
    return value


def is_decorated(value: object) -> bool:
    """Whether what is no number may be one with something about it, where numbers come as text: `80 ft`, `1,500`."""
    return numbers_as_text.get() and isinstance(value, str) and value.strip()[:1].isdigit()
