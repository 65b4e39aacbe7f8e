"""What happens to a zone that grows: the promise that more outlets or more pipe never lose less.

The statements are those that hold of any network with outlets that never give less for more pressure, pipes that never
lose less for more flow, and a supply that does not rise with flow; what sounds as right but is false is not here.
"""

from __future__ import annotations

from copy import deepcopy
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from service.schemas.answers import CheckAnswer
from tests import strategies
from tests.zones.flower_plot import Json, ask
from tests.zones.second_opinion import outlets_of

NEAR = 5e-3
"""Pressures within this are the same. [Pa] The solver is content with errors of 1e-7 m, a thousandth of a pascal."""

NEW = {"emitter": {"flow": 3, "at_pressure": 15, "exponent": 0.5}}
FOOT = 0.3048


def profiles(zone: Json) -> tuple[CheckAnswer, dict[str, tuple[np.ndarray, np.ndarray]]]:
    """The answer, and places and pressures of each run."""
    answer = ask({**zone, "options": {**zone.get("options", {}), "detail": "outlets"}})
    return answer, {run.run: (run.profile.columns["at"], run.profile.columns["pressure"]) for run in answer.runs or []}


def pressures_at(profile: tuple[np.ndarray, np.ndarray], places: np.ndarray) -> np.ndarray:
    """Pressures where a profile has a row for each of these places. [Pa]"""
    at, pressure = profile
    rows = np.abs(at[:, None] - places).argmin(axis=0)
    assert at[rows] == pytest.approx(places, abs=1e-5)
    return pressure[rows]


def placed(run: Json) -> list[Json]:
    """The outlets of a run, each at its place."""
    return [
        {"at": at, **{key: one[key] for key in ("emitter", "per_place", "tube") if key in one}}
        for at, one in outlets_of(run)
    ]


@settings(max_examples=22)
@given(strategies.zones(runs=strategies.trees(most_runs=3) | strategies.grids(most_rows=3)), st.data())
def test_adding_outlets_never_reduces_loss(zone, data):
    """T1: no pressure rises anywhere, so the loss from the supply to any place never falls, nor does the flow."""
    grown = deepcopy(zone)
    run = data.draw(st.sampled_from(grown["runs"]), label="run")
    at = data.draw(strategies.decimals(0.01, run["length"]), label="at")
    run["outlets"] = [*placed(run), {"at": at, **NEW}]
    (before, old), (after, new) = profiles(zone), profiles(grown)
    assert after.flow >= before.flow * (1 - 1e-9)
    for address, (places, pressure) in old.items():
        assert (pressures_at(new[address], places) <= pressure + NEAR).all(), address
    supply = before.regulator.supply_pressure
    assert supply - after.zone_inlet_pressure >= supply - before.zone_inlet_pressure - NEAR
    last = (zone.get("head") or [{"device": "none"}])[-1]["device"]
    if last == "regulator" and before.regulator.state == after.regulator.state == "holding":
        assert after.zone_inlet_pressure == pytest.approx(before.zone_inlet_pressure)


@settings(max_examples=12)
@given(strategies.zones(runs=strategies.trunks(compensating=False) | strategies.grids(most_rows=3)), st.floats(1, 3))
def test_larger_outlets_raise_no_pressure(zone, larger):
    """T1: the same of outlets that give more at any pressure."""
    grown = deepcopy(zone)
    for run in grown["runs"]:
        for one in run["outlets"] if isinstance(run.get("outlets"), list) else [run.get("outlets") or {}]:
            if isinstance(one.get("emitter"), dict):
                one["emitter"] = {**one["emitter"], "flow": one["emitter"]["flow"] * larger}
    (before, old), (after, new) = profiles(zone), profiles(grown)
    assert after.flow >= before.flow * (1 - 1e-9)
    for address, (_, pressure) in old.items():
        assert (new[address][1] <= pressure + NEAR).all(), address


@settings(max_examples=18)
@given(strategies.zones(runs=strategies.trunks()), st.floats(0, 1), st.floats(0.1, 100), st.floats(0, 1))
def test_adding_length_never_reduces_loss(zone, share, longer, steepness):
    """T3: level or rising pipe set into a tree takes pressure from all beyond it and from nothing else."""
    longer, cut = round(longer, 2), round(share * zone["runs"][0]["length"], 2)
    grown = stretched(zone, cut, longer, round(steepness * longer, 3))
    (before, old), (after, new) = profiles(zone), profiles(grown)
    assert after.flow <= before.flow * (1 + 1e-9)
    for run in zone["runs"]:
        places, pressure = old[run["id"]]
        beyond = run.get("from_at", 0) > cut if run["id"] != "trunk" else places > cut * FOOT + 1e-6
        beyond = np.broadcast_to(beyond, places.shape)
        moved = places + (longer * FOOT * beyond if run["id"] == "trunk" else 0)
        same = moved < (run["length"] + longer * (run["id"] == "trunk")) * FOOT + 1e-6
        now = pressures_at(new[run["id"]], moved[same])
        assert (now <= pressure[same] + NEAR)[beyond[same]].all(), run["id"]
        assert (now >= pressure[same] - NEAR)[~beyond[same]].all(), run["id"]
        if beyond[-1]:
            loss = [answer.zone_inlet_pressure - ends for answer, ends in ((before, pressure[-1]), (after, now[-1]))]
            assert loss[1] >= loss[0] - NEAR


