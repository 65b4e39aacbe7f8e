"""A zone told otherwise is the same zone: in other units, by other names, in another order, mirrored, cut in two."""

from __future__ import annotations

from copy import deepcopy

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.schemas.answers import CheckAnswer
from service.units.dimensions import System
from tests import strategies
from tests.zones.flower_plot import LOOSE, STEADY, Json, ask, bed, outlets, plot
from tests.zones.second_opinion import height, outlets_of

THRESHOLDS = (
    "lowest_without_regulator",
    "works_with_regulator",
    "lowest_with_regulator",
    "highest_without_regulator",
    "highest_shut_off",
)
NEAR = 2e-3
"""Pressures within this are the same. [Pa] The solver is content with errors of 1e-7 m, a thousandth of a pascal."""

SEARCHED = 5.0
"""Thresholds within this are the same. [Pa] They are searched for to about one."""


def agree(one: CheckAnswer, other: CheckAnswer, names: dict[str, str] | None = None) -> None:
    """Two answers tell the same of one zone, the second by other names."""
    assert one.verdict == other.verdict
    assert codes(one) == codes(other)
    assert one.flow == pytest.approx(other.flow, rel=1e-6, abs=1e-12)
    for figure in ("zone_inlet_pressure", "end_of_line_pressure"):
        assert getattr(one, figure) == pytest.approx(getattr(other, figure), abs=NEAR)
    for outlet in ("lowest_outlet", "highest_outlet", "critical_outlet"):
        assert getattr(one, outlet).pressure == pytest.approx(getattr(other, outlet).pressure, abs=NEAR)
    assert one.critical_outlet.margin == pytest.approx(other.critical_outlet.margin, abs=NEAR)
    for threshold in THRESHOLDS:
        found = [getattr(answer.regulator.thresholds, threshold) for answer in (one, other)]
        if None in found:
            assert found == [None, None]
        else:
            assert found[0].pressure == pytest.approx(found[1].pressure, abs=SEARCHED, rel=1e-6)
    assert one.regulator.advice == other.regulator.advice
    by_name = {run.run: run for run in other.runs or []}
    for run in one.runs or []:
        twin = by_name[(names or {}).get(run.run, run.run)]
        assert run.inlet_flow == pytest.approx(twin.inlet_flow, rel=1e-5, abs=1e-9)
        assert run.inlet_pressure == pytest.approx(twin.inlet_pressure, abs=NEAR)
        assert run.end_pressure == pytest.approx(twin.end_pressure, abs=NEAR)
        assert run.volume == pytest.approx(twin.volume, rel=1e-9)


def codes(answer: CheckAnswer) -> list[tuple[str, str]]:
    return sorted((finding.severity, finding.code) for finding in answer.findings)


@settings(max_examples=18)
@given(strategies.zones())
def test_units_change_nothing(zone):
    agree(ask(zone), ask(strategies.in_metric(zone)))


@settings(max_examples=18)
@given(strategies.zones(), st.randoms(use_true_random=False))
def test_names_and_order_of_runs_change_nothing_but_addresses(zone, random):
    other = deepcopy(zone)
    new = {run["id"]: f"pipe_{number}" for number, run in enumerate(reversed(zone["runs"]))}
    for run in other["runs"]:
        run["id"] = new[run["id"]]
        if "from" in run:
            run["from"] = new[run["from"]]
        if "closes_to" in run:
            run["closes_to"]["run"] = new[run["closes_to"]["run"]]
    random.shuffle(other["runs"])
    one = ask(zone)
    names = {run.run: "/".join(renamed(step, new) for step in run.run.split("/")) for run in one.runs or []}
    agree(one, ask(other), names)


def renamed(step: str, new: dict[str, str]) -> str:
    name, colon, copy = step.partition(":")
    return new[name] + colon + copy


def header_with(laterals: list[tuple[float, float]]) -> Json:
    """A level header with a lateral of some length at each of some places, fed at its centre."""
    half = 30.0
    arms = [{"id": side, "pipe": "pe-0.75in", "length": half} for side in ("left", "right")]
    runs = [
        {**bed(length=length, outlets=outlets(LOOSE, 3)), "id": f"row-{number}", "from": side, "from_at": abs(at)}
        for number, (at, length) in enumerate(laterals)
        for side in [("left" if at < 0 else "right")]
    ]
    return plot(*arms, *runs)


