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
    caption = Caption(
        document["name"],
        "Pressure of the lowest outlet (line) up to the highest (shaded), and flow, as the supply rises",
        f"endline {document['version']} · {STATES}",
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
        marks = marks_of(document)
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
    here = document["lowest_outlet"]["pressure"]
    supply = document["supply_pressure"]
    told = f"this supply of {rounded(supply)} {unit}: {rounded(here)} {unit}"
    style: dict[str, Any] = {"color": BLUE, "markersize": 7, "markeredgecolor": "white", "zorder": 5}
    axes.plot([supply], [here], "D", label=told, linestyle="none", **style)
    axes.set_ylim(0, top)
    axes.set_ylabel(f"pressure, {unit}")
    axes.tick_params(labelbottom=False)


def _mark(above: Axes, below: Axes, marks: Sequence[Mark], farthest: float, room: float) -> None:
    """A line at each threshold, its number on top; numbers that would touch stand side by side."""
    scale = room / farthest
    free = -np.inf
    for mark in marks:
        if mark.pressure > farthest:
            continue
        for axes in (above, below):
            axes.axvline(mark.pressure, color=SOFT, linewidth=0.9, linestyle=(0, (1, 1.5)), zorder=1)
        wide = text_width(str(mark.number), 7.5) + 8
        x = max(mark.pressure * scale, free + wide / 2)
        free = x + wide / 2
        above.annotate(
            str(mark.number),
            (mark.pressure, 1.0),
            (x - mark.pressure * scale, -8),
            xycoords=above.get_xaxis_transform(),
            textcoords="offset points",
            size=7.5,
            ha="center",
            va="center",
            bbox={"boxstyle": "round,pad=0.25", "facecolor": "white", "edgecolor": SOFT, "linewidth": 0.7},
            zorder=6,
        )


def _key(figure: Figure, marks: Sequence[Mark], farthest: float, unit: str, size: Size) -> None:
    """What the numbers mean."""
    lines = [f"{mark.number}\N{EN SPACE}{rounded(mark.pressure)} {unit}: {mark.says}" for mark in marks]
    lines = [
        line if mark.pressure <= farthest else f"{line} (beyond the picture)"
        for line, mark in zip(lines, marks, strict=True)
    ]
    half = -(-len(lines) // 2)
    wide = max(text_width(line, KEY_TYPE) for line in lines) + BETWEEN_COLUMNS
    columns = [lines[:half], lines[half:]] if 2 * wide <= size.points - AROUND_AXES else [lines]
    below: dict[str, Any] = {
        "xycoords": "axes fraction",
        "textcoords": "offset points",
        "va": "top",
        "linespacing": 1.5,
    }
    for number, column in enumerate(columns):
        place = (number / len(columns), 0)
        figure.axes[1].annotate("\n".join(column), place, (0, -36), size=KEY_TYPE, annotation_clip=False, **below)