def stretched(zone: Json, cut: float, longer: float, rise: float) -> Json:
    """The zone with a length of pipe set into its trunk; all beyond is carried along and lifted."""
    grown = deepcopy(zone)
    trunk, *branches = grown["runs"]
    ground = trunk.pop("ground", None) or [[0, 0], [trunk["length"], trunk.get("rise") or 0]]
    trunk.pop("rise", None)
    at, height = np.array(ground, dtype=float).T
    level = float(np.interp(cut, at, height))
    near = [[a, h] for a, h in ground if a < cut] + [[cut, level]]
    far = [[cut + longer, level + rise]] + [[a + longer, h + rise] for a, h in ground if a > cut]
    points = near + far if cut > 0 else [[0, 0], [longer, rise], *far[1:]]
    trunk["outlets"] = [{**one, "at": one["at"] + longer if one["at"] > cut else one["at"]} for one in placed(trunk)]
    trunk["length"] += longer
    points[-1][0] = trunk["length"]
    trunk["ground"] = points
    for branch in branches:
        if branch["from_at"] > cut:
            branch["from_at"] += longer
    return grown


@settings(max_examples=15)
@given(strategies.zones(runs=strategies.trunks()), st.floats(0.5, 60), st.floats(-1, 1))
def test_pipe_with_outlets_at_a_dead_end_raises_no_pressure(zone, longer, steepness):
    """T4: any slope will do, as long as every place that there was stays where it was."""
    grown = deepcopy(zone)
    run = grown["runs"][-1]
    longer = round(longer, 2)
    ground = run.pop("ground", None) or [[0, 0], [run["length"], run.get("rise") or 0]]
    run.pop("rise", None)
    run["outlets"] = [*placed(run), {"at": run["length"] + longer, **NEW}]
    run["length"] += longer
    run["ground"] = [*ground, [run["length"], ground[-1][1] + round(steepness * longer, 4)]]
    (before, old), (after, new) = profiles(zone), profiles(grown)
    assert after.flow >= before.flow * (1 - 1e-9)
    for address, (places, pressure) in old.items():
        assert (pressures_at(new[address], places) <= pressure + NEAR).all(), address


@settings(max_examples=18)
@given(strategies.zones(), strategies.decimals(0.1, 30, 1))
def test_more_supply_pressure_lowers_no_pressure_and_no_flow(zone, more):
    """T2."""
    grown = deepcopy(zone)
    supply = grown["supply"]
    if "pump_curve" in supply:
        supply["pump_curve"] = [[flow, pressure + more] for flow, pressure in supply["pump_curve"]]
    elif "water_level" in supply:
        supply["water_level"] += more
    else:
        supply["static_pressure"] += more
        if "flow_test" in supply:
            supply["flow_test"]["residual_pressure"] += more
    (before, old), (after, new) = profiles(zone), profiles(grown)
    assert after.flow >= before.flow * (1 - 1e-9)
    for address, (_, pressure) in old.items():
        assert (new[address][1] >= pressure - NEAR).all(), address
    for one, other in zip(before.runs or [], after.runs or [], strict=True):
        flow = [run.profile.columns["outlet_flow"] for run in (one, other)]
        there = ~np.isnan(flow[0])
        assert (flow[1][there] >= flow[0][there] - 1e-13).all()


@settings(max_examples=18)
@given(strategies.zones(runs=strategies.grids(most_rows=4)), st.sampled_from(["header", "edge", "exhaust"]))
def test_a_throttled_pipe_of_a_loop_passes_no_more(zone, throttled):
    """T5: the head where the water enters it never falls, where it leaves it never rises, and its flow never grows."""
    grown = deepcopy(zone)
    next(run for run in grown["runs"] if run["id"] == throttled)["fittings"] = {"globe_valve": 20}
    (before, old), (after, new) = profiles(zone), profiles(grown)
    for one, other in zip(before.runs or [], after.runs or [], strict=True):
        if one.run.rpartition("/")[2] != throttled or one.run.count(":2") or one.run.count(":3"):
            continue  # one pipe is throttled, so its copies in other beds are others
        assume(not any("copies" in run and run["copies"]["count"] > 1 for run in zone["runs"] if run["id"] == "bed"))
        assert abs(other.inlet_flow) <= abs(one.inlet_flow) * (1 + 1e-6) + 1e-12
        sign = 1 if one.inlet_flow > 0 else -1
        (_, was), (_, now) = old[one.run], new[one.run]
        assert sign * (now[0] - was[0]) >= -NEAR
        assert sign * (now[1] - was[1]) <= NEAR


@settings(max_examples=35)
@given(strategies.zones(supply=strategies.supplies(low=5, high=90)))
def test_thresholds_stand_in_order(zone):
    thresholds = ask(zone).regulator.thresholds
    rising = [
        threshold.pressure
        for threshold in (
            thresholds.lowest_without_regulator,
            thresholds.works_with_regulator,
            thresholds.lowest_with_regulator,
        )
        if threshold is not None
    ]
    assert all(one <= other + 0.05 * 6894.757 for one, other in pairwise(rising))
