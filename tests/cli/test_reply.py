"""What the terminal shows for a reply of the service, and the exit status."""

import io
import subprocess
import sys

import httpx
import pytest

from service.api import examples
from service.cli import reply
from service.schemas.wire import to_wire
from service.units.dimensions import System
from tests.answers import check_answer

PROBLEM = {
    "type": "/problems/invalid-input",
    "title": "The input cannot be taken as it is",
    "status": 422,
    "detail": "2 fields cannot be taken.",
    "errors": [
        {"pointer": "#/runs/0/length", "detail": "This field is missing.", "accepted": "a number"},
        {"pointer": "#/supply", "detail": "This field is missing.", "accepted": "an object"},
    ],
}


def answered(**changed):
    return httpx.Response(200, json=to_wire(check_answer(**changed), System.US))


@pytest.mark.parametrize(("verdict", "status"), [("pass", 0), ("caution", 0), ("fail", 1)])
def test_status_follows_the_verdict(verdict, status, capsys):
    assert reply.show(answered(verdict=verdict)) == status
    assert verdict.upper() in capsys.readouterr().out


def test_raw_answer_is_printed_as_it_came(capsys):
    came = answered()
    reply.show(came, raw=True)
    assert capsys.readouterr().out == came.text + "\n"


@pytest.mark.parametrize("raw", [False, True])
def test_a_terminal_without_unit_signs_still_gets_its_table(raw, monkeypatch):
    written = io.BytesIO()
    monkeypatch.setattr("sys.stdout", io.TextIOWrapper(written, encoding="ascii"))
    assert reply.show(answered(), raw=raw) == 0
    # JSON is UTF-8 wherever it goes (RFC 8259, section 8.1).
    assert ("ft²".encode() if raw else b"100 ?m") in written.getvalue()


def test_a_reader_that_has_enough_ends_nothing_badly():
    zone = f"{examples.folder()}/{examples.TWIN}{examples.REQUEST}"
    command = f"{sys.executable} -m service check {zone} | head -1; echo ${{PIPESTATUS[0]}}"
    done = subprocess.run(["bash", "-c", command], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[1:] == ["1"]
    assert done.stderr == ""


def test_each_fault_has_a_line_with_its_place_and_what_would_do(capsys):
    assert reply.show(httpx.Response(422, json=PROBLEM)) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert "#/runs/0/length: This field is missing. Accepted: a number\n" in err
    assert "#/supply: This field is missing. Accepted: an object\n" in err


def test_a_failure_of_the_service_is_no_fault_of_the_zone(capsys):
    unexpected = {"type": "/problems/unexpected", "title": "Something went wrong here", "status": 500, "detail": "."}
    assert reply.show(httpx.Response(500, json=unexpected)) == 3
    assert "Something went wrong here" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("variables", "terminal", "colour"),
    [
        ({}, True, True),
        ({}, False, False),
        ({"NO_COLOR": "1"}, True, False),
        ({"NO_COLOR": ""}, True, True),  # an empty value counts as unset: the convention of NO_COLOR, from memory
        ({"TERM": "dumb"}, True, False),
    ],
)
def test_colour_needs_a_terminal_that_wants_it(variables, terminal, colour, monkeypatch):
    for name in ("NO_COLOR", "TERM"):
        monkeypatch.delenv(name, raising=False)
    for name, value in variables.items():
        monkeypatch.setenv(name, value)
    monkeypatch.setattr("sys.stdout.isatty", lambda: terminal)
    assert bool(reply.in_colour()) is colour


@pytest.mark.parametrize(("columns", "width"), [("20", 60), ("100", 100), ("300", 120)])
def test_width_is_that_of_the_terminal_within_reason(columns, width, monkeypatch):
    monkeypatch.setenv("COLUMNS", columns)
    assert reply.width() == width
