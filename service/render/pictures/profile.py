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
    JOINED,
    LEAST,
    SOFT,
    Caption,
    critical_outlet,
    legend_above,
    picture,
)
from service.render.pictures.lettering import text_width
from service.render.plot import Size
from service.units.sentence import figure as rounded

Floats = NDArray[np.float64]

MOST_LINES = 40
"""Lines drawn one by one beside the way to the critical outlet; of more, the range they lie in is drawn. [-]"""

FRICTION = {"darcy_weisbach": "Darcy–Weisbach", "hazen_williams": "Hazen–Williams"}

ACROSS = 400
"""Distances at which the range is looked up. [-]"""


BACKWARDS = 5e-3
"""Flow towards the inlet that is shown, over the greatest flow. [-] Less is what a solution leaves over."""


@dataclass(frozen=True, slots=True)
class Line:
    """Pressure and flow along one pipe or a part of it, by distance from the zone inlet."""

    run: str
    distance: Floats
    pressure: Floats
    flow: Floats  # of the pipe that ends at the place, below zero where it runs towards the inlet

    @property
    def span(self) -> tuple[float, float]:
        """Where it starts and where it ends."""
        return float(self.distance[0]), float(self.distance[-1])


@dataclass(frozen=True, slots=True)
class Profile:
    """What the picture shows, in the caller's units."""

    lines: Sequence[Line]  # every pipe
    way: Sequence[Line]  # from the zone inlet to the critical outlet, each pipe as far as it is on the way
    others: Sequence[Line]  # pipes off the way, and what is left of those on it
    joined: Sequence[Line]  # pipes whose far end joins another
    critical_at: float  # distance of the critical outlet from the zone inlet

    @property
    def runs_off_the_way(self) -> int:
        """How many pipes lie off the way. [-]"""
        return len(self.lines) - len(self.way)


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
    # An open end is the end of the line and shown as such; beyond the outlet a closed one leads to somewhere else.
    leaves_at = critical_at if "joins" in pipes[number] else lines[number].span[1]
    way: dict[int, Line] = {}
    others: list[Line] = []
    while True:
        way[number], beyond = _parted(lines[number], leaves_at)
        others += [] if beyond is None else [beyond]
        if "parent" not in pipes[number]:
            break
        leaves_at, number = starts[number], pipes[number]["parent"]
    others += [line for number, line in enumerate(lines) if number not in way]
    joined = [line for pipe, line in zip(pipes, lines, strict=True) if "joins" in pipe]
    return Profile(lines, list(way.values())[::-1], others, joined, critical_at)


def _line(pipe: Mapping[str, Any], start: float) -> Line:
    at, pressure, flow = (np.array([place[key] for place in pipe["places"]]) for key in ("at", "pressure", "flow"))
    return Line(pipe["run"], start + at, pressure, flow)


def _parted(line: Line, at: float) -> tuple[Line, Line | None]:
    """The part of a line up to a distance, and the one beyond unless that is its end."""
    if at >= line.span[1]:
        return line, None
    before, beyond = line.distance < at, line.distance > at
    pressure = np.interp(at, line.distance, line.pressure)
    flow = line.flow[np.searchsorted(line.distance, at)]
    first, rest = (
        Line(line.run, *(np.concatenate(parts) for parts in columns))
        for columns in (
            ((line.distance[before], [at]), (line.pressure[before], [pressure]), (line.flow[before], [flow])),
            (([at], line.distance[beyond]), ([pressure], line.pressure[beyond]), ([flow], line.flow[beyond])),
        )
    )
    return first, rest


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
        f"{critical_outlet(document)}; it needs {rounded(critical['minimum'])} {units['pressure']}",
    )

    def fill(figure: Figure) -> None:
        above, below = figure.subplots(2, 1, sharex=True, height_ratios=[3, 1.25])
        _pressures(above, shown, document)
        _label(above, shown, document, size.points - AROUND_AXES)
        _flows(below, shown, units["flow"])
        legend_above(above, size, [each for axes in (above, below) for each in axes.get_legend_handles_labels()[0]])
        below.set_xlabel(f"distance from the inlet along the pipe, {units['length']}")
        below.set_xlim(0, _farthest(shown.lines) * 1.01)
        figure.align_ylabels()

    return picture(fill, caption, size, form)


