"""The table at the terminal: what it says, how wide it is, when it is coloured."""

import re

import pytest

from service.render.columns import width
from service.render.terminal import MOST_RUNS, Report
from service.schemas.wire import to_wire
from service.units.dimensions import System, labels
from service.units.sentence import Sentence
from tests.answers import check_answer, finding, run

INK = re.compile(r"\x1b\[[0-9;]*m")


def report(most=80, *, colour=False, system=System.US, **changed):
    answer = check_answer(units=labels(system), **changed)
    return str(Report(to_wire(answer, system), most, colour=colour))


def test_it_opens_with_name_and_verdict():
    assert report().startswith("Flower plot: PASS\n")


@pytest.mark.parametrize("most", [60, 80, 120])
@pytest.mark.parametrize("system", System)
def test_no_line_is_wider_than_the_terminal(most, system):
    long = finding("caution", "valve-flow", "The zone draws less than the valve is made for. " * 5)
    lines = report(most, system=system, findings=[long]).splitlines()
    # Two columns of figures more than fit on 60 stay whole: a cut figure would be a wrong one.
    assert max(map(width, lines)) <= max(most, 72)


def test_findings_come_before_the_figures_with_their_source():
    text = report(findings=[finding("fail", "outlet-starved", "It starves.")], verdict="fail")
    assert text.index("FAIL    valve (outlet-starved)") < text.index("Where the pressure goes")
    assert "It starves. [by hand]" in text


def test_the_supply_stands_among_its_thresholds():
    lines = report().splitlines()
    rungs = [line for line in lines if line.strip().startswith(("enough", "rule of thumb", "this supply"))]
    assert [re.search(r"\d+\.\d", rung)[0] for rung in rungs] == ["38.2", "60.0", "64.0"]


def test_of_many_runs_it_lists_those_with_the_lowest_pressure():
    many = [run(f"row:{number}", lowest=40.0 - number / 100) for number in range(1, 501)]
    text = report(runs=many)
    assert f"the {MOST_RUNS} of lowest pressure out of 500" in text
    assert "row:500 " in text
    assert "row:460 " not in text


def test_what_does_not_exist_is_not_printed():
    text = report(runs=None, end_of_line_pressure=None, cautions=[], assumed=[])
    for heading in ("Runs", "end of the line", "Mind", "Assumed", "None", "nan"):
        assert heading not in text


def test_colour_only_adds_ink():
    changed = {"findings": [finding("note", "drain-back", "It drains.")]}
    assert INK.sub("", report(colour=True, **changed)) == report(**changed)
    assert not INK.search(report(**changed))


def test_a_name_cannot_steer_the_terminal():
    assert "\u202e" not in report(name="rows\u202e")


def test_it_tells_the_supply_and_what_is_left_of_it():
    supply = check_answer().supply.model_copy(update={"reasons": [Sentence("Another zone can draw as much.")]})
    lines = report(supply=supply).splitlines()
    told = lines.index("Supply: 64 psi with no flow, 55.4 psi at 6.4 gpm")
    assert lines[told + 1] == "  - Another zone can draw as much."


@pytest.mark.parametrize(("steps", "words"), [(1, "1 iteration."), (2, "2 iterations.")])
def test_one_iteration_is_no_more_than_one(steps, words):
    method = check_answer().method.model_copy(update={"iterations": steps})
    assert report(method=method).endswith(f"converged in {words}")
