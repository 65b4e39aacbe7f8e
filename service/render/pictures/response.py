"""What the outlets get and what the zone draws, over the pressure of the supply, with the thresholds marked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from numpy.typing import NDArray

from service.render.pictures.canvas import (
    AROUND_AXES,
    BAND,
    BLUE,
    INK,
    LEAST,
    ORANGE,
    SOFT,
    Caption,
    legend_above,
    picture,
)
from service.render.pictures.lettering import text_width
from service.render.plot import Size
from service.render.rungs import rungs
from service.units.sentence import figure as rounded

Floats = NDArray[np.float64]

STATES = "lowest outlet and flow: filter due for cleaning · highest outlet: filter clean"

BELOW_MARK = 0.06
"""Room below the mark of a supply whose water does not reach every outlet, over the height of the axes. [-]"""

KEY_TYPE, BETWEEN_COLUMNS = 7.5, 14.0
"""Type of the key of the thresholds, and the space between its columns where it has room for two. [points]"""


@dataclass(frozen=True, slots=True)
class Curves:
    """The zone over supply pressure, in the caller's units."""

    supply: Floats
    flow: Floats
    lowest: Floats
    highest: Floats


@dataclass(frozen=True, slots=True)
class Mark:
    """A supply pressure of interest."""

    pressure: float
    number: int
    says: str

    def told(self, unit: str) -> str:
        """Number, pressure and what it says, for the key."""
        return f"{self.number}\N{EN SPACE}{rounded(self.pressure)} {unit}: {self.says}"


def curves_of(rows: Sequence[Mapping[str, float]]) -> Curves:
    """The curves of a ladder."""
    names = ("supply_pressure", "flow", "lowest_pressure", "highest_pressure")
    return Curves(*(np.array([row[name] for row in rows]) for name in names))


def marks_of(document: Mapping[str, Any]) -> list[Mark]:
    """The thresholds by rising pressure, numbered from 1."""
    found = [rung for rung in rungs(document) if not rung.is_supply]
    return [Mark(rung.pressure, number, rung.says) for number, rung in enumerate(found, 1)]


def draw(document: Mapping[str, Any], size: Size, form: str) -> bytes:
    """The picture."""
    units, supply = document["units"], document["supply_pressure"]
    marks = marks_of(document)
    caption = Caption(
        document["name"],
        "Pressure of the lowest outlet (line) up to the highest (shaded), and flow, as the supply rises",
        f"endline {document['version']} · {STATES}",
        "; ".join([_this_supply(document), *(mark.told(units["pressure"]) for mark in marks)]),
    )
    without = curves_of(document["without_regulator"])
    regulated = curves_of(document["with_regulator"]) if "with_regulator" in document else None

    def fill(figure: Figure) -> None:
        above, below = figure.subplots(2, 1, sharex=True, height_ratios=[3, 1.3])
        _pressures(above, document, without, regulated)
        below.plot(without.supply, without.flow, color=ORANGE, linewidth=1.6, linestyle=(0, (4, 2)))
        if regulated is not None:
            below.plot(regulated.supply, regulated.flow, color=INK, linewidth=2)
        below.plot([supply], [document["flow"]], "D", color=BLUE, markersize=7, markeredgecolor="white", zorder=5)
        below.set_xlim(0, float(without.supply[-1]))
        below.set_ylim(0, float(without.flow.max()) * 1.15 or 1.0)
        below.set_xlabel(f"pressure of the supply with no flow, {units['pressure']}")
        below.set_ylabel(f"flow, {units['flow']}")
        _mark(above, below, marks, float(without.supply[-1]), size.points - AROUND_AXES)
        legend_above(above, size)
        _key(figure, marks, float(without.supply[-1]), units["pressure"], size)
        figure.align_ylabels()

    return picture(fill, caption, size, form)


