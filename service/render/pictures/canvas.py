"""The sheet that every picture is drawn on: its size, type, title and footer, and how it becomes bytes.

The plotting library has settings for the whole process. They are made once, here, where it is imported; changing them
for one picture would change them under another thread's hands.
"""

import re
import threading
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from io import BytesIO
from types import MappingProxyType
from typing import Any
from xml.sax.saxutils import escape

import matplotlib as mpl
import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.layout_engine import ConstrainedLayoutEngine
from matplotlib.text import Text

from service.render.pictures.lettering import TYPEFACE, drawable, fitted, readable, text_width, wrapped, written
from service.render.plot import POINTS_PER_INCH, Size
from service.units.sentence import figure as rounded

LEGEND_TYPE = 8.0
"""Size of the type in legends. [points]"""

mpl.rcParams.update(
    {
        "font.family": [TYPEFACE, "sans-serif"],  # an SVG names both, for whoever lacks the typeface
        "font.sans-serif": [TYPEFACE],
        "font.size": 9.0,
        "text.parse_math": False,  # a name with $ in it is a name
        "text.hinting": "no_hinting",  # words are as wide as their type, at every number of dots to the inch
        "axes.formatter.use_mathtext": False,
        "axes.unicode_minus": False,  # one sign on axes and in the figures beside them
        "axes.spines.top": False,
        "axes.spines.right": False,
        "axes.axisbelow": True,
        "axes.edgecolor": "#555555",
        "axes.grid": True,
        "grid.color": "#e2e2e2",
        "grid.linewidth": 0.6,
        "hatch.linewidth": 0.7,
        "legend.frameon": False,
        "legend.fontsize": LEGEND_TYPE,
        "svg.fonttype": "none",  # text stays text: it can be searched, read aloud and copied
        "svg.hashsalt": "endline",  # equal pictures get equal names inside
    }
)

INK, SOFT, FAINT = "#111111", "#5f5f5f", "#b4b4b4"
BLUE, ORANGE = "#0b5394", "#c85200"
"""Apart for every kind of colour vision, and of different darkness, so that they stay apart in grey print."""

BAND = "#e3ebf4"

LEAST: Mapping[str, Any] = {"color": BLUE, "linewidth": 1.0, "linestyle": (0, (5, 3))}
"""The line of the pressure that outlets need."""

JOINED: Mapping[str, Any] = {"color": SOFT, "markersize": 5, "markerfacecolor": "white"}
"""Mark of a far end that joins another pipe."""

MARGIN = 10.0
"""Free of everything, all around. [points]"""

EDGE = 1.0
"""The same where a page puts words and space around the picture. [points]"""

TITLE, LINE, FOOTER = 24.0, 12.0, 12.0
"""Heights of the title, of a line that says what is shown, and of the footer. [points]"""

MOST_LINES = 2
"""Lines that say what is shown; what is longer is cut. [-]"""

AROUND_AXES = 75.0
"""Beside the axes, about: margins and the labels of one axis. [points]"""

BESIDE_WORDS = 36.0
"""Sign and spaces beside the words of a column of a legend. [points]"""

DRAWING = threading.Lock()
"""The plotting library must not draw in two threads at a time."""


@dataclass(frozen=True, slots=True)
class Room:
    """What is kept free of the axes. [points]"""

    around: float
    above: float = 0.0
    below: float = 0.0


@dataclass(frozen=True, slots=True)
class Caption:
    """What is written around a picture."""

    name: str
    shows: str
    below: str
    tells: str  # the figures to be read off it, for who has it read aloud


SIGNED: Mapping[str, Mapping[str, None]] = MappingProxyType(
    {"png": {"Software": None}, "svg": dict.fromkeys(("Date", "Creator", "Format", "Type"))}
)
"""What the plotting library would write into a file of each format about itself and the day, and is told not to."""


def picture(draw: Callable[[Figure], None], caption: Caption, size: Size, form: str) -> bytes:
    """A picture in a format, its axes filled by `draw`. Equal arguments give equal bytes."""
    with DRAWING:
        shows = wrapped(caption.shows, size.points - 2 * MARGIN, 9, MOST_LINES)
        room = Room(MARGIN, TITLE + LINE * len(shows), FOOTER) if size.captioned else Room(EDGE)
        figure = Figure(figsize=size.inches, layout=_layout(size, room))
        if size.captioned:
            _write_around(figure, caption, shows, size)
        draw(figure)
        target = BytesIO()
        figure.savefig(target, format=form, dpi=size.dpi, metadata=dict(SIGNED[form]))
        drawing = target.getvalue()
    return _readable(drawing.decode(), caption).encode() if form == "svg" else drawing


