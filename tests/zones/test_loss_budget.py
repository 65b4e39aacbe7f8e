"""The loss budget adds up to the last digit, loses nothing twice, and ends where the critical outlet is."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings

from tests import strategies
from tests.zones.flower_plot import HEAD, LOOSE, Json, ask, bed, outlets, plot, psi

KINDS = {"supply", "device", "regulation", "friction", "local", "tube", "elevation"}


def check_budget(zone: Json) -> None:
    answer = ask(zone)
    budget, supply = answer.loss_budget, answer.regulator.supply_pressure
    scale = max(supply, answer.critical_outlet.pressure, 1e5)
    total = supply - answer.critical_outlet.pressure
    assert sum(stage.loss + stage.elevation_change for stage in budget) == pytest.approx(total, abs=1e-9 * scale)
    assert budget[0].kind == "supply"
    assert {stage.kind for stage in budget} <= KINDS
    pressure = supply
    for stage in budget:
        pressure -= stage.loss + stage.elevation_change
        assert stage.loss >= 0.0
        assert stage.flow >= 0.0
        assert stage.pressure_after == pytest.approx(pressure, abs=1e-9 * scale)
    beyond = [
        stage for stage in budget if stage.kind in {"friction", "local", "tube"} and stage.stage != "service line"
    ]
    before = [stage for stage in budget if stage not in beyond]
    assert before[-1].pressure_after == pytest.approx(answer.zone_inlet_pressure, abs=1e-2)
    if not any("closes_to" in run for run in zone["runs"]):
        assert all(nearer.flow >= farther.flow - 1e-12 for nearer, farther in pairwise(beyond))


@settings(max_examples=28)
@given(strategies.zones(runs=strategies.trees()))
def test_the_budget_of_a_tree_adds_up(zone):
    check_budget(zone)


@settings(max_examples=28)
@given(strategies.zones(runs=strategies.grids()))
def test_the_budget_of_a_closed_grid_adds_up_and_loses_nothing_below_zero(zone):
    check_budget(zone)


@settings(max_examples=28)
@given(strategies.zones(supply=strategies.supplies(low=0.1, high=12)))
def test_the_budget_of_a_starved_zone_adds_up(zone):
    check_budget(zone)


def test_stages_stand_in_the_order_of_the_water():
    zone = plot(
        {"id": "feed", "pipe": "pvc-sch40-0.75in", "length": 40, "rise": 2, "fittings": {"elbow_90": 2}},
        bed(
            **{"from": "feed"},
            outlets=outlets(LOOSE, tube={"pipe": "tubing-0.25in", "length": 3, "rise": 0.5}),
        ),
        supply={
            "static_pressure": 64,
            "rise": 3,
            "meter_size": "0.75in",
            "service_line": {"pipe": "pvc-sch40-1in", "length": 50},
        },
    )
    stages = [(stage.stage, stage.kind) for stage in ask(zone).loss_budget]
    assert stages == [
        ("supply, nothing flowing", "supply"),
        ("from the gauge to the zone inlet", "elevation"),
        ("service line", "friction"),
        ("water meter", "device"),
        ("backflow preventer", "device"),
        ("valve", "device"),
        ("filter", "device"),
        ("regulator", "device"),
        ("regulator, holding", "regulation"),
        ("fittings of feed", "local"),
        ("feed", "friction"),
        ("bed", "friction"),
        ("small tube", "tube"),
    ]


def test_losses_of_devices_are_those_of_their_data():
    answer = ask(plot(head=HEAD, filter_state="due"))
    loss = {(stage.stage, stage.kind): psi(stage.loss) for stage in answer.loss_budget}
    # 0.5 gpm: 8 psi fixed; (0.5/9)² through Cv 9; 4 (0.5/8)² and 3 of dirt; 5 (0.5/7)².
    assert loss["backflow preventer", "device"] == pytest.approx(8)
    assert loss["valve", "device"] == pytest.approx((0.5 / 9) ** 2)
    assert loss["filter", "device"] == pytest.approx(4 * (0.5 / 8) ** 2 + 3)
    assert loss["regulator", "device"] == pytest.approx(5 * (0.5 / 7) ** 2)
    assert loss["supply as tested", "supply"] == pytest.approx(13 * (0.5 / 8) ** 1.852)
    clean = ask(plot(head=HEAD, filter_state="clean")).loss_budget
    assert {s.stage: psi(s.loss) for s in clean if s.stage == "filter"}["filter"] == pytest.approx(4 * (0.5 / 8) ** 2)


def test_a_dead_loop_up_a_hill_is_walked_through():
    """Nothing flows round it: the way goes up its own run and does not circle."""
    high = {"from": "up", "from_at": 250, "rise": 50, "closes_to": {"run": "up", "at": 300}}
    zone = plot(
        bed(),
        {"id": "up", "from": "bed", "pipe": "pe-0.75in", "length": 300, "rise": 300},
        bed(id="one", outlets=outlets(LOOSE), **high),
        bed(id="other", outlets=outlets(LOOSE), **high),
    )
    check_budget(zone)
    answer = ask(zone)
    assert answer.critical_outlet.run == "one"
    assert [stage.stage for stage in answer.loss_budget if stage.kind == "friction"] == ["bed", "up", "one"]


def test_of_equal_ways_the_one_declared_first_is_told():
    """A ring fed at one point: both halves bring the same to the far side."""
    ring = [
        {"id": "left", "pipe": "pe-0.75in", "length": 50},
        {"id": "right", "pipe": "pe-0.75in", "length": 50, "closes_to": {"run": "left", "at": 50}},
        bed(id="last", **{"from": "left"}),
    ]
    budget = ask(plot(*ring)).loss_budget
    assert [stage.stage for stage in budget if stage.kind == "friction"] == ["left", "last"]
    halves = [stage.flow for stage in budget if stage.kind == "friction"]
    assert halves[0] == pytest.approx(halves[1] / 2)


def test_an_outlet_where_pipes_meet_is_reached_like_any_other():
    """It stands at the top, where the run that goes on downhill leaves."""
    zone = plot(
        bed(id="up", rise=20, outlets=[{"at": 60, "emitter": LOOSE}]),
        bed(id="down", rise=-20, outlets=[{"at": 60, "emitter": LOOSE}], **{"from": "up"}),
    )
    check_budget(zone)
    answer = ask(zone)
    assert answer.critical_outlet.run == "up"
    assert [stage.stage for stage in answer.loss_budget if stage.kind == "friction"] == ["up"]


def test_an_outlet_at_the_zone_inlet_itself_is_reached_without_any_pipe():
    """A run that comes back to where the zone begins has its last outlet there; the other one hangs on a tall tube."""
    zone = plot(
        {"id": "out", "pipe": "pe-0.75in", "length": 60},
        bed(
            id="back",
            outlets=[{"at": 60, "emitter": LOOSE, "tube": {"pipe": "tubing-0.25in", "length": 9, "rise": 8}}],
            closes_to={"run": "out", "at": 0},
            **{"from": "out"},
        ),
    )
    check_budget(zone)
    budget = ask(zone).loss_budget
    assert "friction" not in {stage.kind for stage in budget}
    assert budget[-1].kind == "tube"
