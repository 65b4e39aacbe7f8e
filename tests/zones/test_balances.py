"""Water, energy and power are where the answer says: at every place, along every run, round every loop, in all."""

from __future__ import annotations

from collections import defaultdict
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings

from service.hydraulics.water import Water
from service.schemas.answers import CheckAnswer
from tests import strategies
from tests.zones.flower_plot import Json, ask, bed, outlets, plot
from tests.zones.second_opinion import CLOSE, FOOT, Pipe, closing, height, outlets_of, pipes

Place = tuple[int, int]
INLET = (-1, 0)

NEAR = 2e-3
"""Pressures within this are the same. [Pa] The solver is content with errors of 1e-7 m, a thousandth of a pascal."""


def in_full(zone: Json) -> CheckAnswer:
    return ask({**zone, "options": {**zone.get("options", {}), "detail": "outlets"}})


def check_water(zone: Json) -> None:
    """At every place as much comes as goes, read from the rows of the answer."""
    answer = in_full(zone)
    laid = pipes(zone)
    runs = {run.run: run for run in answer.runs or []}
    lacking: dict[Place, float] = defaultdict(float, {INLET: answer.flow})
    for number, pipe in enumerate(laid):
        columns = runs[pipe.address].profile.columns
        marks = (columns["at"] / CLOSE).round().astype(int).tolist()
        rows = list(dict.fromkeys(zip(marks, columns["flow"].tolist(), strict=True)))
        for (start, _), (end, flow) in pairwise(rows):
            lacking[place(laid, number, start)] -= flow
            lacking[place(laid, number, end)] += flow
        here = ~np.isnan(columns["outlet_flow"])
        standing = outlets_of(pipe.run)
        assert np.count_nonzero(here) == len(standing)
        for row, (_, outlet) in zip(np.flatnonzero(here), standing, strict=True):
            lacking[place(laid, number, marks[row])] -= columns["outlet_flow"][row] * outlet.get("per_place", 1)
    assert max(abs(flow) for flow in lacking.values()) <= 1e-9 * answer.flow + 1e-15


def place(laid: list[Pipe], number: int | None, mark: int) -> Place:
    """One name for a place of a pipe [µm] that may lie on several."""
    seen: list[Place] = []
    while True:
        while number is not None and mark <= 0:
            number, mark = laid[number].parent, round(laid[number].leaves * FOOT / CLOSE)
        if number is None:
            return INLET
        if (number, mark) in seen:  # two ends that close to each other
            return min(seen)
        seen.append((number, mark))
        joins = closing(laid, number)
        if joins is None or mark != round(laid[number].run["length"] * FOOT / CLOSE):
            return number, mark
        number, mark = joins[0], round(joins[1] * FOOT / CLOSE)


def check_energy(zone: Json) -> None:
    """Along every run pressure falls by what the rows lose and rise; runs agree where they meet, loops too."""
    answer = in_full(zone)
    weight = Water.at(answer.method.water.temperature).specific_weight
    laid = pipes(zone)
    runs = {run.run: run for run in answer.runs or []}
    for number, pipe in enumerate(laid):
        run = runs[pipe.address]
        columns = run.profile.columns
        total = columns["pressure"] + columns["loss"] + columns["elevation"] * weight
        assert total == pytest.approx(total[0], abs=NEAR * (1 + len(total) / 10))
        assert columns["pressure"][0] == run.inlet_pressure
        assert columns["pressure"][-1] == run.end_pressure
        assert columns["loss"][-1] == pytest.approx(run.friction_loss)
        assert run.inlet_pressure - run.end_pressure == pytest.approx(
            run.friction_loss + run.elevation_change, abs=NEAR * (1 + len(total) / 10)
        )
        starts_at = answer.zone_inlet_pressure
        if pipe.parent is not None:
            starts_at = at_place(runs[laid[pipe.parent].address], pipe.leaves)
        assert run.inlet_pressure == pytest.approx(starts_at, abs=1e-6)
        joins = closing(laid, number)
        if joins is not None:
            assert run.end_pressure == pytest.approx(at_place(runs[laid[joins[0]].address], joins[1]), abs=1e-6)
            assert pipe.start + height(pipe.run, pipe.run["length"]) == pytest.approx(
                laid[joins[0]].start + height(laid[joins[0]].run, joins[1]), abs=0.1
            )


def at_place(run, at: float) -> float:
    """Pressure where the profile of a run says something of a place [ft]. [Pa]"""
    columns = run.profile.columns
    row = abs(columns["at"] - at * FOOT).argmin()
    assert columns["at"][row] == pytest.approx(at * FOOT, abs=CLOSE)
    return float(columns["pressure"][row])


BEYOND_THE_INLET = {"friction", "local", "tube"}


