"""Pressure and flow along every pipe, over the distance from the zone inlet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.collections import LineCollection
from matplotlib.figure import Figure
from numpy.typing import NDArray

from service.render.pictures.canvas import (
    AROUND_AXES,
    BAND,
    BESIDE_WORDS,
    BLUE,
    FAINT,
    INK,
    LEAST,
    SOFT,
    Caption,
    critical_outlet,
    legend_above,
    picture,
)
from service.render.pictures.lettering import drawable, text_width
from service.render.plot import Size
from service.units.sentence import figure as rounded

Floats = NDArray[np.float64]

MOST_LINES = 40
"""Pipes drawn one by one beside the way to the critical outlet; of more, the range they lie in is drawn. [-]"""

FRICTION = {"darcy_weisbach": "Darcy–Weisbach", "hazen_williams": "Hazen–Williams"}

ACROSS = 400
"""Distances at which the range is looked up. [-]"""


@dataclass(frozen=True, slots=True)
class Line:
    """Pressure and flow along one pipe, by distance from the zone inlet."""

    run: str
    distance: Floats
    pressure: Floats
    flow: Floats


@dataclass(frozen=True, slots=True)
class Profile:
    """What the picture shows, in the caller's units."""

    lines: Sequence[Line]  # every pipe
    way: Sequence[Line]  # from the zone inlet to the critical outlet, each pipe as far as it is on the way
    critical_at: float  # distance of the critical outlet from the zone inlet


def profile_of(document: Mapping[str, Any]) -> Profile:
    """The lines of a trace."""
    pipes = document["pipes"]
    starts: list[float] = []
    for pipe in pipes:
        starts.append(pipe["from_at"] + (starts[pipe["parent"]] if "parent" in pipe else 0.0))
    lines = [_line(pipe, start) for pipe, start in zip(pipes, starts, strict=True)]
    critical = document["critical_outlet"]
    number = next(number for number, pipe in enumerate(pipes) if pipe["run"] == critical["run"])
    critical_at = starts[number] + critical["at"]
    way = [lines[number]]
    while "parent" in pipes[number]:
        leaves_at, number = starts[number], pipes[number]["parent"]
        way.append(_until(lines[number], leaves_at))
    return Profile(lines, way[::-1], critical_at)


def _line(pipe: Mapping[str, Any], start: float) -> Line:
    at, pressure, flow = (np.array([place[key] for place in pipe["places"]]) for key in ("at", "pressure", "flow"))
    return Line(pipe["run"], start + at, pressure, np.abs(flow))


def _until(line: Line, end: float) -> Line:
    """The part of a line up to a distance, ended there."""
    kept = line.distance < end
    pressure = np.append(line.pressure[kept], np.interp(end, line.distance, line.pressure))
    beyond = min(int(np.searchsorted(line.distance, end)), len(line.flow) - 1)
    return Line(line.run, np.append(line.distance[kept], end), pressure, np.append(line.flow[kept], line.flow[beyond]))


def draw(document: Mapping[str, Any], size: Size, form: str) -> bytes:
    """The picture."""
    shown, units, critical = profile_of(document), document["units"], document["critical_outlet"]
    spare = critical["margin"]
    friction = FRICTION[document["method"]["friction"]]
    told = f"{rounded(abs(spare))} {units['pressure']} {'to spare' if spare >= 0 else 'too little'}"
    caption = Caption(
        document["name"],
        f"Pressure and flow from the inlet to the critical outlet, which has {told}",
        f"endline {document['version']} · {document['state']} · friction by {friction}",
    )

    def fill(figure: Figure) -> None:
        above, below = figure.subplots(2, 1, sharex=True, height_ratios=[3, 1.25])
        _pressures(above, shown, document)
        _label(above, shown, document, size.points - AROUND_AXES)
        legend_above(above, size)
        _others(below, shown, [_steps(line) for line in shown.lines])
        way = np.concatenate([_steps(line) for line in shown.way])
        below.plot(way[:, 0], way[:, 1], color=INK, linewidth=2)
        below.set_ylim(bottom=0)
        below.set_ylabel(f"flow, {units['flow']}")
        below.set_xlabel(f"distance from the inlet along the pipe, {units['length']}")
        below.set_xlim(0, _farthest(shown.lines) * 1.01)
        figure.align_ylabels()

    return picture(fill, caption, size, form)