WRITTEN = "written "

MARKED = re.compile(rf"""<g id=(["']){WRITTEN}(.*?)\1>(\s*<text[^>]*>)[^<]*""")
"""A text that was drawn with marks, in an SVG: what was written, what leads up to the marks, the marks."""


def keep_written(artist: Text, text: str) -> None:
    """Let an SVG have what the typeface lacks of the text that was drawn by `artist`: who opens it may have it."""
    if drawable(text) != text:
        artist.set_gid(WRITTEN + text)


def _readable(drawing: str, caption: Caption) -> str:
    """An SVG with its texts as they were written, and told in words to those who do not see it."""
    drawing = MARKED.sub(r"<g>\3\2", drawing).replace("<svg", '<svg role="img"', 1)
    begins = drawing.index(">", drawing.index("<svg")) + 1
    title, tells = (escape(written(text)) for text in (f"{caption.name}: {caption.shows}", caption.tells))
    return f"{drawing[:begins]}\n <title>{title}</title>\n <desc>{tells}</desc>{drawing[begins:]}"


def _write_around(figure: Figure, caption: Caption, shows: Sequence[str], size: Size) -> None:
    wide, high = (inch * POINTS_PER_INCH for inch in size.inches)
    room, left = wide - 2 * MARGIN, MARGIN / wide
    top = high - MARGIN
    name = fitted(caption.name, room, 11, bold=True)
    title = figure.text(left, top / high, readable(name, "zone"), size=11, weight="bold", va="top")
    keep_written(title, name)
    for number, line in enumerate(shows):
        figure.text(left, (top - 16 - LINE * number) / high, line, size=9, color=SOFT, va="top")
    figure.text(left, MARGIN / high, fitted(caption.below, room, 7), size=7, color=SOFT, va="bottom")


def _layout(size: Size, room: Room) -> ConstrainedLayoutEngine:
    """The axes with all that belongs to them within the room kept free around them."""
    wide, high = (inch * POINTS_PER_INCH for inch in size.inches)
    left, bottom, top = room.around, room.around + room.below, room.around + room.above
    rect = (left / wide, bottom / high, 1 - 2 * left / wide, 1 - (top + bottom) / high)
    return ConstrainedLayoutEngine(rect=rect, w_pad=0.02, h_pad=0.03)


def settle(figure: Figure) -> None:
    """Give axes and legends their places, so that what is drawn next can be fitted to them."""
    engine = figure.get_layout_engine()
    if engine is not None:
        engine.execute(figure)


def legend_above(axes: Axes, size: Size, handles: Sequence[Artist] | None = None, *, beside: float = 0.0) -> None:
    """A legend over the axes, in as many columns as there is room for; `beside` stands right of them. [points]"""
    shown = list(handles) if handles is not None else axes.get_legend_handles_labels()[0]
    words = [text_width(str(handle.get_label()), LEGEND_TYPE) for handle in shown]
    room = size.points - AROUND_AXES - beside
    columns = next((count for count in range(len(words), 1, -1) if _legend_width(words, count) <= room), 1)
    place: dict[str, Any] = {"loc": "lower left", "bbox_to_anchor": (0, 1), "ncols": columns, "borderaxespad": 0.2}
    axes.legend(handles=shown, handlelength=1.6, columnspacing=1.6, **place)


def _legend_width(words: Sequence[float], columns: int) -> float:
    """Width of a legend whose words have these widths, filled column by column. [points]"""
    return float(sum(part.max() + BESIDE_WORDS for part in np.array_split(np.array(words), columns)))


def critical_outlet(document: Mapping[str, Any], room: float = np.inf) -> str:
    """The outlet with the least to spare in words, in a legend no wider than `room`. [points]"""
    units, outlet = document["units"], document["critical_outlet"]
    place = f"{outlet['run']} at {rounded(outlet['at'])} {units['length']}"
    tube = " behind its small tube" if document["behind_tube"] else ""
    told = f"critical outlet, {rounded(outlet['pressure'])} {units['pressure']}{tube}: {place}"
    return fitted(told, room, LEGEND_TYPE)