def check_power(zone: Json) -> None:
    """Flow times pressure that the supply gives is taken by devices, lost in pipe, lifted, or let out: nothing else."""
    answer = in_full(zone)
    weight = Water.at(answer.method.water.temperature).specific_weight
    runs = {run.run: run for run in answer.runs or []}
    no_flow, *stages = answer.loss_budget
    taken = [stage for stage in stages if stage.kind not in BEYOND_THE_INLET or stage.stage == "service line"]
    spent = answer.flow * sum(stage.loss + stage.elevation_change for stage in taken)
    for pipe in pipes(zone):
        columns = runs[pipe.address].profile.columns
        spent += float(columns["flow"][1:] @ np.diff(columns["loss"]))
        rows = np.flatnonzero(~np.isnan(columns["outlet_flow"]))
        for row, (at, outlet) in zip(rows, outlets_of(pipe.run), strict=True):
            lifted = weight * FOOT * (pipe.start + height(pipe.run, at))
            flow = columns["outlet_flow"][row] * outlet.get("per_place", 1)
            spent += flow * (columns["pressure"][row] + lifted)
    scale = answer.flow * (abs(no_flow.pressure_after) + 1e4)
    assert spent == pytest.approx(answer.flow * no_flow.pressure_after, abs=1e-6 * scale + 1e-15)


@settings(max_examples=25)
@given(strategies.zones(runs=strategies.trees()))
def test_trees_keep_their_water_and_their_energy(zone):
    check_water(zone)
    check_energy(zone)
    check_power(zone)


@settings(max_examples=18)
@given(strategies.zones(runs=strategies.grids()))
def test_grids_keep_their_water_and_their_energy_round_every_loop(zone):
    check_water(zone)
    check_energy(zone)
    check_power(zone)


LEVEL = {"pipe": "pe-0.75in", "length": 50}
DRIP = outlets({"flow": 1, "at_pressure": 20, "exponent": 0.5}, 5)

LOOPS = {
    "a run closes into its parent's start": [
        {"id": "a", **LEVEL},
        {"id": "b", "from": "a", **LEVEL, "outlets": DRIP, "closes_to": {"run": "a", "at": 0}},
    ],
    "a run closes where it started": [
        {"id": "a", **LEVEL},
        {"id": "b", "from": "a", **LEVEL, "outlets": DRIP, "closes_to": {"run": "a", "at": 50}},
    ],
    "two loops share a header": [
        {"id": "a", **LEVEL},
        {"id": "b", "from": "a", "from_at": 10, **LEVEL, "outlets": DRIP, "closes_to": {"run": "a", "at": 20}},
        {"id": "c", "from": "a", "from_at": 15, **LEVEL, "outlets": DRIP, "closes_to": {"run": "a", "at": 50}},
    ],
    "a run closes at an end that closes": [
        {"id": "a", **LEVEL},
        {"id": "b", "from": "a", "from_at": 10, **LEVEL, "closes_to": {"run": "a", "at": 50}},
        {"id": "c", "from": "a", "from_at": 30, **LEVEL, "outlets": DRIP, "closes_to": {"run": "b", "at": 50}},
    ],
    "two ends close to each other": [
        {"id": "a", **LEVEL},
        {"id": "b", "from": "a", **LEVEL, "closes_to": {"run": "c", "at": 50}},
        {"id": "c", "from": "a", **LEVEL, "outlets": DRIP, "closes_to": {"run": "b", "at": 50}},
    ],
    "a run closes to its child": [
        {"id": "a", **LEVEL, "closes_to": {"run": "b", "at": 30}},
        {"id": "b", "from": "a", "from_at": 20, **LEVEL, "outlets": DRIP},
    ],
    "runs leave at the very start and the very end": [
        {"id": "a", **LEVEL, "outlets": DRIP},
        bed(id="b", **{"from": "a", "from_at": 0}),
        bed(id="c", **{"from": "a", "from_at": 50}),
    ],
    "unlike outlets share a place": [
        {
            "id": "a",
            **LEVEL,
            "outlets": [
                {"at": 10, "emitter": {"flow": 1, "pressure_range": [8, 50]}},
                {"at": 10, "emitter": {"flow": 2, "at_pressure": 20, "exponent": 0.5}},
                {
                    "at": 10,
                    "emitter": {"flow": 1, "pressure_range": [8, 50]},
                    "per_place": 3,
                    "tube": {"pipe": "tubing-0.25in", "length": 3},
                },
                {"at": 50, "emitter": {"flow": 1, "pressure_range": [8, 50]}},
            ],
        },
    ],
}


@pytest.mark.parametrize("runs", LOOPS.values(), ids=LOOPS)
def test_odd_shapes_keep_their_water_and_their_energy(runs):
    check_water(plot(*runs))
    check_energy(plot(*runs))
    check_power(plot(*runs))
