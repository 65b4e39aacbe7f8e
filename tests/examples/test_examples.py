"""Every example, posted to the running service, is answered as committed; the README says what is so."""

import json

import pytest

from service.api import examples
from service.cli.reply import CHECK, JSON
from tests.examples.likeness import differences
from tests.examples.readme import block, curl
from tests.examples.rewrite import SHOWN, excerpt


def ask(service, body, path=CHECK):
    reply = service.post(path, content=body, headers=JSON)
    assert reply.status_code == 200, reply.text
    return reply.json()


@pytest.mark.parametrize("name", examples.names())
def test_example_is_answered_as_committed(service, name):
    assert not list(differences(examples.answer(name), ask(service, examples.written(name))))


def codes(answer, severity=None):
    return {finding["code"] for finding in answer["findings"] if severity in {None, finding["severity"]}}


# What each example is there to show, worked out by hand from its request: flows are outlets times their flow, in gpm.
FLOWS = {
    "dahlia-rows": 8 * 80 * 0.6 / 60,
    "rose-bank": 24 * 2 * 1 / 60,
    "quince-on-the-wall": 5 * 4 * 2 / 60,
    "quince-on-a-slope": (2 + 2) * 2 / 60,
    "long-line-from-its-centre": 180 * 2 / 60,
    "drip-grid-on-a-slope": 11 * 60 * 0.6 / 60,
    "forty-small-tubes": 40 * 1 / 60,
    "crest-between-hollows": 50 * 1 / 60,
    "nested-copies": 3 * 4 * 40 * 0.6 / 60,
    "low-pressure-with-regulator": 4 * 60 * 0.6 / 60,
}


@pytest.mark.parametrize(("name", "flow"), FLOWS.items())
def test_compensating_outlets_that_are_fed_give_their_flow(name, flow):
    assert examples.answer(name)["flow"] == pytest.approx(flow, rel=1e-9)
    assert examples.answer(name)["verdict"] != "fail"


@pytest.mark.parametrize("name", ["dahlia-rows-end-to-end", "long-line-from-one-end"])
def test_lines_that_are_too_long_fail_for_want_of_pressure(name):
    answer = examples.answer(name)
    assert answer["verdict"] == "fail"
    assert "outlet-pressure-low" in codes(answer, "fail")
    assert answer["regulator"]["advice"] == "rework_zone"


def test_no_supply_pressure_suits_the_broken_twin_as_the_readme_says():
    thresholds = examples.answer(examples.TWIN)["regulator"]["thresholds"]
    lowest, highest = thresholds["lowest_without_regulator"], thresholds["highest_without_regulator"]
    assert lowest["pressure"] > highest["pressure"]


def test_the_demo_zone_passes():
    assert examples.answer(examples.DEMO)["verdict"] == "pass"


def test_the_valve_of_the_quince_is_made_for_more_flow():
    assert "device-flow-low" in codes(examples.answer("quince-on-the-wall"), "caution")


def test_a_weak_supply_is_better_off_without_a_regulator():
    regulated, plain = (examples.answer(f"low-pressure-{way}-regulator") for way in ("with", "without"))
    assert (regulated["regulator"]["state"], plain["regulator"]["state"]) == ("not_holding", "absent")
    assert regulated["regulator"]["advice"] == "leave_out"
    assert plain["end_of_line_pressure"] > regulated["end_of_line_pressure"]


def test_a_closed_grid_has_no_open_end_and_gains_by_falling():
    answer = examples.answer("drip-grid-on-a-slope")
    assert answer["end_of_line"] == []
    # 3 ft of fall; water of 68 °F weighs 62.32 lb/ft³ (CRC Handbook, 0.99821 g/cm³), so 0.4328 psi a foot.
    edge = next(run for run in answer["runs"] if run["run"] == "edge")
    assert edge["elevation_change"] == pytest.approx(-3 * 62.32 / 144, rel=1e-3)


def test_the_crest_is_the_critical_place():
    critical = examples.answer("crest-between-hollows")["critical_outlet"]
    assert critical["at"] == pytest.approx(110)


def test_copies_of_copies_are_all_there():
    runs = [run["run"] for run in examples.answer("nested-copies")["runs"]]
    beds = [f"bed:{bed}" for bed in (1, 2, 3)]
    assert sorted(runs) == sorted(["feed", *beds, *(f"{bed}/row:{row}" for bed in beds for row in (1, 2, 3, 4))])


def test_answer_of_the_curl_example_is_the_one_in_the_readme(service):
    path, body = curl()
    assert not list(differences(json.loads(block("answer")), ask(service, body, path)))


@pytest.mark.parametrize("name", SHOWN)
def test_table_in_the_readme_is_the_one_at_the_terminal(name):
    assert block(name) == excerpt(name)


def test_every_answer_belongs_to_a_request():
    answers = {file.name for file in examples.folder().iterdir() if file.name.endswith(examples.ANSWER)}
    assert answers == {name + examples.ANSWER for name in examples.names()}


def test_likeness_tells_differences():
    alike = {"a": [1.0, {"b": "x"}], "iterations": 5}
    assert not list(differences(alike, {"a": [1.0 + 1e-8, {"b": "x"}], "iterations": 7}))
    other = {"a": [1.1, {"b": "y", "c": 1}], "iterations": 5}
    assert len(list(differences(alike, other))) == 3
    assert list(differences({"a": True}, {"a": 1}))
