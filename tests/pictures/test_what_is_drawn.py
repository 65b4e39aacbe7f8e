"""Pictures show what the answer says: the data behind the axes against the document of the check."""

from itertools import pairwise

import numpy as np
import pytest
from matplotlib.figure import Figure

from service.render.pictures import profile
from service.render.pictures.budget import merged, steps_of
from service.render.pictures.canvas import critical_outlet
from service.render.pictures.plan import classes, plan_of
from service.render.pictures.profile import envelope, profile_of
from service.render.pictures.response import curves_of, marks_of
from service.render.plot import Plot, Size, drawn
from service.schemas.wire import to_wire
from service.schemas.zone import Zone
from service.units.dimensions import System
from service.zones.trace import trace
from tests.pictures.drawn_from import NAMES, answer, document, made_for

SHOWN = ("dahlia-rows", "dahlia-rows-metric", "drip-grid-on-a-slope", "forty-small-tubes", "nested-copies", "many")


def by_run(name):
    return {run["run"]: run for run in answer(name)["runs"]}


@pytest.mark.parametrize("name", SHOWN)
def test_every_pressure_of_the_profile_stands_in_the_answer(name):
    drawn, runs = profile_of(document("profile", name)), by_run(name)
    assert {line.run for line in drawn.lines} == set(runs)
    for line in drawn.lines:
        places = {round(row["at"], 6): row for row in runs[line.run]["profile"]}
        for distance, pressure, flow in zip(line.distance - line.distance[0], line.pressure, line.flow, strict=True):
            row = places[round(distance, 6)]
            assert pressure == pytest.approx(row["pressure"], rel=1e-9)
            assert flow == pytest.approx(row["flow"], rel=1e-9, abs=1e-12)


@pytest.mark.parametrize("name", SHOWN)
def test_the_way_leads_without_a_gap_from_the_zone_inlet_to_the_critical_outlet(name):
    drawn, told = profile_of(document("profile", name)), answer(name)
    assert drawn.way[0].distance[0] == 0
    assert drawn.way[0].pressure[0] == pytest.approx(told["zone_inlet_pressure"])
    for above, below in pairwise(drawn.way):
        assert above.distance[-1] == pytest.approx(below.distance[0])
        assert above.pressure[-1] == pytest.approx(below.pressure[0])
    last, critical = drawn.way[-1], told["critical_outlet"]
    assert last.run == critical["run"]
    assert drawn.critical_at - last.distance[0] == pytest.approx(critical["at"])


@pytest.mark.parametrize("name", NAMES)
def test_every_stretch_of_pipe_is_on_the_way_or_off_it(name):
    drawn = profile_of(document("profile", name))
    spans = [line.span for line in (*drawn.way, *drawn.others)]
    every = [line.span for line in drawn.lines]
    assert sum(end - start for start, end in spans) == pytest.approx(sum(end - start for start, end in every))
    assert len(drawn.joined) == sum("joins" in pipe for pipe in document("profile", name)["pipes"])


def test_on_a_ring_the_way_ends_at_the_critical_outlet_and_the_rest_of_the_water_comes_from_the_other_end():
    drawn = profile_of(document("profile", "ring"))
    (ring,) = drawn.joined
    (rest,) = (line for line in drawn.others if line.run == "ring")
    assert drawn.way[-1].span[1] == rest.span[0] == drawn.critical_at
    assert rest.span[1] == ring.span[1] == pytest.approx(92.0)
    # By symmetry: both halves of a level ring draw the same, but for a fitting where it leaves.
    assert ring.flow[1] == pytest.approx(-ring.flow[-1], rel=0.02)
    assert rest.flow[1:].max() <= 0


def test_a_long_pipe_keeps_its_ends_and_a_header_all_its_steps():
    header, row = (
        next(p for p in document("profile", "many")["pipes"] if p["run"] == run) for run in ("header", "row:9")
    )
    assert len(header["places"]) == 62  # its start, sixty rows, its end
    assert (row["places"][0]["at"], row["places"][-1]["at"]) == (0.0, pytest.approx(30.0))


