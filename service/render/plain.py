"""Numbers and texts as other programs read them: numbers bare and plain, texts on one line and harmless."""

from __future__ import annotations

import math
import re

DIGITS = 7
"""Significant digits of a number. [-] No gauge, table or law behind it is known to more."""

FEWEST_DECIMALS, MOST_DECIMALS = 4, 15
"""Decimal places that a large number keeps, and those beyond which a small one reads as nought. [-]"""

_OFF_THE_LINE = re.compile("[\u0000-\u001f\u007f-\u009f\u2028\u2029]+")
_NO_CHARACTER = re.compile("[\ud800-\udfff\ufffe\uffff]")

_FORMULA = "[=+\\-@＝＋－＠]"
"""What a sheet knows a formula by, the wide characters of East Asian keyboards among it."""

_BLANK = r"[\s\u00ad\u061c\u180e\u200b-\u200f\u202a-\u202e\u2060-\u206f\ufeff\U000e0001\U000e0020-\U000e007f]"
"""What is not seen: blanks, and the characters that join, part and turn text (Unicode category Cf)."""

_RUN_AS_FORMULA = re.compile(rf'(?:^|(?<=[,;"|]))(?={_BLANK}*{_FORMULA})')


def number(value: float, *, comma: bool = False) -> str:
    """A number without unit, exponent or separators of thousands, with a decimal point or comma.

    >>> number(23.849999999999998), number(-0.5), number(1e-5), number(640), number(12.5, comma=True)
    ('23.85', '-0.5', '0.00001', '640', '12,5')

    Raises
    ------
    ValueError : for what is no finite number; better a loud failure than a wrong cell.
    """
    if not math.isfinite(value):
        raise ValueError("an answer holds a number that is not finite")
    if isinstance(value, int):
        return str(value)
    # Most numbers lie where the plain format of seven digits is what is wanted; tables may hold a million of them.
    text = f"{value:.{DIGITS}g}" if 1e-4 <= abs(value) < 1e3 else _fixed(value)
    return text.replace(".", ",") if comma else text


def _fixed(value: float) -> str:
    magnitude = math.floor(math.log10(abs(value))) if value else 0
    places = min(max(DIGITS - 1 - magnitude, FEWEST_DECIMALS), MOST_DECIMALS)
    text = f"{value:.{places}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def one_line(text: str) -> str:
    r"""The text with a blank for each stretch of control characters and line ends, and only with real characters.

    >>> one_line("rose\r\n\tbank\x00")
    'rose bank '
    """
    return _NO_CHARACTER.sub("", _OFF_THE_LINE.sub(" ", text))


def defused(text: str) -> str:
    """The text with an apostrophe before whatever a sheet would run as a formula.

    It may stand at the start, or behind a separator: a sheet that parts columns otherwise would start a cell there.

    >>> defused("=1+1"), defused("a;=1+1"), defused("3/4 in - 1 in"), defused("bed:1")
    ("'=1+1", "a;'=1+1", '3/4 in - 1 in', 'bed:1')
    """
    return _RUN_AS_FORMULA.sub("'", one_line(text))
