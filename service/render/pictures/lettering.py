"""Text on a picture: whatever a caller named a thing, drawn as written as far as the typeface goes."""

import unicodedata
from functools import cache

from matplotlib.font_manager import FontProperties, findfont, get_font
from matplotlib.textpath import text_to_path

TYPEFACE = "DejaVu Sans"
"""Comes with the plotting library, so that a picture is the same on every machine."""

STEERING = {"Cc", "Cf", "Cs"}
"""Categories of characters that steer the direction of text, or are no text."""

UNKNOWN = "\N{REPLACEMENT CHARACTER}"
"""Stands for a character that the typeface lacks."""

ELLIPSIS = "…"


def drawable(text: str) -> str:
    r"""The text with a mark for each character that the typeface lacks.

    >>> drawable("$5 <b> \u202eשלום 花")
    '$5 <b> שלום �'
    """
    return "".join(char if _has(char) else UNKNOWN for char in written(text))


def readable(text: str, otherwise: str) -> str:
    """The text as it is drawn, or something else in place of one that would be nothing but marks.

    >>> readable("Beet 花", "zone"), readable("花坛", "zone")
    ('Beet �', 'zone')
    """
    shown = drawable(text)
    return shown if shown.strip(UNKNOWN + ELLIPSIS + " ") else otherwise


def written(text: str) -> str:
    """The text without what would steer its direction, each character composed: as many as when it is drawn."""
    return "".join(char for char in unicodedata.normalize("NFC", text) if not _steers(char))


def fitted(text: str, width: float, size: float, *, bold: bool = False) -> str:
    """The text as written, cut so that it is drawn no wider than `width`; width and size of the type in points."""
    text = written(text)
    if text_width(text, size, bold=bold) <= width:
        return text
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if text_width(text[:middle].rstrip() + ELLIPSIS, size, bold=bold) <= width:
            low = middle
        else:
            high = middle - 1
    return text[:low].rstrip() + ELLIPSIS


def wrapped(text: str, width: float, size: float, most: int) -> list[str]:
    """The text on at most so many lines, none wider than `width`; the last one is cut to it. Sizes in points."""
    lines: list[str] = []
    words = written(text).split()
    while words and len(lines) < most - 1:
        count = 1
        while count < len(words) and text_width(" ".join(words[: count + 1]), size) <= width:
            count += 1
        lines.append(fitted(" ".join(words[:count]), width, size))
        words = words[count:]
    return [*lines, fitted(" ".join(words), width, size)] if words else lines


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Width of a text as it is drawn. [points]"""
    face = FontProperties(family=TYPEFACE, weight="bold" if bold else "normal", size=size)
    width: float = text_to_path.get_text_width_height_descent(drawable(text), face, ismath=False)[0]
    return width


def _steers(char: str) -> bool:
    return unicodedata.category(char) in STEERING or char in "\ufffe\uffff"  # which XML forbids


@cache
def _has(char: str) -> bool:
    """Whether both weights of the typeface can draw a character."""
    code = ord(char)
    return all(
        get_font(findfont(FontProperties(family=TYPEFACE, weight=weight))).get_char_index(code)
        for weight in ("normal", "bold")
    )