def test_a_very_long_line_is_thinned_out_in_even_steps():
    outlets = {"emitter": "inline-compensating-0.6gph", "spacing": 0.2}
    line = {"id": "line", "pipe": {"inside_diameter": 6, "material": "pvc"}, "length": 2000, "outlets": outlets}
    (pipe,) = made_for("plan", {"supply": {"static_pressure": 60}, "runs": [line]})["pipes"]
    at = [place["at"] for place in pipe["places"]]
    assert (at[0], at[-1]) == (0.0, pytest.approx(2000.0))
    assert 7_000 < len(at) < 8_001
    assert max(later - earlier for earlier, later in pairwise(at)) < 0.5


def test_the_range_of_many_lines_holds_each_of_them_and_nothing_where_there_is_none():
    across = np.array([0.0, 1.0, 2.0, 3.0])
    least, most = envelope([np.array([[0, 5.0], [1, 4.0]]), np.array([[0, 7.0], [1, 2.0], [2, 1.0]])], across)
    assert least.tolist()[:3] == [5.0, 2.0, 1.0]
    assert most.tolist()[:3] == [7.0, 4.0, 1.0]
    assert np.isnan(least[3])
    assert np.isnan(most[3])


@pytest.mark.parametrize("name", NAMES)
def test_the_steps_of_the_budget_lead_from_the_supply_to_the_critical_outlet(name):
    told = answer(name)
    steps = steps_of(told["loss_budget"])
    assert steps[0].before == pytest.approx(told["regulator"]["supply_pressure"])
    assert steps[-1].after == pytest.approx(told["critical_outlet"]["pressure"])
    for step, following in pairwise(steps):
        assert following.before == step.after
    for step in steps:
        assert step.before - step.loss - step.climb == pytest.approx(step.after)
        assert step.loss >= 0


def test_steps_put_together_take_as_much_as_before_and_leave_supply_and_regulator_alone():
    steps = steps_of(answer("dahlia-rows")["loss_budget"])
    few = merged(steps, 6)
    assert len(few) == 6
    assert sum(step.loss for step in few) == pytest.approx(sum(step.loss for step in steps))
    assert sum(step.climb for step in few) == pytest.approx(sum(step.climb for step in steps))
    assert (few[0], few[-1].after) == (steps[0], steps[-1].after)
    assert [step.stage for step in few if step.regulates] == ["regulator, holding"]
    assert merged(steps, 99) == steps


def test_the_response_meets_the_answer_at_the_supply_and_the_need_at_the_threshold():
    drawn, told = document("response", "dahlia-rows"), answer("dahlia-rows")
    supply, needs = told["regulator"]["supply_pressure"], told["critical_outlet"]["minimum"]
    regulated, bare = curves_of(drawn["with_regulator"]), curves_of(drawn["without_regulator"])
    at_supply = np.flatnonzero(np.isclose(regulated.supply, supply))[0]
    assert regulated.lowest[at_supply] == pytest.approx(told["lowest_outlet"]["pressure"], rel=1e-6)
    assert regulated.flow[at_supply] == pytest.approx(told["flow"], rel=1e-6)
    thresholds = told["regulator"]["thresholds"]
    for curves, name in ((bare, "lowest_without_regulator"), (regulated, "works_with_regulator")):
        assert np.interp(thresholds[name]["pressure"], curves.supply, curves.lowest) == pytest.approx(needs, abs=0.05)
    highest = thresholds["highest_without_regulator"]["pressure"]
    assert np.interp(highest, bare.supply, bare.highest) == pytest.approx(drawn["band"]["maximum"], abs=0.05)


def test_every_threshold_is_marked_once_by_rising_pressure():
    thresholds = answer("dahlia-rows")["regulator"]["thresholds"]
    marks = marks_of(document("response", "dahlia-rows"))
    assert [mark.number for mark in marks] == list(range(1, len(thresholds) + 1))
    assert [mark.pressure for mark in marks] == pytest.approx(sorted(each["pressure"] for each in thresholds.values()))


