"""Zones that a contractor would try first, and what must come of them."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest

from service.schemas.answers import CheckAnswer, Verdict
from service.schemas.head_answers import Advice
from service.units.dimensions import System
from tests.zones.flower_plot import Json, ask, feet, gpm, plot, psi

EXAMPLES = Path(__file__).parents[2] / "openapi_examples"


def example(name: str, **changed) -> CheckAnswer:
    zone: Json = json.loads((EXAMPLES / f"{name}.request.json").read_text("utf-8"))
    return ask({**zone, **changed})


def said(answer: CheckAnswer, code: str) -> str:
    return next(finding.message.said(System.US) for finding in answer.findings if finding.code == code)


def test_a_900_ft_line_of_half_inch_tubing_fails_and_says_why():
    answer = example("long-line-from-one-end")
    assert answer.verdict is Verdict.FAIL
    assert answer.regulator.state == "holding"
    assert psi(answer.zone_inlet_pressure) == pytest.approx(25)
    # 180 emitters of 2 gph would take 6 gpm; starved of pressure they take less, the last ones least.
    assert gpm(answer.flow) < 6
    last = answer.critical_outlet
    assert (last.run, feet(last.at)) == ("hedge", pytest.approx(897.5))
    assert psi(last.pressure) < 10
    message = said(answer, "outlet-pressure-low")
    assert "897" in message
    assert "10 psi" in message
    assert "of 180 outlets are short" in message
    assert answer.regulator.advice is Advice.REWORK_ZONE
    needs = answer.regulator.thresholds.lowest_without_regulator
    assert psi(needs.pressure) > 64
    assert answer.regulator.thresholds.works_with_regulator is None


def test_a_stronger_supply_does_not_help_the_900_ft_line_behind_its_regulator():
    strong = example("long-line-from-one-end", supply={"static_pressure": 200})
    weak = example("long-line-from-one-end")
    assert strong.critical_outlet.pressure == pytest.approx(weak.critical_outlet.pressure, abs=0.01)


def test_the_same_tubing_fed_at_its_centre_passes():
    answer = example("long-line-from-its-centre")
    assert answer.verdict is Verdict.PASS
    assert gpm(answer.flow) == pytest.approx(6)
    assert psi(answer.critical_outlet.margin) > 2
    ends = [end.pressure for end in answer.end_of_line]
    assert ends[0] == pytest.approx(ends[1], abs=1e-2)


def test_a_closed_grid_on_a_slope_has_no_end_and_is_worst_at_the_top():
    answer = example("drip-grid-on-a-slope")
    assert answer.verdict is Verdict.PASS
    assert answer.end_of_line == []
    assert answer.end_of_line_pressure is None
    assert "end_of_line_pressure" in {one.what for one in answer.assumed}
    # 5 % of 60 ft are 3 ft, 1.3 psi: more than the friction of a row, so the top of a far row is the worst place.
    assert feet(answer.critical_outlet.at) == pytest.approx(0.5)
    assert psi(answer.highest_outlet.pressure - answer.lowest_outlet.pressure) == pytest.approx(1.3, abs=0.2)
    assert min(stage.loss for stage in answer.loss_budget) >= 0


def test_a_supply_of_25_psi_with_and_without_a_regulator():
    regulated, bare = (example(f"low-pressure-{how}-regulator") for how in ("with", "without"))
    assert regulated.regulator.state == "not_holding"
    assert regulated.regulator.advice is Advice.LEAVE_OUT
    assert "regulator-not-holding" in {finding.code for finding in regulated.findings}
    assert bare.regulator.state == "absent"
    # A regulator that does not hold is just another loss, here of 5 psi at 7 gpm by the square law.
    lost = psi(bare.zone_inlet_pressure - regulated.zone_inlet_pressure)
    assert lost == pytest.approx(5 * (2.4 / 7) ** 2, abs=1e-6)
    lows = [answer.regulator.thresholds.lowest_without_regulator.pressure for answer in (regulated, bare)]
    assert lows[0] == pytest.approx(lows[1], abs=5)


def test_forty_small_tubes_lose_each_their_own():
    answer = example("forty-small-tubes")
    assert gpm(answer.flow) == pytest.approx(40 / 60)
    tube = answer.loss_budget[-1]
    assert tube.kind == "tube"
    assert tube.flow == pytest.approx(answer.critical_outlet.flow)
    # 4 ft of quarter-inch tubing at 1 gph: laminar, h = 32 ν L v / (g D²); the bore is that of the catalogue.
    assert 0.01 < psi(tube.loss) < 0.05
    assert psi(tube.elevation_change) == pytest.approx(1.5 * 0.4328, rel=1e-3)


def test_a_crest_between_hollows_is_worst_at_the_crest():
    answer = example("crest-between-hollows")
    assert feet(answer.critical_outlet.at) == pytest.approx(110)
    assert "110 ft of walk" in said(answer, "air-relief")
    first_hollow = answer.highest_outlet
    assert feet(first_hollow.at) == pytest.approx(50)
    # From hollow to crest 20 ft: 8.66 psi, and some friction.
    assert psi(first_hollow.pressure - answer.critical_outlet.pressure) == pytest.approx(8.66, abs=0.3)


def test_a_crest_too_high_draws_air():
    zone = json.loads((EXAMPLES / "crest-between-hollows.request.json").read_text("utf-8"))
    zone["runs"][1]["ground"] = [[0, 0], [50, -8], [119, 60], [160, 24], [200, 0]]
    answer = ask(zone)
    assert answer.verdict is Verdict.FAIL
    assert {"negative-pressure", "outlet-pressure-low"} <= {finding.code for finding in answer.findings}
    assert "at 119 ft of walk" in said(answer, "negative-pressure")


def test_copies_within_copies_are_named_by_their_address():
    answer = example("nested-copies")
    names = [run.run for run in answer.runs]
    assert names[0] == "feed"
    assert {f"bed:{bed}/row:{row}" for bed in (1, 2, 3) for row in (1, 2, 3, 4)} < set(names)
    assert len(names) == 1 + 3 + 12
    assert {end.run for end in answer.end_of_line} == {name for name in names if "row" in name}
    assert answer.critical_outlet.run == "bed:3/row:4"
    assert [stage.stage for stage in answer.loss_budget][-3:] == ["feed", "bed:3", "bed:3/row:4"]


def test_the_rows_of_the_demo_pass_and_their_broken_twin_fails():
    passes, fails = example("dahlia-rows"), example("dahlia-rows-end-to-end")
    assert passes.verdict is Verdict.PASS
    assert passes.findings == []
    assert gpm(passes.flow) == pytest.approx(6.4)
    assert fails.verdict is Verdict.FAIL
    assert "of 640 outlets are short" in said(fails, "outlet-pressure-low")


def test_the_least_that_a_homeowner_can_say_is_answered_with_what_is_missing():
    run = {
        "id": "bed",
        "pipe": "tubing-0.5in-600-700",
        "length": 80,
        "outlets": {"emitter": "compensating-1gph", "spacing": 2},
    }
    answer = ask({"supply": {"static_pressure": 60}, "runs": [run]})
    assert answer.verdict is Verdict.FAIL
    assert [finding.code for finding in answer.findings] == [
        "outlet-pressure-high",
        "supply-untested",
        "backflow-preventer-missing",
        "filter-missing",
    ]
    assert "Fit a regulator" in said(answer, "outlet-pressure-high")
    assert answer.regulator.advice is Advice.REQUIRED
    weak = ask({"supply": {"static_pressure": 25}, "runs": [run]})
    assert weak.verdict is Verdict.CAUTION
    assert weak.regulator.advice is Advice.OPTIONAL


def hillside(emitter: str) -> CheckAnswer:
    """Nine rows along the contour of a hill that falls 16 ft in 40."""
    down = {"id": "down", "pipe": "pe-0.75in", "length": 40, "rise": -16}
    rows = {"from": "down", "from_at": 4, "copies": {"count": 9, "apart": 4}}
    row = {"id": "row", "pipe": "dripline-17mm", "length": 60, "outlets": {"emitter": emitter, "spacing": 1}, **rows}
    return ask(plot(down, row))


def test_outlets_that_close_keep_a_hillside_full_only_as_high_as_they_bear_the_water():
    """Closing at 3 psi they bear 6.9 ft of water: some still drains, but less."""
    drained = {}
    for emitter in ("inline-compensating-0.6gph", "inline-closing-0.6gph"):
        answer = hillside(emitter)
        assert answer.verdict is Verdict.PASS
        drained[emitter] = float(said(answer, "drain-back").split(" gal")[0].split()[-1])
    # Rows stand 1.6 ft of height apart, the lowest at 36 ft of the pipe. Above it lie 36 ft of 0.824 in bore and eight
    # rows of 60 ft with 0.57 in; 6.9 ft above it, 18.7 ft and four rows. A gallon is 231 cubic inches.
    for emitter, feet_down, rows in (("inline-compensating-0.6gph", 36, 8), ("inline-closing-0.6gph", 18.7, 4)):
        held = math.pi / 4 * 12 / 231 * (feet_down * 0.824**2 + rows * 60 * 0.57**2)
        assert drained[emitter] == pytest.approx(held, rel=0.02)


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("*.request.json")), ids=lambda path: path.name.split(".")[0])
def test_every_example_is_answered_in_either_state_of_the_filter(path):
    zone = json.loads(path.read_text("utf-8"))
    due, clean = (ask({**zone, "options": {"filter_state": state}}) for state in ("due", "clean"))
    assert clean.zone_inlet_pressure >= due.zone_inlet_pressure - 1e-3
    assert clean.method.filter_state == "clean"
