"""Ends opened for flushing: that the few which are opened stand for all."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.schemas.zone import Zone
from service.units.dimensions import System
from service.zones import flushing
from service.zones.flushing import Flushing, flush, may_be_slowest
from service.zones.instances import Limits
from service.zones.solved import Solved, solve_zone
from tests import strategies
from tests.zones.flower_plot import Json, ask, bed, outlets, plot

NEAR = 1e-4
"""Speeds within this are the same. [m/s] Close to standstill the solver's 1e-7 m of head make a fifth of it."""


def solved(zone: Json) -> Solved:
    return solve_zone(Zone.model_validate(zone), Limits())


def flushed(zone: Solved, enough: float) -> Flushing:
    return flush(zone.assembly.curve(clean=False), zone.due, enough=enough)


def of_each_run(zone: Solved, flushing: Flushing) -> dict[int, list[float]]:
    """Speeds at the ends of each run that were opened, the slowest first."""
    speeds: dict[int, list[float]] = {}
    for instance, speed in zip(flushing.runs.tolist(), flushing.velocity.tolist(), strict=True):
        speeds.setdefault(zone.pipework.plan.instances[instance].run, []).append(speed)
    return {run: sorted(found) for run, found in speeds.items()}


@settings(max_examples=100, deadline=None)
@given(zone=strategies.zones(), share=st.floats(0.0, 1.0))
def test_the_ends_that_are_opened_stand_for_all(zone: Json, share: float):
    """The slowest end of each run is as slow as when all are opened, and as many are too slow."""
    one = solved(zone)
    every = flushed(one, np.inf)
    assert every.unknown == 0
    assert np.sort(every.runs).tolist() == np.flatnonzero(one.pipework.open_ended).tolist()
    all_speeds, few = of_each_run(one, every), of_each_run(one, flushed(one, 0.0))
    assert {run: speeds[0] for run, speeds in few.items()} == pytest.approx(
        {run: speeds[0] for run, speeds in all_speeds.items()}, abs=NEAR
    )
    for run, speeds in all_speeds.items():
        # A limit between two speeds, so that rounding decides nothing.
        at = round(share * len(speeds))
        low, high = [0.0, *speeds, np.inf][at : at + 2]
        if high - low < 4 * NEAR:
            continue
        enough = low + min(0.5 * (high - low), 1.0)
        found = of_each_run(one, flushed(one, enough))[run]
        assert sum(speed < enough for speed in found) == at


ROW = {"from": "header", "from_at": 4, "copies": {"count": 8, "apart": 4}, "id": "row"}


def may(*runs: Json) -> dict[str, bool]:
    pipework = solved(plot(*runs)).pipework
    answers = may_be_slowest(pipework).tolist()
    return {pipework.address(number): answer for number, answer in enumerate(answers)}


@pytest.mark.parametrize("rise", [0, 1])
def test_on_a_header_that_does_not_fall_the_last_row_is_slowest(rise: float):
    found = may({"id": "header", "pipe": "pe-0.75in", "length": 40, "rise": rise}, bed(**ROW))
    assert [name for name, may_be in found.items() if may_be] == ["header", "row:8"]


def test_on_a_header_that_falls_any_row_may_be_slowest():
    assert all(may({"id": "header", "pipe": "pe-0.75in", "length": 40, "rise": -1}, bed(**ROW)).values())


def test_beyond_a_crest_only_rows_higher_than_all_after_them_may_be_slowest():
    header = {"id": "header", "pipe": "pe-0.75in", "length": 40, "ground": [[0, 0], [14, 1], [40, 0]]}
    found = may(header, bed(**ROW))
    assert [name for name, may_be in found.items() if may_be] == ["header", *(f"row:{n}" for n in range(4, 9))]


def test_copies_of_copies_are_compared_as_their_parents():
    twig = {"id": "twig", "from": "row", "from_at": 10, "copies": {"count": 3, "apart": 5}, "pipe": "pe-0.5in"}
    twig |= {"length": 8, "outlets": outlets("turbulent-1gph")}
    found = may({"id": "header", "pipe": "pe-0.75in", "length": 40}, bed(**ROW), twig)
    assert [name for name, may_be in found.items() if may_be] == ["header", "row:8", "row:8/twig:3"]


def test_of_rows_that_leave_at_one_place_the_first_stands_for_all():
    row = bed(**{**ROW, "copies": {"count": 4, "apart": 0}})
    found = may({"id": "header", "pipe": "pe-0.75in", "length": 40}, row)
    assert [name for name, may_be in found.items() if may_be] == ["header", "row:1"]


def test_in_a_loop_any_end_may_be_slowest():
    header = {"id": "header", "pipe": "pe-0.75in", "length": 40}
    edge = {"id": "edge", "from": "header", "from_at": 0, "pipe": "pe-0.75in", "length": 60}
    exhaust = {"id": "exhaust", "from": "edge", "pipe": "pe-0.75in", "length": 40}
    spur = {"id": "spur", "from": "exhaust", "from_at": 2, "copies": {"count": 3, "apart": 2}, "pipe": "pe-0.5in"}
    row = bed(**ROW, closes_to={"run": "exhaust", "at": 4})
    assert all(may(header, edge, exhaust, row, {**spur, "length": 5}).values())


def test_of_a_zone_too_large_to_open_all_ends_the_weakest_of_each_run_are_opened_in_turn(monkeypatch):
    """Eight rows up a slope and three at its foot: of room for five ends, three and two are taken."""
    zone = plot(
        {"id": "header", "pipe": "pe-0.75in", "length": 40, "rise": 8},
        bed(length=10, **ROW),
        bed(length=10, id="foot", copies={"count": 3, "apart": 1}, **{"from": "header", "from_at": 0.5}),
    )
    one = solved(zone)
    every = flushed(one, np.inf)
    monkeypatch.setattr(flushing, "MOST_NODES", 5 * one.pipework.network.nodes)
    few = flushed(one, np.inf)
    assert (few.of, len(few.runs), few.unknown) == (every.of, 5, every.of - 5)
    addresses = [one.pipework.address(run) for run in few.runs.tolist()]
    assert {"row:8", "foot:3"} <= set(addresses)
    assert sum(address.startswith("foot") for address in addresses) == 2
    speeds = dict(zip(every.runs.tolist(), every.velocity.tolist(), strict=True))
    assert few.velocity.tolist() == pytest.approx([speeds[run] for run in few.runs.tolist()], abs=NEAR)


def test_a_zone_with_ends_not_opened_says_so(monkeypatch):
    monkeypatch.setattr(flushing, "MOST_NODES", 1)
    rows = [bed(id=f"row-{n}", length=10 + n) for n in range(4)]
    told = [one for one in ask(plot(*rows)).assumed if one.what == "flushing"]
    assert [one.value.said(System.US) for one in told] == ["1 of 4 ends"]