def _flows(axes: Axes, shown: Profile, unit: str) -> None:
    _others(axes, shown, [_steps(line) for line in shown.others])
    way = np.concatenate([_steps(line) for line in shown.way])
    axes.plot(way[:, 0], way[:, 1], color=INK, linewidth=2)
    least, most = (end(float(end(line.flow)) for line in shown.lines) for end in (min, max))
    if least < -BACKWARDS * most:
        axes.axhline(0, color=SOFT, linewidth=0.8, label="flow below 0: back towards the inlet")
        axes.margins(y=0.08)
    else:
        axes.set_ylim(bottom=0)
    axes.set_ylabel(f"flow, {unit}")


def _pressures(axes: Axes, shown: Profile, document: Mapping[str, Any]) -> None:
    units, band = document["units"], document["band"]
    highest, lowest = (end(float(end(line.pressure)) for line in shown.lines) for end in (max, min))
    top = max(highest * 1.18, band["minimum"] * 1.3)
    working = f"outlets work from {rounded(band['minimum'])} to {rounded(band['maximum'])} {units['pressure']}"
    axes.axhspan(band["minimum"], min(band["maximum"], top), color=BAND, linewidth=0, zorder=0, label=working)
    axes.axhline(band["minimum"], zorder=1, **LEAST)
    _others(axes, shown, [np.column_stack((line.distance, line.pressure)) for line in shown.others], label=True)
    distance, pressure = (np.concatenate([getattr(line, of) for line in shown.way]) for of in ("distance", "pressure"))
    axes.plot(distance, pressure, color=INK, linewidth=2, label="way to the critical outlet", solid_capstyle="butt")
    told_apart = {line.run for line in (shown.lines if len(shown.others) <= MOST_LINES else shown.way)}
    joined = [line for line in shown.joined if line.run in told_apart]
    if joined:
        ends = np.array([(line.distance[-1], line.pressure[-1]) for line in joined])
        axes.plot(*ends.T, "o", label="far end that joins another run", linestyle="none", zorder=3, **JOINED)
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
        start, end = line.span
        if number:
            axes.axvline(start, color=SOFT, linewidth=0.6, linestyle=":", zorder=1)
        # On the way each run leaves the one before it: its own part of the address tells it.
        for name in (line.run, line.run.rpartition("/")[2]):
            if text_width(name, 8) < (end - start) * scale - 8:
                axes.text((start + end) / 2, 0.985, name, transform=above, size=8, color=SOFT, ha="center", va="top")
                break
    told = critical_outlet(document, room - BESIDE_WORDS)
    style: dict[str, Any] = {"color": BLUE, "markersize": 7, "markeredgecolor": "white", "linestyle": "none"}
    at, pressure = shown.critical_at, document["critical_outlet"]["pressure"]
    axes.plot([at], [pressure], "D", label=told, zorder=4, clip_on=False, **style)  # it may stand on the axis


def _farthest(lines: Sequence[Line]) -> float:
    return max(line.span[1] for line in lines)


def _steps(line: Line) -> Floats:
    """Flow over distance as corners: each pipe carries its flow up to the place where it is drawn off. (k, 2)"""
    return np.column_stack((np.repeat(line.distance, 2)[:-1], np.repeat(line.flow, 2)[1:]))


def _others(axes: Axes, shown: Profile, paths: Sequence[Floats], *, label: bool = False) -> None:
    """What is off the way, one by one or as the range in which it lies; a path has distances and values. (k, 2)"""
    if not paths:
        return
    if len(paths) <= MOST_LINES:
        told = ("other runs" if shown.runs_off_the_way else "rest of the way's runs") if label else None
        axes.add_collection(LineCollection(list(paths), colors=FAINT, linewidths=1.0, label=told, zorder=1.5))
        axes.autoscale_view()
        return
    across = np.linspace(0.0, _farthest(shown.lines), ACROSS)
    least, most = envelope(paths, across)
    told = f"range of {shown.runs_off_the_way} other runs" if label else None
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
