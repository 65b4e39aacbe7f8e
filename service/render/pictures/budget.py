"""The loss budget as steps that descend from the supply to the critical outlet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Patch

from service.render.pictures.canvas import (
    AROUND_AXES,
    BLUE,
    INK,
    LEAST,
    ORANGE,
    SOFT,
    Caption,
    keep_written,
    legend_above,
    picture,
)
from service.render.pictures.lettering import fitted, readable
from service.render.plot import POINTS_PER_INCH, Size
from service.render.rounding import decimals, fixed
from service.units.sentence import figure as rounded

ROW = 17.0
"""Height that a step needs. [points]"""

AROUND = 120.0
"""Above and below the steps: title, legend, axis, footer. [points]"""

FEWEST_STEPS = 6

NAMES = 0.27
"""Share of the width that names of stages may take. [-]"""

LOST, REGULATED, RAISED, GAINED = "lost on the way", "held back by the regulator", "spent on height", "won from height"

LOOKS: Mapping[str, Mapping[str, Any]] = {
    LOST: {"facecolor": ORANGE, "edgecolor": ORANGE},
    REGULATED: {"facecolor": "white", "edgecolor": SOFT, "hatch": "///"},
    RAISED: {"facecolor": BLUE, "edgecolor": "white", "hatch": "\\\\\\"},
    GAINED: {"facecolor": "white", "edgecolor": BLUE, "hatch": "xxx"},
}
"""Apart by darkness and hatching, so that no colour is needed."""


REMAINS = "#dddddd"


@dataclass(frozen=True, slots=True)
class Step:
    """One stage, in the caller's units."""

    stage: str
    before: float  # pressure that arrives
    loss: float
    climb: float  # pressure spent on height, below zero where the water falls
    after: float
    regulates: bool = False


def steps_of(stages: Sequence[Mapping[str, Any]]) -> list[Step]:
    """The steps of a loss budget."""
    first = stages[0]
    before = first["pressure_after"] + first["loss"] + first["elevation_change"]
    steps = []
    for stage in stages:
        loss, climb, after = stage["loss"], stage["elevation_change"], stage["pressure_after"]
        steps.append(Step(stage["stage"], before, loss, climb, after, regulates=stage["kind"] == "regulation"))
        before = after
    return steps


def merged(steps: Sequence[Step], most: int) -> list[Step]:
    """The steps with neighbours put together, the smallest ones first, until no more than `most` are left."""
    groups = [[step] for step in steps]
    while len(groups) > most:
        # Supply, regulator and the last stage keep steps of their own as long as others can be put together.
        sizes = [
            (any(step.regulates for step in one + other), sum(step.loss + abs(step.climb) for step in one + other))
            for one, other in pairwise(groups[1:])
        ]
        at = sizes.index(min(sizes)) + 1
        groups[at : at + 2] = [groups[at] + groups[at + 1]]
    return [_together(group) for group in groups]


def _together(group: Sequence[Step]) -> Step:
    if len(group) == 1:
        return group[0]
    name = f"{group[0].stage} … {group[-1].stage} ({len(group)} stages)"
    loss, climb = sum(step.loss for step in group), sum(step.climb for step in group)
    return Step(name, group[0].before, loss, climb, group[-1].after)


def draw(document: Mapping[str, Any], size: Size, form: str) -> bytes:
    """The picture."""
    units, critical = document["units"], document["critical_outlet"]
    room = size.inches[1] * POINTS_PER_INCH - AROUND
    steps = merged(steps_of(document["loss_budget"]), max(int(room / ROW), FEWEST_STEPS))
    places = decimals([step.after for step in steps])
    place = f"{critical['run']} at {rounded(critical['at'])} {units['length']}"
    caption = Caption(
        document["name"],
        f"Where the pressure goes, down to the outlet with the least to spare, {place}",
        f"endline {document['version']} · {rounded(document['flow'])} {units['flow']}",
        f"{units['pressure']}: {'; '.join(f'{step.stage}: {_told(step, places)}' for step in steps)}",
    )

    def fill(figure: Figure) -> None:
        axes = figure.subplots()
        _bars(axes, steps, places)
        _limit(axes, steps, critical["minimum"])
        names = [fitted(step.stage, NAMES * size.points, 8.5) for step in steps]
        axes.set_yticks(range(len(steps)), [readable(name, "device") for name in names], size=8.5)
        for label, name in zip(axes.get_yticklabels(), names, strict=True):
            keep_written(label, name)
        axes.set_ylim(max(len(steps), FEWEST_STEPS) - 0.4, -0.6)
        axes.tick_params(axis="y", length=0)
        axes.grid(visible=False, axis="y")
        axes.set_xlabel(f"pressure, {units['pressure']}")
        used = [kind for kind in LOOKS if any(kind == name for step in steps for name, *_ in _parts(step))]
        handles: list[Artist] = [Patch(**LOOKS[kind], label=kind) for kind in used]
        handles.append(Patch(facecolor=REMAINS, label="left"))
        needed = f"the outlet needs {rounded(critical['minimum'])} {units['pressure']}"
        handles.append(axes.axvline(critical["minimum"], label=needed, zorder=5, **LEAST))
        legend_above(axes, size, handles, beside=NAMES * size.points - AROUND_AXES / 2)

    return picture(fill, caption, size, form)


def _parts(step: Step) -> list[tuple[str, float, float]]:
    """What a step takes or gives: which kind, from where, how much."""
    parts = []
    if step.loss:
        parts.append((REGULATED if step.regulates else LOST, step.before - step.loss, step.loss))
    if step.climb > 0:
        parts.append((RAISED, step.after, step.climb))
    elif step.climb < 0:
        parts.append((GAINED, step.before - step.loss, -step.climb))
    return parts


def _bars(axes: Axes, steps: Sequence[Step], places: int) -> None:
    for row, step in enumerate(steps):
        axes.barh(row, min(step.before - step.loss, step.after), height=0.72, color=REMAINS, zorder=2)
        for kind, start, width in _parts(step):
            axes.barh(row, width, left=start, height=0.72, linewidth=0.8, zorder=3, **LOOKS[kind])
        if row + 1 < len(steps):
            axes.plot([step.after, step.after], [row + 0.36, row + 0.64], color=INK, linewidth=0.8, zorder=4)
        end = max(step.before, step.after)
        told = axes.annotate(_told(step, places), (end, row), (5, 0), textcoords="offset points", size=8, va="center")
        told.set_bbox({"facecolor": "white", "linewidth": 0, "pad": 0.5})  # the line of what is needed may cross
        told.set_zorder(6)


def _limit(axes: Axes, steps: Sequence[Step], needed: float) -> None:
    """As far as the steps and their figures reach, and to what the outlet needs, so that what lacks is seen."""
    highest = max(max(step.before, step.after) for step in steps)
    axes.set_xlim(min(0.0, min(step.after for step in steps) * 1.1), max(highest * 1.16, needed * 1.05))


def _told(step: Step, places: int) -> str:
    """What is left, behind what that is less than before: both as printed, so that they add up down the picture."""
    change = round(step.after, places) - round(step.before, places)
    sign = "+" if change > 0 else "-"
    left = fixed(step.after, places)
    return f"{sign}{fixed(abs(change), places)}  →  {left}" if round(change, places) else left