@pytest.mark.parametrize("name", SHOWN)
def test_the_plan_colours_every_foot_of_pipe_by_the_pressure_there(name):
    drawn, runs = plan_of(document("plan", name)), by_run(name)
    length = sum(float(np.abs(np.diff(stretch, axis=0)).sum()) for stretch in drawn.stretches)
    if drawn.true:
        assert length == pytest.approx(sum(run["profile"][-1]["at"] for run in runs.values()))
    every = [row["pressure"] for run in runs.values() for row in run["profile"]]
    assert min(every) <= drawn.pressure.min() <= drawn.pressure.max() <= max(every)
    assert drawn.bounds[0] <= min(every) <= max(every) <= drawn.bounds[-1]


def test_a_pipe_that_climbs_has_all_the_colours_on_its_way():
    feed = {"id": "feed", "pipe": "pvc-sch40-0.75in", "length": 50, "rise": 40}
    outlets = {"emitter": "compensating-1gph", "spacing": 5}
    row = {"id": "row", "from": "feed", "pipe": "pe-0.5in", "length": 50, "outlets": outlets}
    zone = Zone.model_validate({"supply": {"static_pressure": 30}, "runs": [feed, row]})
    drawn = plan_of(to_wire(trace(zone), System.US))
    of_feed = len(drawn.bounds) - 1
    assert of_feed > 2
    assert np.digitize(drawn.pressure, drawn.bounds).tolist()[:of_feed] == list(range(of_feed, 0, -1))


@pytest.mark.parametrize("name", ["nested-copies", "grids", "manifold"])
def test_no_pipe_is_drawn_with_a_gap(name):
    drawn = plan_of(document("plan", name))
    starts, ends = ({tuple(stretch[place].round(6)) for stretch in drawn.stretches} for place in (0, -1))
    for course in drawn.courses:
        assert tuple(course.start.round(6)) in starts
        assert tuple(course.corners(np.zeros(1))[0][-1].round(6)) in ends


@pytest.mark.parametrize(("low", "high"), [(0.6, 17.2), (-3.0, 480.0), (24.0, 25.0), (21.99, 23.51)])
def test_classes_of_pressure_are_few_reach_no_further_than_the_pressures_and_meet_at_round_figures(low, high):
    bounds = classes(np.array([low, high]))
    assert (bounds[0], bounds[-1]) == (low, high)
    assert 3 <= len(bounds) <= 9
    steps = np.diff(bounds[1:-1])
    assert steps == pytest.approx([steps[0]] * len(steps)) if len(steps) else True
    assert min(np.diff(bounds)) >= 0.5 * max(steps, default=0)


@pytest.mark.parametrize(("low", "high"), [(0.0, 0.0), (24.9, 25.0), (171.0, 172.4)])
def test_pressures_that_are_about_equal_are_one_class(low, high):
    assert classes(np.array([low, high])).tolist() == [low, high]


def test_a_critical_outlet_off_its_pipe_is_told_to_be_behind_its_small_tube():
    told = document("profile", "forty-small-tubes")
    assert critical_outlet(told).startswith("critical outlet, 24.2 psi behind its small tube: terrace at 79")
    assert "tube" not in critical_outlet(document("profile", "dahlia-rows"))


def test_the_mark_of_an_outlet_with_hardly_any_pressure_is_whole(monkeypatch):
    marks = []

    def seen(fill, *_):
        figure = Figure()
        fill(figure)
        marks.extend(line for line in figure.axes[0].lines if line.get_marker() == "D")
        return b""

    monkeypatch.setattr(profile, "picture", seen)
    profile.draw(document("profile", "uphill"), Size(1200, 800, 120), "png")
    assert [mark.get_clip_on() for mark in marks] == [False]


@pytest.mark.parametrize("plot", ["profile", "budget"])
def test_there_is_one_minus_sign(plot):
    drawing = drawn(document(plot, "uphill"), Plot(plot, Size(1200, 800, 120)), "svg").decode()
    assert ">-" in drawing
    assert "\N{MINUS SIGN}" not in drawing
