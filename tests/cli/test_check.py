"""`endline check`, run as a person runs it."""

import io
import json
import sys

import httpx
import pytest

from service.__main__ import main
from service.api import examples
from service.cli.reply import CHECK, JSON
from tests.examples.likeness import differences
from tests.running import running_service


@pytest.fixture
def zone_file(tmp_path):
    def write(zone):
        file = tmp_path / "zone.json"
        file.write_text(zone if isinstance(zone, str) else json.dumps(zone), encoding="utf-8")
        return str(file)

    return write


def typed(monkeypatch, text):
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(text.encode())))


def test_a_zone_that_passes_ends_with_0(zone_file, capsys):
    assert main(["check", zone_file(examples.request(examples.DEMO))]) == 0
    assert capsys.readouterr().out.startswith("Flower plot, dahlia rows: ")


def test_a_zone_that_fails_ends_with_1(zone_file, capsys):
    assert main(["check", zone_file(examples.request(examples.TWIN))]) == 1
    assert "FAIL" in capsys.readouterr().out


def test_a_dash_reads_standard_input(monkeypatch, capsys):
    typed(monkeypatch, examples.written(examples.DEMO))
    assert main(["check", "-"]) == 0
    assert "Flower plot, dahlia rows" in capsys.readouterr().out


def test_json_is_what_the_service_answers_over_http(monkeypatch, capsys):
    typed(monkeypatch, examples.written(examples.DEMO))
    main(["check", "-", "--json"])
    printed = json.loads(capsys.readouterr().out)
    with running_service() as service:
        reply: httpx.Response = service.post(CHECK, content=examples.written(examples.DEMO), headers=JSON)
    assert not list(differences(printed, reply.json()))


def test_every_bad_field_is_named_at_once(zone_file, capsys):
    zone = examples.request(examples.DEMO)
    zone["runs"][0]["length"] = -3
    zone["runs"][1]["lenght"] = 21
    zone["supply"]["static_pressure"] = "64"
    assert main(["check", zone_file(zone)]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    for place in ("#/runs/0/length: ", "#/runs/1/lenght: ", "#/supply/static_pressure: "):
        assert place in err
    assert "Traceback" not in err


def test_a_fault_of_the_whole_zone_is_told_with_its_place(zone_file, capsys):
    zone = examples.request(examples.DEMO)
    zone["runs"][1]["from"] = "fed"
    assert main(["check", zone_file(zone)]) == 2
    assert "#/runs/1/from: " in capsys.readouterr().err


@pytest.mark.parametrize("text", ["", "{", '{"name": NaN}', "[1, 2]", '{"units": "us", "units": "us"}'])
def test_what_is_no_zone_ends_with_2(text, zone_file, capsys):
    assert main(["check", zone_file(text)]) == 2
    assert "Traceback" not in capsys.readouterr().err


def test_a_missing_file_is_said_so(capsys):
    assert main(["check", "no-such-zone.json"]) == 2
    assert capsys.readouterr().err == "endline: no-such-zone.json: No such file or directory\n"


def test_a_bad_setting_is_said_so(zone_file, monkeypatch, capsys):
    monkeypatch.setenv("ENDLINE_PORTT", "80")
    assert main(["check", zone_file({})]) == 2
    assert "ENDLINE_PORTT" in capsys.readouterr().err


def test_parts_of_the_operator_that_cannot_be_used_are_said_so(zone_file, tmp_path, monkeypatch, capsys):
    parts = tmp_path / "parts.toml"
    parts.write_text("units = 'us'\n[[pipe]]\nid = 'x'\n", encoding="utf-8")
    monkeypatch.setenv("ENDLINE_PARTS_FILE", str(parts))
    assert main(["check", zone_file({})]) == 2
    assert "pipe x" in capsys.readouterr().err