def _pressures(axes: Axes, document: Mapping[str, Any], without: Curves, regulated: Curves | None) -> None:
    unit, band = document["units"]["pressure"], document.get("band")
    top = float(without.highest.max()) * 1.12 or 1.0
    if band is not None:
        working = f"outlets work from {rounded(band['minimum'])} to {rounded(band['maximum'])} {unit}"
        axes.axhspan(band["minimum"], min(band["maximum"], top), color=BAND, linewidth=0, zorder=0, label=working)
        axes.axhline(band["minimum"], zorder=1, **LEAST)
    axes.fill_between(without.supply, without.lowest, without.highest, color=ORANGE, alpha=0.18, linewidth=0)
    axes.plot(without.supply, without.lowest, color=ORANGE, linewidth=1.6, linestyle=(0, (4, 2)), label="no regulator")
    if regulated is not None:
        kind = "suggested regulator" if document["suggested"] else "regulator"
        told = f"{kind} set at {rounded(document['set_pressure'])} {unit}"
        axes.fill_between(regulated.supply, regulated.lowest, regulated.highest, color=INK, alpha=0.18, linewidth=0)
        axes.plot(regulated.supply, regulated.lowest, color=INK, linewidth=2, label=told)
    here, supply = document["lowest_outlet"]["pressure"], document["supply_pressure"]
    style: dict[str, Any] = {"color": BLUE, "markersize": 7, "markeredgecolor": "white", "zorder": 5}
    axes.plot([supply], [here], "D", label=_this_supply(document), linestyle="none", **style)
    axes.set_ylim(min(0.0, here - BELOW_MARK * top), top)
    axes.set_ylabel(f"pressure, {unit}")
    axes.tick_params(labelbottom=False)


def _this_supply(document: Mapping[str, Any]) -> str:
    unit = document["units"]["pressure"]
    here, supply = document["lowest_outlet"]["pressure"], document["supply_pressure"]
    return f"this supply, {rounded(supply)} {unit}: lowest outlet {rounded(here)} {unit}"


@dataclass(frozen=True, slots=True)
class Box:
    """Numbers of thresholds so close to each other that one box holds them. In points along the axis."""

    numbers: tuple[int, ...]
    first: float
    last: float

    @property
    def text(self) -> str:
        """What stands in it, as the lines under it from left to right."""
        return ", ".join(map(str, self.numbers))

    @property
    def ends(self) -> tuple[float, float]:
        """Its left and right end, in the middle of its lines."""
        middle, half = (self.first + self.last) / 2, text_width(self.text, KEY_TYPE) / 2 + 4
        return middle - half, middle + half


def boxes_of(marks: Sequence[Mark], scale: float) -> list[Box]:
    """A box for every threshold, or for several whose boxes would touch; `scale` is in points over pressure."""
    boxes: list[Box] = []
    for mark in marks:
        box = Box((mark.number,), mark.pressure * scale, mark.pressure * scale)
        while boxes and boxes[-1].ends[1] > box.ends[0]:
            before = boxes.pop()
            box = Box(before.numbers + box.numbers, before.first, box.last)
        boxes.append(box)
    return boxes


def _mark(above: Axes, below: Axes, marks: Sequence[Mark], farthest: float, room: float) -> None:
    """A line at each threshold, its number on top."""
    scale = room / farthest
    shown = [mark for mark in marks if mark.pressure <= farthest]
    for mark in shown:
        for axes in (above, below):
            axes.axvline(mark.pressure, color=SOFT, linewidth=0.9, linestyle=(0, (1, 1.5)), zorder=1)
    for box in boxes_of(shown, scale):
        left, right = box.ends
        middle = (left + right) / 2
        above.annotate(
            box.text,
            (middle / scale, 1.0),
            (max(-left, 0.0) - max(right - room, 0.0), -8),
            xycoords=above.get_xaxis_transform(),
            textcoords="offset points",
            size=KEY_TYPE,
            ha="center",
            va="center",
            bbox={"boxstyle": "round,pad=0.25", "facecolor": "white", "edgecolor": SOFT, "linewidth": 0.7},
            zorder=6,
        )


def _key(figure: Figure, marks: Sequence[Mark], farthest: float, unit: str, size: Size) -> None:
    """What the numbers mean."""
    lines = [mark.told(unit) + ("" if mark.pressure <= farthest else " (beyond the picture)") for mark in marks]
    half, room = -(-len(lines) // 2), size.points - AROUND_AXES
    columns = [lines[:half], lines[half:]]
    wide = [max((text_width(line, KEY_TYPE) for line in column), default=0.0) for column in columns]
    second = min(max(room / 2, wide[0] + BETWEEN_COLUMNS), room - wide[1])
    if second < wide[0] + BETWEEN_COLUMNS:
        columns = [lines]
    below: dict[str, Any] = {
        "xycoords": "axes fraction",
        "textcoords": "offset points",
        "va": "top",
        "linespacing": 1.5,
    }
    for column, at in zip(columns, (0.0, second), strict=False):
        place = (at / room, 0)
        figure.axes[1].annotate("\n".join(column), place, (0, -36), size=KEY_TYPE, annotation_clip=False, **below)
