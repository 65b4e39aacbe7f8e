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
    JOINED,
    SOFT,
    Caption,
    critical_outlet,
    legend_above,
    picture,
    settle,
)
from service.render.pictures.courses import Course, courses_of
from service.render.pictures.lettering import text_width
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

BETWEEN_FIGURES = 40.0
"""Least space between the figures on an axis. [points]"""

SEEN = 15.0
"""Height or width of the sketch that deserves an axis. [points]"""

BAR = 12.0
"""Height of a picture over how many times higher than wide its scale of pressures is. [points]"""

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
        points, distances = course.corners(np.union1d(at, crossings(at, pressure, bounds[1:-1])))
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


def crossings(at: Floats, pressure: Floats, bounds: Floats) -> Floats:
    """Distances along a pipe at which its pressure passes from one class to the next, in no order.

    >>> crossings(np.array([0.0, 50.0, 60.0]), np.array([20.0, 10.0, 10.0]), np.array([12.0, 16.0]))
    array([40., 20.])
    """
    before, behind = pressure[:-1], pressure[1:]
    found = [np.empty(0)]
    for bound in bounds.tolist():
        (where,) = np.nonzero((before - bound) * (behind - bound) < 0.0)
        part = (bound - before[where]) / (behind[where] - before[where])
        found.append(at[where] + part * (at[where + 1] - at[where]))
    return np.concatenate(found)


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
        f"{_inlet(document)}; {critical_outlet(document)}; {_pressures(shown, units['pressure'])}",
    )

    def fill(figure: Figure) -> None:
        axes = figure.subplots()
        apart = shown.joints[np.abs(shown.joints[:, 0] - shown.joints[:, 1]).max(axis=1) > _slack(shown)]
        if len(apart):
            told = "one place: the end of a pipe and where it joins"
            for joint in apart:
                (drawn,) = axes.plot(*joint.T, "o:", linewidth=0.9, zorder=4, **JOINED)
            drawn.set_label(told)
        beside = _pipes(figure, axes, shown, units["pressure"], size)
        _mark(axes, shown, document, size.points - AROUND_AXES - beside - BESIDE_WORDS)
        legend_above(axes, size, beside=beside)
        _frame(figure, axes, shown, units["length"])
        _name(figure, axes, shown)

    return picture(fill, caption, size, form)


def _pipes(figure: Figure, axes: Axes, shown: Plan, unit: str, size: Size) -> float:
    """The pipes in the colours of their pressures, and what the colours mean; the room that takes beside. [points]"""
    stretches, bounds = list(shown.stretches), shown.bounds
    # A dark edge, so that the lightest class stands out from the paper too.
    axes.add_collection(LineCollection(stretches, linewidths=shown.width + 0.8, colors=SOFT, zorder=2))
    pipes = LineCollection(stretches, linewidths=shown.width, cmap=COLOURS, zorder=3)
    axes.add_collection(pipes)
    ends = [rounded(bound) for bound in bounds]
    if len(bounds) == 2:
        pipes.set_color(COLOURS(ONE_CLASS))
        pipes.set_label(_pressures(shown, unit))
        return 0.0
    pipes.set_norm(BoundaryNorm(bounds, COLOURS.N))
    pipes.set_array(shown.pressure)
    slender = size.inches[1] * POINTS_PER_INCH / BAR
    scale = figure.colorbar(pipes, ax=axes, ticks=bounds, spacing="proportional", aspect=slender, pad=0.015)
    scale.set_label(f"pressure, {unit}")
    scale.ax.set_yticklabels(ends)
    return SCALE


def _pressures(shown: Plan, unit: str) -> str:
    return f"all pipes: {' to '.join(dict.fromkeys(rounded(bound) for bound in shown.bounds[[0, -1]]))} {unit}"


def _inlet(document: Mapping[str, Any]) -> str:
    return f"zone inlet, {rounded(document['inlet_pressure'])} {document['units']['pressure']}"


def _slack(shown: Plan) -> float:
    """Distance on the sketch that cannot be seen."""
    return 1e-3 * float(np.ptp(np.concatenate(shown.stretches), axis=0).max())


def _frame(figure: Figure, axes: Axes, shown: Plan, unit: str) -> None:
    """Axes that measure the sketch from its lower left corner, with room for names; equal ones where it is true."""
    axes.grid(visible=False)
    axes.set(xticks=[], yticks=[])
    if shown.true:
        axes.set(xlabel=f"distance, {unit}", ylabel=f"distance, {unit}")
    else:
        axes.spines[["left", "bottom"]].set_visible(False)
    before, behind = _room_of_names(shown)
    ends = np.concatenate(shown.stretches)
    low, size = ends.min(axis=0), np.ptp(ends, axis=0)
    for _ in range(2):  # the figures on the axes take room themselves, which changes how far they may be apart
        settle(figure)
        room = np.array(axes.bbox.size) * POINTS_PER_INCH / figure.dpi
        scale = np.maximum(size, 1e-3 * size.max()) / np.maximum(room - before - behind, room / 3)
        if shown.true:
            scale[:] = scale.max()
            _measure(axes, low, size, scale)
        spare = (room - before - behind - size / scale) / 2
        least, most = low - (before + spare) * scale, low + size + (behind + spare) * scale
        axes.set(xlim=(least[0], most[0]), ylim=(least[1], most[1]))
    for side, at in zip(("left", "bottom"), (low - before * scale).tolist(), strict=True):
        axes.spines[side].set_position(("data", at))  # beside the sketch, which may be far from the edge
    figure.set_layout_engine("none")


def _measure(axes: Axes, low: Floats, size: Floats, scale: Floats) -> None:
    """Figures from the least place of the sketch to its greatest; `scale` is in lengths over points."""
    for axis, side, first, length, most in zip(
        (axes.xaxis, axes.yaxis), ("bottom", "left"), low.tolist(), size.tolist(), (size / scale).tolist(), strict=True
    ):
        axes.spines[side].set_visible(most > SEEN)
        axis.label.set_visible(most > SEEN)
        if most > SEEN:
            steps = MaxNLocator(nbins=max(int(most / BETWEEN_FIGURES), 1), steps=[1, 2, 2.5, 5, 10])
            figures = [at for at in steps.tick_values(0, length) if at <= length * (1 + 1e-9)]
            figures = figures if len(figures) > 1 else [0.0, length]
            axis.set_ticks([first + at for at in figures], labels=[rounded(at) for at in figures])
            axes.spines[side].set_bounds(first, first + length)


def _room_of_names(shown: Plan) -> tuple[Floats, Floats]:
    """Room for names of pipes before the least and behind the greatest place, across and up. [points]"""
    before, behind = np.full(2, LEAST_ROOM), np.full(2, LEAST_ROOM)
    longest = max((name for name, left in zip(shown.names, shown.left, strict=True) if not left), key=len)
    needs = min(text_width(longest, TYPE), LONGEST) + LEAST_ROOM
    for course, left in zip(shown.courses, shown.left, strict=True):
        if not left:
            behind[course.heading > 0.5] = needs
            before[course.heading < -0.5] = needs
    return before, behind


def _name(figure: Figure, axes: Axes, shown: Plan) -> None:
    """The names of the pipes where they find room, now that it is settled where all else stands."""
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
    style: dict[str, Any] = {"markersize": 9, "markeredgecolor": "white", "linestyle": "none"}
    axes.plot(*shown.courses[0].start, "s", color=INK, label=_inlet(document), zorder=5, **style)
    axes.plot(*shown.critical, "D", color=BLUE, label=critical_outlet(document, room), zorder=6, **style)
