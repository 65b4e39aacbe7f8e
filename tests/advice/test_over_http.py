"""Regulator and filter advice over HTTP: bodies and their short forms agree, faults come back where they were made."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import Any

import httpx
import pytest

from service.api import examples
from service.app import create_app
from service.settings import Settings
from tests.examples.likeness import differences

REGULATORS, FILTERS, CHECK = "/v1/regulators/advice", "/v1/filters/advice", "/v1/zones/check"

ROWS = {
    "static_pressure": 64,
    "lateral_pipe": "dripline-17mm",
    "lateral_length": 80,
    "laterals": 8,
    "apart": 3,
    "emitter": "inline-compensating-0.6gph",
    "spacing": 1,
}
POND = {
    "source": "pond",
    "suspended_solids": 60,
    "ph": 7.7,
    "dissolved_solids": 450,
    "manganese": 0.05,
    "iron": 0.3,
    "hydrogen_sulfide": 0.1,
    "bacteria": 20_000,
    "calcium_hardness": 180,
    "alkalinity": 150,
}

Ask = Callable[..., httpx.Response]


@pytest.fixture(scope="module")
def ask() -> Ask:
    app = create_app(Settings())

    async def request(method: str, url: str, **kwargs: Any) -> httpx.Response:
        transport = httpx.ASGITransport(app)
        async with httpx.AsyncClient(transport=transport, base_url="http://endline.test") as client:
            return await client.request(method, url, **kwargs)

    return lambda method, url, **kwargs: asyncio.run(request(method, url, **kwargs))


def figures(answer: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in answer.items() if key != "assumed"}


def test_regulator_advice_is_the_block_of_the_check(ask):
    for name in ("dahlia-rows", "dahlia-rows-metric", "quince-on-the-wall"):
        zone = examples.request(name)
        alone, whole = (ask("POST", url, json=zone).json() for url in (REGULATORS, CHECK))
        assert {key: alone[key] for key in whole["regulator"]} == whole["regulator"]
        for key in ("name", "units", "version", "method", "assumed"):
            assert alone[key] == whole[key]


def test_regulator_advice_by_parameters_is_that_of_the_zone_they_are_short_for(ask):
    short, whole = (ask("GET", url, params=ROWS).json() for url in (REGULATORS, "/v1/zones/uniform"))
    assert {key: short[key] for key in whole["regulator"]} == whole["regulator"]
    assert short["assumed"] == whole["assumed"]


def test_filter_advice_by_parameters_is_that_of_its_body(ask):
    short = ask("GET", FILTERS, params={**POND, "flow": 6, "passage": 0.035, "water_temperature": 85})
    long = ask("POST", FILTERS, json={"water": {**POND, "temperature": 85}, "flow": 6, "passage": 0.035})
    assert (short.status_code, long.status_code) == (200, 200), (short.text, long.text)
    assert not list(differences(figures(long.json()), figures(short.json())))
    assert {one["constituent"] for one in long.json()["constituents"]} == set(POND) - {"source", "alkalinity"}


def test_the_warmest_water_is_assumed_only_where_nobody_says_how_warm_it_gets(ask):
    asked = {**POND, "flow": 6, "passage": 0.035}
    silent, said = (ask("GET", FILTERS, params={**asked, **more}).json() for more in ({}, {"water_temperature": 95}))
    listed = [{one["what"] for one in answer["assumed"]} for answer in (silent, said)]
    assert ["water.warmest_temperature" in names for names in listed] == [True, False]
    assert said["scaling"]["temperature"] == pytest.approx(95)


def test_either_units_give_the_same_advice(ask):
    us = ask("POST", FILTERS, json={"water": {**POND, "temperature": 77}, "flow": 6, "passage": 0.04}).json()
    metric = ask(
        "POST",
        FILTERS,
        json={
            "units": "metric",
            "water": {**POND, "temperature": 25},
            "flow": 6 * 3.785411784,
            "passage": 0.04 * 25.4,
        },
    ).json()
    assert us["suggested"] == metric["suggested"]
    assert us["opening"] == pytest.approx(metric["opening"])
    assert us["scaling"]["index"] == pytest.approx(metric["scaling"]["index"])
    assert (us["scaling"]["temperature"], metric["scaling"]["temperature"]) == (pytest.approx(77), pytest.approx(25))
    assert us["between_cleanings"]["volume"] * 3.785411784 == pytest.approx(metric["between_cleanings"]["volume"])


# What a cell asks for, and what it gets.
PICKS = [
    (REGULATORS, ROWS, "advice", "required"),
    (REGULATORS, ROWS, "suggested_set_pressure", "15"),
    (REGULATORS, ROWS, "suits.regulator-high-25psi.set_pressure", "25"),
    (REGULATORS, ROWS, "thresholds.common_practice.pressure", "60"),
    (FILTERS, {"flow": 6, "passage": 0.04}, "mesh", "150"),
    (FILTERS, {"flow": 6, "passage": 0.04, "iron": 2}, "clogging_hazard", "severe"),
    (FILTERS, {"flow": 6, "passage": 0.04, "iron": 2}, "constituents.iron.hazard", "severe"),
]


@pytest.mark.parametrize(("url", "parameters", "pick", "text"), PICKS)
def test_a_cell_gets_one_value(ask, url, parameters, pick, text):
    reply = ask("GET", url, params={**parameters, "pick": pick})
    assert reply.status_code == 200, reply.text
    assert reply.text == text


# What is wrong, where it is told, and a word of what would be accepted or is wrong.
GET_FILTER, GET_REGULATOR, POST_FILTER = f"GET {FILTERS}", f"GET {REGULATORS}", f"POST {FILTERS}"
FINE = {"flow": 6, "passage": 0.04}
WRONG = [
    (GET_FILTER, {"flow": 6}, "?passage", "exactly one of passage, emitter"),
    (GET_FILTER, {**FINE, "ph": 15}, "?ph", "from 0 to 14"),
    (GET_FILTER, {**FINE, "irn": 1}, "?irn", "iron"),
    (GET_FILTER, {**FINE, "source": "sea"}, "?source", "municipal"),
    (GET_FILTER, {"flow": 6, "emitter": "compensating-1gpm"}, "?emitter", "compensating-1gph"),
    (GET_REGULATOR, {**ROWS, "residual_pressure": 50}, "?test_flow", "test_flow beside residual_pressure"),
    (POST_FILTER, {**FINE, "emitter": "compensating-1gph"}, "", "exactly one of passage, emitter"),
    (POST_FILTER, {"passage": 0.04}, "/flow", "from"),
    (POST_FILTER, {**FINE, "water": {"bacteria": True}}, "/water/bacteria", "from 0"),
]


@pytest.mark.parametrize(("call", "asked", "pointer", "accepted"), WRONG)
def test_a_fault_is_told_at_its_field_with_what_is_accepted(ask, call, asked, pointer, accepted):
    method, url = call.split()
    reply = ask(method, url, **({"params": asked} if method == "GET" else {"json": asked}))
    assert reply.status_code == 422, reply.text
    errors = {error["pointer"].removeprefix("#"): error for error in reply.json()["errors"]}
    assert pointer in errors, errors
    assert accepted in errors[pointer]["accepted"]


def test_a_zone_that_is_none_is_refused_by_the_advice_as_by_the_check(ask):
    zone = examples.request("dahlia-rows")
    del zone["runs"][2]["outlets"]
    assert [ask("POST", url, json=zone).status_code for url in (REGULATORS, CHECK)] == [422, 422]
