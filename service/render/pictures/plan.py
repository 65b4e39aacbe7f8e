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
from service.render.plot import Size
from service.units.sentence import figure as rounded

Floats = NDArray[np.float64]

COLOURS = ListedColormap(mpl.colormaps["cividis"](np.linspace(0.0, 0.93, 256)))
"""From dark at low pressure to light at high: told apart by every kind of colour vision, and in grey. Its lightest end,
which would be lost on white paper, is left out."""

CLASSES = 7
"""Most classes of pressure. [-] More shades than this cannot be matched to a legend by eye."""

FINEST = 0.05
"""Narrowest range of pressures that is told apart, over the highest. [-]"""

WIDE, NARROW = 4.5, 2.5
"""Lines of pipes without outlets and with outlets. [points]"""


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
    joints: Floats  # (j, 2, 2) from the far end of a pipe to the place that it joins
    critical: Floats  # (2,)


def plan_of(document: Mapping[str, Any]) -> Plan:
    """The sketch of a trace."""
    pipes = document["pipes"]
    courses, true = courses_of(pipes)
    thin = min(1.0, 60 / len(pipes)) ** 0.5
    bounds = classes(np.array([place["pressure"] for pipe in pipes for place in pipe["places"]]))
    stretches, pressures, widths, joints = [], [], [], []
    for pipe, course in zip(pipes, courses, strict=True):
        at, pressure = (np.array([place[key] for place in pipe["places"]]) for key in ("at", "pressure"))
        points, distances = course.corners(at)
        middle = np.interp((distances[:-1] + distances[1:]) / 2, at, pressure)
        changes = np.flatnonzero(np.diff(np.digitize(middle, bounds))) + 1
        for first, last in pairwise([0, *changes.tolist(), len(middle)]):
            stretches.append(points[first : last + 1])
            pressures.append(float(middle[first:last].mean()))
            widths.append((NARROW if pipe["outlets"] else WIDE) * max(thin, 0.25))
        if "joins" in pipe:
            joints.append((points[-1], courses[pipe["joins"]["pipe"]].at(pipe["joins"]["at"])))
    critical = document["critical_outlet"]
    number = next(number for number, pipe in enumerate(pipes) if pipe["run"] == critical["run"])
    return Plan(
        courses=courses,
        true=true,
        bounds=bounds,
        stretches=stretches,
        pressure=np.array(pressures),
        width=np.array(widths),
        joints=np.array(joints).reshape(-1, 2, 2),
        critical=courses[number].at(critical["at"]),
    )


def classes(pressure: Floats) -> Floats:
    """Bounds of even classes, at round figures, that hold all the pressures."""
    low, high = float(pressure.min()), float(pressure.max())
    least = max(FINEST * max(abs(low), abs(high)), 1e-9)
    if high - low < least:
        low, high = low - least / 2, high + least / 2
    ticks = MaxNLocator(nbins=CLASSES, steps=[1, 2, 2.5, 5, 10], min_n_ticks=3).tick_values(low, high)
    bounds = np.array(ticks, dtype=np.float64)
    step = bounds[1] - bounds[0]
    kept: Floats = bounds[(bounds > low - step) & (bounds < high + step)]
    return kept


def draw(document: Mapping[str, Any], size: Size, form: str) -> bytes:
    """The picture."""
    shown, units = plan_of(document), document["units"]
    told = "distances are true" if shown.true else "not to scale: pipes are drawn apart"
    caption = Caption(
        document["name"],
        f"Sketch of the pipes with the pressure in them; {told}, directions are not the site's",
        f"endline {document['version']} · {document['state']}",
    )

    def fill(figure: Figure) -> None:
        axes = figure.subplots()
        bounds, stretches = shown.bounds, list(shown.stretches)
        norm = BoundaryNorm(bounds, COLOURS.N)
        # A dark edge, so that the lightest class stands out from the paper too.
        axes.add_collection(LineCollection(stretches, linewidths=shown.width + 0.8, colors=SOFT, zorder=2))
        pipes = LineCollection(stretches, linewidths=shown.width, cmap=COLOURS, norm=norm, zorder=3)
        pipes.set_array(shown.pressure)
        axes.add_collection(pipes)
        apart = shown.joints[np.abs(shown.joints[:, 0] - shown.joints[:, 1]).max(axis=1) > _slack(shown)]
        if len(apart):
            told = "one place: the end of a pipe and where it joins"
            axes.add_collection(
                LineCollection(list(apart), linewidths=0.9, colors=INK, linestyles=":", zorder=1, label=told)
            )
        legend = figure.colorbar(pipes, ax=axes, ticks=bounds, spacing="proportional", aspect=32, pad=0.015)
        legend.set_label(f"pressure, {units['pressure']}")
        legend.ax.set_yticklabels([f"{bound:g}" for bound in np.round(bounds, 6)])
        _frame(axes, shown, units["length"])
        _mark(axes, shown, document, size.points - AROUND_AXES - SCALE - BESIDE_WORDS)
        legend_above(axes, size, beside=SCALE)

    return picture(fill, caption, size, form)


def _slack(shown: Plan) -> float:
    """Distance on the sketch that cannot be seen."""
    return 1e-3 * float(np.ptp(np.concatenate(shown.stretches), axis=0).max())


def _frame(axes: Axes, shown: Plan, unit: str) -> None:
    ends = np.concatenate(shown.stretches)
    low, high = ends.min(axis=0), ends.max(axis=0)
    room = np.maximum((high - low) * 0.06, (high - low).max() * 0.02)
    axes.set_xlim(low[0] - room[0], high[0] + room[0])
    axes.set_ylim(low[1] - room[1] * 2, high[1] + room[1] * 2)
    axes.grid(visible=False)
    if shown.true:
        axes.set_xlabel(f"distance, {unit}")
        axes.set_ylabel(f"distance, {unit}")
        if low[1] == high[1]:
            axes.set_yticks([0.0])
    else:
        axes.set_xticks([])
        axes.set_yticks([])
        for side in ("left", "bottom"):
            axes.spines[side].set_visible(False)


def _mark(axes: Axes, shown: Plan, document: Mapping[str, Any], room: float) -> None:
    """The zone inlet and the critical outlet, told in the legend so that no words lie upon pipes."""
    inlet = f"zone inlet, {rounded(document['inlet_pressure'])} {document['units']['pressure']}"
    style: dict[str, Any] = {"markersize": 9, "markeredgecolor": "white", "linestyle": "none"}
    axes.plot(*shown.courses[0].start, "s", color=INK, label=inlet, zorder=5, **style)
    axes.plot(*shown.critical, "D", color=BLUE, label=critical_outlet(document, room), zorder=6, **style)
