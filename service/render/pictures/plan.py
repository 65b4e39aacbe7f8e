"""A sketch of the pipes of a zone, coloured by the pressure in them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import matplotlib as mpl
import numpy as np
from matplotlib.axes import Axes
from matplotlib.collections import LineCollection
from matplotlib.colors import BoundaryNorm, ListedColormap
from matplotlib.figure import Figure
from matplotlib.ticker import MaxNLocator
from numpy.typing import NDArray

from service.render.pictures.canvas import (
    AROUND_AXES,
    BESIDE_WORDS,
    BLUE,
    INK,
    SOFT,
    Caption,
    critical_outlet,
    legend_above,
    picture,
)
from service.render.pictures.courses import Course, courses_of
from service.render.pictures.lettering import drawable, text_width
from service.render.pictures.names import LONGEST, TYPE, Pipes, placed
from service.render.plot import POINTS_PER_INCH, Size
from service.units.sentence import figure as rounded

Floats = NDArray[np.float64]

COLOURS = ListedColormap(mpl.colormaps["cividis"](np.linspace(0.0, 0.93, 256)))
"""From dark at low pressure to light at high: told apart by every kind of colour vision, and in grey. Its lightest end,
which would be lost on white paper, is left out."""

CLASSES = 7
"""Most classes of pressure. [-] More shades than this cannot be matched to a legend by eye."""

FINEST = 0.02
"""Narrowest range of pressures that is told apart, over the highest. [-]"""

CLOSEST = 0.5
"""Least width of the first and the last class, over that of the others, so that their bounds can be read. [-]"""

WIDE, NARROW = 4.5, 2.5
"""Lines of pipes without outlets and with outlets. [points]"""


ONE_CLASS = 0.3
"""Shade of pipes that have all about the same pressure. [-]"""

LEAST_ROOM = 17.0
"""Between pipes and the edge of the axes. [points]"""

ABOVE_AND_BELOW = 125.0
"""Title, legend, axis and footer, about. [points]"""

SCALE = 60.0
"""Width of the scale of pressures beside the axes, about. [points]"""


@dataclass(frozen=True, slots=True)
class Plan:
    """What the sketch shows."""

    courses: Sequence[Course]
    true: bool  # whether distances on it are true
    bounds: Floats  # of the classes of pressure, in the caller's units
    stretches: Sequence[Floats]  # (n, 2) corners of each stretch that is drawn in one colour
    pressure: Floats  # (k,) mean of each stretch
    width: Floats  # (k,) of the line [points]
    names: Sequence[str]  # of each pipe
    left: Sequence[bool]  # whether others leave it, for each pipe
    thick: Floats  # (n,) width of each pipe [points]
    joints: Floats  # (j, 2, 2) from the far end of a pipe to the place that it joins
    critical: Floats  # (2,)


def plan_of(document: Mapping[str, Any]) -> Plan:
    """The sketch of a trace."""
    pipes = document["pipes"]
    courses, true = courses_of(pipes)
    thin = min(1.0, 60 / len(pipes)) ** 0.5
    thick = np.array([(NARROW if pipe["outlets"] else WIDE) * max(thin, 0.25) for pipe in pipes])
    bounds = classes(np.array([place["pressure"] for pipe in pipes for place in pipe["places"]]))
    stretches, pressures, widths, joints = [], [], [], []
    for pipe, course, width in zip(pipes, courses, thick.tolist(), strict=True):
        at, pressure = (np.array([place[key] for place in pipe["places"]]) for key in ("at", "pressure"))
        points, distances = course.corners(at)
        middle = np.interp((distances[:-1] + distances[1:]) / 2, at, pressure)
        changes = np.flatnonzero(np.diff(np.digitize(middle, bounds))) + 1
        for first, last in pairwise([0, *changes.tolist(), len(middle)]):
            stretches.append(points[first : last + 1])
            pressures.append(float(middle[first:last].mean()))
            widths.append(width)
        if "joins" in pipe:
            joints.append((points[-1], courses[pipe["joins"]["pipe"]].at(pipe["joins"]["at"])))
    critical = document["critical_outlet"]
    number = next(number for number, pipe in enumerate(pipes) if pipe["run"] == critical["run"])
    parents = {pipe.get("parent") for pipe in pipes}
    return Plan(
        courses=courses,
        true=true,
        bounds=bounds,
        stretches=stretches,
        pressure=np.array(pressures),
        width=np.array(widths),
        names=[pipe["run"] for pipe in pipes],
        left=[number in parents for number in range(len(pipes))],
        thick=thick,
        joints=np.array(joints).reshape(-1, 2, 2),
        critical=courses[number].at(critical["at"]),
    )


def classes(pressure: Floats) -> Floats:
    """Bounds of classes from the least to the greatest pressure, parted at round figures; only the ends if all is one.

    >>> classes(np.array([21.7, 25.0]))
    array([21.7, 22. , 22.5, 23. , 23.5, 24. , 24.5, 25. ])
    """
    low, high = float(pressure.min()), float(pressure.max())
    if high - low <= FINEST * max(abs(low), abs(high)):
        return np.array([low, high])
    round_figures = MaxNLocator(nbins=CLASSES, steps=[1, 2, 2.5, 5, 10]).tick_values(low, high)
    clear = CLOSEST * (round_figures[1] - round_figures[0])
    inner = [bound for bound in round_figures if low + clear < bound < high - clear]
    return np.array([low, *inner, high])


def draw(document: Mapping[str, Any], size: Size, form: str) -> bytes:
    """The picture."""
    shown, units = plan_of(document), document["units"]
    told = "to scale" if shown.true else "not to scale: pipes are drawn apart"
    caption = Caption(
        document["name"],
        f"Sketch of the pipes with the pressure in them; {told}, directions are not the site's",
        f"endline {document['version']} · {document['state']}",
    )

    def fill(figure: Figure) -> None:
        axes = figure.subplots()
        apart = shown.joints[np.abs(shown.joints[:, 0] - shown.joints[:, 1]).max(axis=1) > _slack(shown)]
        if len(apart):
            told = "one place: the end of a pipe and where it joins"
            axes.add_collection(
                LineCollection(list(apart), linewidths=0.9, colors=INK, linestyles=":", zorder=1, label=told)
            )
        beside = _pipes(figure, axes, shown, units["pressure"])
        _mark(axes, shown, document, size.points - AROUND_AXES - beside - BESIDE_WORDS)
        _frame(axes, shown, units["length"], size)
        legend_above(axes, size, beside=beside)
        _name(figure, axes, shown)

    return picture(fill, caption, size, form)


def _pipes(figure: Figure, axes: Axes, shown: Plan, unit: str) -> float:
    """The pipes in the colours of their pressures, and what the colours mean; the room that takes beside. [points]"""
    stretches, bounds = list(shown.stretches), shown.bounds
    # A dark edge, so that the lightest class stands out from the paper too.
    axes.add_collection(LineCollection(stretches, linewidths=shown.width + 0.8, colors=SOFT, zorder=2))
    pipes = LineCollection(stretches, linewidths=shown.width, cmap=COLOURS, zorder=3)
    axes.add_collection(pipes)
    ends = [rounded(bound) for bound in bounds]
    if len(bounds) == 2:
        pipes.set_color(COLOURS(ONE_CLASS))
        pipes.set_label(f"all pipes: {' to '.join(dict.fromkeys(ends))} {unit}")
        return 0.0
    pipes.set_norm(BoundaryNorm(bounds, COLOURS.N))
    pipes.set_array(shown.pressure)
    scale = figure.colorbar(pipes, ax=axes, ticks=bounds, spacing="proportional", aspect=32, pad=0.015)
    scale.set_label(f"pressure, {unit}")
    scale.ax.set_yticklabels(ends)
    return SCALE


def _slack(shown: Plan) -> float:
    """Distance on the sketch that cannot be seen."""
    return 1e-3 * float(np.ptp(np.concatenate(shown.stretches), axis=0).max())


def _frame(axes: Axes, shown: Plan, unit: str, size: Size) -> None:
    """Axes with room for the names behind the ends of pipes; equal in both directions where distances are true."""
    ends = np.concatenate(shown.stretches)
    low, high = ends.min(axis=0), ends.max(axis=0)
    wide = np.array([size.points - AROUND_AXES - SCALE, size.inches[1] * POINTS_PER_INCH - ABOVE_AND_BELOW])
    before, behind = _room_of_names(shown)
    scale = np.maximum(high - low, 1e-3 * (high - low).max()) / np.maximum(wide - before - behind, wide / 3)
    axes.set_xlim(low[0] - before[0] * scale[0], high[0] + behind[0] * scale[0], auto=True)
    axes.set_ylim(low[1] - before[1] * scale[1], high[1] + behind[1] * scale[1], auto=True)
    axes.grid(visible=False)
    if shown.true:
        axes.set_aspect("equal", adjustable="datalim")
        axes.set_xlabel(f"distance, {unit}")
        axes.set_ylabel(f"distance, {unit}")
    else:
        axes.set_xticks([])
        axes.set_yticks([])
        for side in ("left", "bottom"):
            axes.spines[side].set_visible(False)


def _room_of_names(shown: Plan) -> tuple[Floats, Floats]:
    """Room for names of pipes before the least and behind the greatest place, across and up. [points]"""
    before, behind = np.full(2, LEAST_ROOM), np.full(2, LEAST_ROOM)
    longest = max((name for name, left in zip(shown.names, shown.left, strict=True) if not left), key=len)
    needs = min(text_width(drawable(longest), TYPE), LONGEST) + LEAST_ROOM
    for course, left in zip(shown.courses, shown.left, strict=True):
        if not left:
            behind[course.heading > 0.5] = needs
            before[course.heading < -0.5] = needs
    return before, behind


def _name(figure: Figure, axes: Axes, shown: Plan) -> None:
    """The names of the pipes where they find room, once it is settled where all else stands."""
    engine = figure.get_layout_engine()
    if engine is not None:
        engine.execute(figure)
    axes.apply_aspect()
    to_points = POINTS_PER_INCH / figure.dpi

    def points(places: Floats) -> Floats:
        drawn: Floats = axes.transData.transform(places.reshape(-1, 2)) * to_points
        return drawn.reshape(places.shape)

    ends = np.array([(course.start, course.at(course.along[0][-1])) for course in shown.courses])
    pipes = Pipes(shown.names, points(ends), shown.left, shown.thick)
    marks = points(np.array([shown.courses[0].start, shown.critical]))
    style: dict[str, Any] = {"size": TYPE, "ha": "center", "va": "center", "rotation_mode": "anchor", "zorder": 7}
    for name in placed(pipes, marks, np.array(axes.bbox.extents) * to_points):
        x, y = axes.transData.inverted().transform(name.middle / to_points).tolist()
        axes.text(x, y, name.text, rotation=90 if name.upright else 0, in_layout=False, **style)


def _mark(axes: Axes, shown: Plan, document: Mapping[str, Any], room: float) -> None:
    """The zone inlet and the critical outlet, told in the legend so that no words lie upon pipes."""
    inlet = f"zone inlet, {rounded(document['inlet_pressure'])} {document['units']['pressure']}"
    style: dict[str, Any] = {"markersize": 9, "markeredgecolor": "white", "linestyle": "none"}
    axes.plot(*shown.courses[0].start, "s", color=INK, label=inlet, zorder=5, **style)
    axes.plot(*shown.critical, "D", color=BLUE, label=critical_outlet(document, room), zorder=6, **style)
