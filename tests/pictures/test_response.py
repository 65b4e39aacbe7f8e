"""The response of a zone to its supply, against checks of the same zone on other supplies and what physics demands."""

from copy import deepcopy
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.hydraulics.solve import solve
from service.render.pictures.response import Mark, boxes_of
from service.schemas.wire import to_wire
from service.schemas.zone import Zone
from service.zones import response
from service.zones.check import check
from tests.pictures.drawn_from import made_for, written
from tests.strategies import zones


@given(pressures=st.lists(st.floats(0, 100), min_size=1, max_size=8), scale=st.floats(0.5, 50))
def test_each_threshold_has_a_box_over_it_and_no_box_touches_another(pressures, scale):
    marks = [Mark(pressure, number, "") for number, pressure in enumerate(sorted(pressures), 1)]
    boxes = boxes_of(marks, scale)
    assert [number for box in boxes for number in box.numbers] == [mark.number for mark in marks]
    for left, right in pairwise(boxes):
        assert left.ends[1] <= right.ends[0]
    for box in boxes:
        for number in box.numbers:
            at = marks[number - 1].pressure * scale
            assert box.first <= at <= box.last
        assert len(box.numbers) > 1 or box.ends[0] < box.first < box.ends[1]


def test_thresholds_that_coincide_share_one_box():
    marks = [Mark(8.0, 1, ""), Mark(8.0, 2, ""), Mark(60.0, 3, "")]
    assert [box.text for box in boxes_of(marks, 5.0)] == ["1, 2", "3"]


LIST = ("supply_pressure", "flow", "lowest_pressure", "highest_pressure")


def columns(rows):
    return {name: np.array([row[name] for row in rows]) for name in LIST}


@pytest.mark.parametrize("name", ["dahlia-rows", "quince-on-a-slope", "rose-bank"])
def test_each_rung_is_the_check_of_the_zone_on_that_supply(name):
    zone = written(name)
    rows = made_for("response", zone)["with_regulator"]
    test = zone["supply"]["flow_test"]
    drop = zone["supply"]["static_pressure"] - test["residual_pressure"]
    for row in [row for row in rows if row["supply_pressure"] > drop][2::10]:
        other = deepcopy(zone)
        other["supply"]["static_pressure"] = row["supply_pressure"]
        other["supply"]["flow_test"]["residual_pressure"] = row["supply_pressure"] - drop
        read = Zone.model_validate(other)
        told = to_wire(check(read), read.units)
        assert row["lowest_pressure"] == pytest.approx(told["lowest_outlet"]["pressure"], abs=1e-5)
        assert row["flow"] == pytest.approx(told["flow"], rel=1e-6)


@settings(max_examples=12)
@given(zone=zones())
def test_more_supply_pressure_never_means_less_at_any_outlet_nor_less_flow(zone):
    drawn = made_for("response", zone)
    for kind in ("with_regulator", "without_regulator"):
        if kind in drawn:
            found = columns(drawn[kind])
            assert (np.diff(found["supply_pressure"]) > 0).all()
            for name in LIST[1:]:
                assert (np.diff(found[name]) >= -1e-6 * (1 + np.abs(found[name][:-1]))).all(), name


def test_a_regulator_is_suggested_where_the_head_has_none():
    drawn = made_for("response", written("mixed"))
    assert drawn["suggested"] is True
    held = columns(drawn["with_regulator"])["lowest_pressure"]
    assert held[-1] <= drawn["set_pressure"]


def test_outlets_that_differ_have_no_band_in_common():
    assert "band" not in made_for("response", written("mixed"))
    assert made_for("response", written("dahlia-rows"))["band"]["minimum"] == pytest.approx(8.0)


def test_the_ladder_begins_with_no_supply_at_all_and_an_unnamed_zone_is_the_zone():
    zone = written("dahlia-rows")
    del zone["name"]
    response = made_for("response", zone)
    assert response["name"] == "zone"
    for rows in (response["without_regulator"], response["with_regulator"]):
        assert (rows[0]["supply_pressure"], rows[0]["flow"]) == (0.0, 0.0)
        assert all(one["supply_pressure"] < other["supply_pressure"] for one, other in pairwise(rows))


def test_the_curve_of_flow_bends_smoothly_where_the_first_outlets_run():
    line = {"emitter": "inline-compensating-0.6gph", "spacing": 1}
    run = {"id": "line", "pipe": "dripline-17mm", "length": 80, "outlets": line}
    zone = {"supply": {"static_pressure": 5}, "runs": [run]}
    found = columns(made_for("response", zone)["without_regulator"])
    assert (np.diff(found["flow"]) / found["flow"].max()).max() < 0.12


def test_a_zone_too_large_for_one_stack_answers_as_one_that_is_not(monkeypatch):
    zone = written("dahlia-rows")
    together = made_for("response", zone)
    monkeypatch.setattr(response, "STACKED_NODES", 1)
    steps, afresh = [], []

    def counted(*asked, **how):
        solution = solve(*asked, **how)
        steps.append(solution.steps)
        afresh.append(solve(*asked, **how | {"start": None}).steps)
        return solution

    monkeypatch.setattr(response, "solve", counted)
    apart = made_for("response", zone)
    for kind in ("with_regulator", "without_regulator"):
        for name in LIST:
            assert columns(apart[kind])[name] == pytest.approx(columns(together[kind])[name], rel=1e-5, abs=1e-5), name
    assert sum(steps) < 0.8 * sum(afresh)  # each goes on from the one before
