"""The loss budget rounded for reading, so that what is printed still adds up."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from service.render.rounding import balanced, decimals, fixed


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

    Pressures are rounded to as many places each; what rounding leaves over goes to the largest drop.
    """
    if not stages:
        return []
    last = stages[-1]["pressure_after"]
    start = stages[0]["pressure_after"] + stages[0]["loss"] + stages[0]["elevation_change"]
    places = decimals([start, *(stage["pressure_after"] for stage in stages)])
    flow_places = decimals([stage["flow"] for stage in stages])
    exact = [stage[key] for key in ("loss", "elevation_change") for stage in stages]
    rounded = balanced(exact, round(start, places) - round(last, places), places)
    drops, climbs = rounded[: len(stages)], rounded[len(stages) :]
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