@settings(max_examples=12)
@given(st.lists(st.tuples(st.integers(-30, 30), st.integers(5, 60)), min_size=1, max_size=5))
def test_mirror_images_agree(laterals):
    one = ask(header_with([(at or 0.5, length) for at, length in laterals]))
    other = ask(header_with([(-at or -0.5, length) for at, length in laterals]))
    agree(one, other, {"left": "right", "right": "left"})


@settings(max_examples=18)
@given(strategies.zones(runs=strategies.trunks()), st.floats(0.05, 0.95))
def test_a_run_cut_in_two_in_series_is_the_same_run(zone, share):
    trunk, *leaving = zone["runs"]
    cut = round(share * trunk["length"], 3)
    near, far = halves(trunk, cut)
    beyond = [
        {**run, "from": "far", "from_at": min(run["from_at"] - cut, far["length"])} if run["from_at"] > cut else run
        for run in leaving
    ]
    one, other = ask(zone), ask({**zone, "runs": [near, far, *beyond]})
    assert one.flow == pytest.approx(other.flow, rel=1e-6, abs=1e-12)
    assert one.critical_outlet.pressure == pytest.approx(other.critical_outlet.pressure, abs=NEAR)
    assert one.critical_outlet.margin == pytest.approx(other.critical_outlet.margin, abs=NEAR)
    assert one.runs is not None
    assert other.runs is not None
    whole, first, second = one.runs[0], other.runs[0], other.runs[1]
    assert whole.friction_loss == pytest.approx(first.friction_loss + second.friction_loss, abs=2 * NEAR)
    assert whole.end_pressure == pytest.approx(second.end_pressure, abs=NEAR)
    assert whole.volume == pytest.approx(first.volume + second.volume, rel=1e-6)
    for bed_before, bed_after in zip(one.runs[1:], other.runs[2:], strict=True):
        assert bed_before.inlet_pressure == pytest.approx(bed_after.inlet_pressure, abs=NEAR)


def halves(run: Json, cut: float) -> tuple[Json, Json]:
    """The two pieces of a run. Its outlets are placed one by one, so that none moves."""
    drop, rest = height(run, cut), run["length"] - cut
    points = run.get("ground") or [[0, 0], [run["length"], run.get("rise") or 0]]
    up_to = [*(point for point in points if point[0] < cut), [cut, drop]]
    from_there = [[0, 0], *([at - cut, up - drop] for at, up in points if at > cut)]
    from_there[-1][0] = rest
    near = {**run, "length": cut, "ground": up_to}
    far = {"id": "far", "from": run["id"], "pipe": run["pipe"], "length": rest, "ground": from_there}
    near.pop("rise", None)
    near.pop("outlets")
    standing = [
        (at, {key: one[key] for key in ("emitter", "per_place", "tube") if key in one}) for at, one in outlets_of(run)
    ]
    here = [{"at": at, **one} for at, one in standing if at <= cut]
    there = [{"at": min(at - cut, rest), **one} for at, one in standing if at > cut + 1e-6]
    return near | ({"outlets": here} if here else {}), far | ({"outlets": there} if there else {})


def test_of_equal_outlets_the_first_is_named_everywhere():
    """Rounding must not choose: both halves of a line fed at its centre are alike."""
    half = {**bed(length=450), "copies": {"count": 2, "apart": 0}}
    answer = ask(plot(half))
    deciding = answer.regulator.thresholds.lowest_without_regulator
    named = [answer.critical_outlet.run, answer.lowest_outlet.run, answer.highest_outlet.run]
    assert named == ["bed:1", "bed:1", "bed:1"]
    assert "bed:1" in deciding.decided_by[0].said(System.US)


def test_copies_are_the_runs_that_they_stand_for():
    copied = {**bed(), "from": "header", "from_at": 2, "copies": {"count": 3, "apart": 4}}
    written = [{**bed(id=f"bed-{n}"), "from": "header", "from_at": 2 + 4 * n} for n in range(3)]
    header = {"id": "header", "pipe": "pe-0.75in", "length": 12}
    one, other = ask(plot(header, copied)), ask(plot(header, *written))
    names = {"header": "header"} | {f"bed:{n + 1}": f"bed-{n}" for n in range(3)}
    agree(one, other, names)


def test_evenly_spaced_outlets_are_those_placed_one_by_one():
    placed = [{"at": float(at), "emitter": STEADY} for at in np.arange(1, 60, 2)]
    agree(ask(plot(bed(outlets=outlets(STEADY, 2)))), ask(plot(bed(outlets=placed))))


def test_rise_is_ground_of_two_points():
    agree(ask(plot(bed(rise=5))), ask(plot(bed(ground=[[0, 0], [60, 5]]))))
