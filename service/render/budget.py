"""The loss budget rounded for reading, so that what is printed still adds up."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from service.render.rounding import decimals, fixed


@dataclass(frozen=True, slots=True)
class BudgetLine:
    """One stage on the way of the water, its figures as they are printed."""

    stage: str
    kind: str
    flow: str
    drop: str
    climb: str
    left: str


def budget_lines(stages: Sequence[Mapping[str, Any]]) -> list[BudgetLine]:
    """The stages of a budget, and a last line that sums them up.

    What is left is rounded as it is, and what a stage takes is the difference between two of those printed figures:
    so every row adds up for a reader with a pencil, and no figure is further off than its own rounding and theirs.
    """
    if not stages:
        return []
    last = stages[-1]["pressure_after"]
    start = stages[0]["pressure_after"] + stages[0]["loss"] + stages[0]["elevation_change"]
    places = decimals([start, *(stage["pressure_after"] for stage in stages)])
    flow_places = decimals([stage["flow"] for stage in stages])
    left = [round(pressure, places) for pressure in (start, *(stage["pressure_after"] for stage in stages))]
    taken = [
        _shared(stage, before - after, places) for stage, (before, after) in zip(stages, pairwise(left), strict=True)
    ]
    drops, climbs = zip(*taken, strict=True)
    lines = [
        BudgetLine(
            stage["stage"],
            stage["kind"].replace("_", " "),
            fixed(stage["flow"], flow_places),
            fixed(drop, places),
            fixed(climb, places),
            fixed(stage["pressure_after"], places),
        )
        for stage, drop, climb in zip(stages, drops, climbs, strict=True)
    ]
    return [
        *lines,
        BudgetLine("in all", "", "", fixed(sum(drops), places), fixed(sum(climbs), places), fixed(last, places)),
    ]


def _shared(stage: Mapping[str, Any], taken: float, places: int) -> tuple[float, float]:
    """Drop and climb of a stage that together take `taken`: the smaller rounded as it is, the larger has the rest."""
    drop, climb = stage["loss"], stage["elevation_change"]
    if abs(climb) > drop:
        drop = round(drop, places)
        return drop, round(taken - drop, places)
    climb = round(climb, places)
    return round(taken - climb, places), climb
