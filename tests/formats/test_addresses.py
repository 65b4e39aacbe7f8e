"""Addresses that people are shown: each is answered, and short enough for every sheet.

A cell takes 2 048 characters: Microsoft Support, "WEBSERVICE function".
"""

import re
from pathlib import Path
from urllib.parse import quote, urlencode

import pytest

from service.app import create_app
from service.settings import Settings
from tests.formats.questions import UNIFORM

LONGEST = 2000

ROOT = Path(__file__).parents[2]

HOST = "https://irrigation.contractor.example"

DOCUMENTED = sorted(
    {
        address
        for file in [
            ROOT / "README.md",
            *(ROOT / "openapi_examples").glob("*.md"),
            *(ROOT / "openapi_examples").glob("*.py"),
        ]
        for address in re.findall(r"/v1/[a-z/]+\?[^\s\"'`)]+", file.read_text(encoding="utf-8"))
    }
)

EVERY_PARAMETER = {
    "name": "Flower plot behind the village hall, dahlia rows & quince (Ñandú)",
    "static_pressure": 64.25,
    "test_flow": 8.25,
    "residual_pressure": 51.75,
    "meter_size": "0.75in",
    "source": "reclaimed",
    "temperature": 60.5,
    "backflow_loss": 9.25,
    "valve_cv": 9.25,
    "filter_mesh": 150,
    "filter_loss": 3.25,
    "dirty_allowance": 3.25,
    "regulator": 25.5,
    "feed_pipe": "pvc-sch40-0.75in",
    "feed_length": 45.25,
    "feed_rise": -2.25,
    "header_pipe": "pe-0.75in",
    "apart": 3.25,
    "feed_at": "centre",
    "laterals": 12,
    "lateral_pipe": "dripline-17mm",
    "lateral_length": 80.25,
    "lateral_rise": 2.25,
    "spacing": 1.25,
    "first_at": 0.25,
    "count": 20,
    "per_place": 2,
    "outlet_flow": 0.625,
    "min_pressure": 8.25,
    "max_pressure": 50.25,
    "friction": "hazen_williams",
    "units": "us",
    "format": "text",
    "pick": "runs.header:1/lateral:6.end_pressure,regulator.thresholds.lowest_without_regulator.pressure,verdict",
    "decimal": "comma",
    "errors": "text",
}


def queries():
    """The query of every operation that is asked by parameters, made of the examples in the API document."""
    for path, item in create_app(Settings()).openapi()["paths"].items():
        parameters = item.get("get", {}).get("parameters", [])
        shown = {
            each["name"]: each["example"] if "example" in each else each["schema"]["examples"][0]
            for each in parameters
            if "example" in each or "examples" in each["schema"]
        }
        wanted = {each["name"] for each in parameters if each.get("required")}
        if wanted:
            yield path, shown, wanted


def test_the_addresses_in_the_words_are_answered_and_short(ask):
    assert len(DOCUMENTED) >= 5
    for address in DOCUMENTED:
        assert len(HOST + address) < LONGEST
        assert ask("GET", address).status_code == 200, address


@pytest.mark.parametrize(("path", "shown", "wanted"), list(queries()))
def test_the_examples_of_the_document_make_short_addresses(path, shown, wanted):
    names = {name: value for name, value in shown.items() if name in wanted or name not in {"plot", "table"}}
    assert wanted <= shown.keys() | {"id"}
    assert len(f"{HOST}{path}?{urlencode(names)}") < LONGEST


def test_an_address_with_every_parameter_is_answered_and_short(ask):
    address = f"{UNIFORM}?" + "&".join(
        f"{name}={quote(str(value), safe='')}" for name, value in EVERY_PARAMETER.items()
    )
    answer = ask("GET", address)
    assert not answer.text.startswith("ERROR")
    assert len(answer.text.split(";")) == 3
    assert len(HOST + address) < LONGEST


def test_no_parameter_is_left_out_above():
    operation = create_app(Settings()).openapi()["paths"][UNIFORM]["get"]
    names = {parameter["name"] for parameter in operation["parameters"]}
    # Those of pictures, which no cell shows, and those that exclude one of the others.
    pictures, excluded = {"plot", "width", "height", "dpi"}, {"emitter", "at_pressure", "exponent", "table", "download"}
    assert names - pictures - excluded == set(EVERY_PARAMETER)
