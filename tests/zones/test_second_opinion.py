"""Random zones against the same zone worked out a second time from its JSON."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings

from tests import strategies
from tests.zones.flower_plot import HEAD, Json, ask, plot
from tests.zones.second_opinion import CLOSE, Works

NEAR = 1e-6
"""Greatest difference of head. [m]"""


def compare(zone: Json) -> None:
    """Every pressure and every flow of the profile of every run."""
    answer = ask({**zone, "options": {**zone.get("options", {}), "detail": "outlets"}})
    works = Works(zone)
    head, flow = works.solve()
    elevation = np.array(works.elevation)
    number = {pipe.address: index for index, pipe in enumerate(works.pipes)}
    assert answer.runs is not None
    assert {run.run for run in answer.runs} == set(number)
    assert answer.flow == pytest.approx(drawn(works, flow), rel=1e-7, abs=1e-13)
    told = 0
    for run in answer.runs:
        columns = run.profile.columns
        for at, pressure in zip(columns["at"].tolist(), columns["pressure"].tolist(), strict=True):
            node = works.places.get((number[run.run], round(at / CLOSE)))
            if node is not None:
                told += 1
                assert pressure / works.weight == pytest.approx(head[node] - elevation[node], abs=NEAR), (run.run, at)
    assert told >= len(works.pipes)


def drawn(works: Works, flow: np.ndarray) -> float:
    starts, ends = np.array(works.ends).T
    return float(flow[starts == 0].sum() - flow[ends == 0].sum())


@settings(max_examples=35)
@given(strategies.zones(runs=strategies.trees(most_runs=4, most_copies=3, most_outlets=6)))
def test_trees_agree_with_a_root_finder(zone):
    compare(zone)


@settings(max_examples=25)
@given(strategies.zones(runs=strategies.grids(most_rows=3, most_outlets=5)))
def test_closed_grids_agree_with_a_root_finder(zone):
    compare(zone)


@settings(max_examples=35)
@given(
    strategies.zones(
        runs=strategies.trees(most_runs=3, most_copies=3, most_outlets=5), supply=strategies.supplies(low=1, high=12)
    )
)
def test_starved_zones_agree_with_a_root_finder(zone):
    compare({**zone, "head": []})


ROWS = plot(
    {"id": "feed", "pipe": "pvc-sch40-0.75in", "length": 45, "rise": 2, "fittings": {"elbow_90": 3}},
    {"id": "header", "from": "feed", "pipe": "pe-0.75in", "length": 21},
    {
        "id": "row",
        "from": "header",
        "from_at": 0,
        "pipe": "dripline-17mm",
        "length": 80,
        "outlets": {"emitter": "inline-compensating-0.6gph", "spacing": 10, "per_place": 10},
        "copies": {"count": 8, "apart": 3},
    },
)

STARVED = {**ROWS, "supply": {"static_pressure": 20, "flow_test": {"flow": 4, "residual_pressure": 5}}}

TUBES = plot(
    {
        "id": "terrace",
        "pipe": "tubing-0.5in-600-700",
        "length": 80,
        "outlets": {
            "emitter": {"flow": 1, "at_pressure": 20, "exponent": 0.5},
            "spacing": 2,
            "tube": {"pipe": "tubing-0.25in", "length": 4, "rise": 1.5},
        },
    },
    head=HEAD[:3],
)


@pytest.mark.parametrize("zone", [ROWS, STARVED, TUBES], ids=["dahlia rows", "starved rows", "forty small tubes"])
@pytest.mark.parametrize("friction", ["darcy_weisbach", "hazen_williams"])
def test_the_plots_of_the_demo_agree_with_a_root_finder(zone, friction):
    compare({**zone, "options": {"friction": friction}})