def _pressures(axes: Axes, shown: Profile, document: Mapping[str, Any]) -> None:
    units, band = document["units"], document["band"]
    highest, lowest = (end(float(end(line.pressure)) for line in shown.lines) for end in (max, min))
    top = max(highest * 1.18, band["minimum"] * 1.3)
    working = f"outlets work from {rounded(band['minimum'])} to {rounded(band['maximum'])} {units['pressure']}"
    axes.axhspan(band["minimum"], min(band["maximum"], top), color=BAND, linewidth=0, zorder=0, label=working)
    axes.axhline(band["minimum"], zorder=1, **LEAST)
    _others(axes, shown, [np.column_stack((line.distance, line.pressure)) for line in shown.lines], label=True)
    distance, pressure = (np.concatenate([getattr(line, of) for line in shown.way]) for of in ("distance", "pressure"))
    axes.plot(distance, pressure, color=INK, linewidth=2, label="way to the critical outlet", solid_capstyle="butt")
    axes.set_ylim(min(0.0, lowest * 1.1), top)
    if lowest < 0:
        axes.axhline(0, color=SOFT, linewidth=0.8)
    axes.set_ylabel(f"pressure, {units['pressure']}")
    axes.tick_params(labelbottom=False)


def _label(axes: Axes, shown: Profile, document: Mapping[str, Any], room: float) -> None:
    """Name the runs on the way, where their names fit, and the critical outlet; the axes are `room` points wide."""
    scale = room / _farthest(shown.lines)
    above = axes.get_xaxis_transform()
    for number, line in enumerate(shown.way):
        start, end = float(line.distance[0]), float(line.distance[-1])
        if number:
            axes.axvline(start, color=SOFT, linewidth=0.6, linestyle=":", zorder=1)
        name = drawable(line.run)
        if text_width(name, 8) < (end - start) * scale - 8:
            axes.text((start + end) / 2, 0.985, name, transform=above, size=8, color=SOFT, ha="center", va="top")
    told = critical_outlet(document, room - BESIDE_WORDS)
    style: dict[str, Any] = {"color": BLUE, "markersize": 7, "markeredgecolor": "white", "linestyle": "none"}
    axes.plot([shown.critical_at], [document["critical_outlet"]["pressure"]], "D", label=told, zorder=4, **style)


def _farthest(lines: Sequence[Line]) -> float:
    return max(float(line.distance[-1]) for line in lines)


def _steps(line: Line) -> Floats:
    """Flow over distance as corners: each pipe carries its flow up to the place where it is drawn off. (k, 2)"""
    return np.column_stack((np.repeat(line.distance, 2)[:-1], np.repeat(line.flow, 2)[1:]))


def _others(axes: Axes, shown: Profile, paths: Sequence[Floats], *, label: bool = False) -> None:
    """Every pipe, one by one or as the range in which they lie; a path has distances and values. (k, 2)"""
    if len(shown.lines) == len(shown.way):
        return
    if len(paths) <= MOST_LINES:
        told = "other runs" if label else None
        axes.add_collection(LineCollection(list(paths), colors=FAINT, linewidths=1.0, label=told, zorder=1.5))
        axes.autoscale_view()
        return
    across = np.linspace(0.0, _farthest(shown.lines), ACROSS)
    least, most = envelope(paths, across)
    told = f"range of all {len(paths)} runs" if label else None
    axes.fill_between(across, least, most, color=FAINT, linewidth=0.8, label=told, zorder=1.5)


def envelope(paths: Sequence[Floats], across: Floats) -> tuple[Floats, Floats]:
    """Least and greatest value of all paths (k, 2) at each distance (n,), NaN where there is none."""
    least, most = np.full(len(across), np.inf), np.full(len(across), -np.inf)
    for path in paths:
        here = (across >= path[0, 0]) & (across <= path[-1, 0])
        read = np.interp(across[here], path[:, 0], path[:, 1])
        least[here] = np.minimum(least[here], read)
        most[here] = np.maximum(most[here], read)
    nowhere = least > most
    least[nowhere] = most[nowhere] = np.nan
    return least, most
