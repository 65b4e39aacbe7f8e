"""Query parameters: read leniently as numbers, strictly as names."""

import re

import pytest
from fastapi.routing import iter_route_contexts

from service.app import create_app
from service.settings import Settings

ACCEPTED = {
    "length=12.5": 12.5,
    "length=12,5": 12.5,  # a sheet set to a decimal comma writes so
    "length=%2B5": 5.0,
    "length=+5": 5.0,  # an unencoded plus is a space
    "length=1e1": 10.0,
    "length=12.5&units=us": 12.5,
    "length=12.5&format=json": 12.5,
}

REFUSED = {
    "": "?length",
    "length=": "?length",
    "length=inf": "?length",
    "length=NaN": "?length",
    "length=1e400": "?length",
    "length=" + "1" * 400: "?length",
    "length=1e308": "?length",
    "length=-1": "?length",
    "length=1.234,5": "?length",
    "length=1,234.5": "?length",
    "length=1_000": "?length",
    "length=0x10": "?length",
    "length=٣": "?length",
    "length=true": "?length",
    "length=5&length=5": "?length",
    "length=5&lenght=5": "?lenght",
    "length=5&length=": "?length",
    "length=5&count=1.5": "?count",
    "length=5&units=": "?units",
    "length=5&units=imperial": "?units",
    "length=5&length%00=6": "?",
    "length=5&%3Cscript%3E=6": "?",
    "length=5&Length=6": "?Length",
}


@pytest.mark.parametrize(("query", "length"), ACCEPTED.items(), ids=ACCEPTED)
def test_a_number_is_read_as_sheets_write_it(ask, query, length):
    answer = ask("GET", f"/v1/tiny?{query}")
    assert answer.status_code == 200
    assert answer.json()["length"] == pytest.approx(length)


@pytest.mark.parametrize(("query", "pointer"), REFUSED.items(), ids=[query[:30] for query in REFUSED])
def test_a_parameter_that_cannot_be_taken_is_a_422(ask, query, pointer):
    answer = ask("GET", f"/v1/tiny?{query}")
    assert answer.status_code == 422
    assert [error["pointer"] for error in answer.json()["errors"]] == [pointer]
    assert "script" not in answer.text


def test_a_misspelt_parameter_is_told_the_nearest_one(ask):
    error = ask("GET", "/v1/tiny?length=1&lenght=2").json()["errors"][0]
    assert "Did you mean length?" in error["detail"]


def test_a_repeated_parameter_is_told_as_such(ask):
    error = ask("GET", "/v1/tiny?length=1&length=2").json()["errors"][0]
    assert error == {"pointer": "?length", "detail": "This parameter is given more than once.", "accepted": "one value"}


PAGES = [
    "/", "/docs", "/problems", "/problems/busy", "/evidence", "/evidence.csv", "/openapi.json", "/favicon.ico",
    "/static/page.css",
]  # fmt: skip


def test_pages_are_all_pages():
    """Every address outside of the document, so that none that is added can ignore a parameter."""
    routes = {route.path for route in iter_route_contexts(create_app(Settings()).routes) if not route.include_in_schema}
    shapes = [re.compile(re.sub(r"{\w+}", "[^/]+", path)) for path in routes]
    assert all(any(shape.fullmatch(page) for page in PAGES) for shape in shapes)


@pytest.mark.parametrize("path", ["/healthz", "/readyz", "/v1/tiny", *PAGES])
def test_no_address_ignores_a_parameter(ask, path):
    body = {"json": {"length": 1}} if path.startswith("/v1") else {}
    answer = ask("POST" if body else "GET", f"{path}?verbose=1", **body)
    assert answer.status_code == 422
    assert [error["pointer"] for error in answer.json()["errors"]] == ["?verbose"]


UNKNOWN_FORMATS = ["?format=yaml", "?format=", "?format=JSON", "?format=" + "x" * 500]


@pytest.mark.parametrize("query", UNKNOWN_FORMATS)
def test_an_unknown_format_is_a_406_with_the_list(ask, query):
    answer = ask("GET", f"/v1/tiny{query}&length=1")
    assert answer.status_code == 406
    assert "json" in answer.json()["errors"][0]["accepted"]


ACCEPTS = [
    ("*/*", 200),
    ("application/json", 200),
    ("application/*;q=0.1, image/webp", 200),
    ("text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8", 200),
    ("image/webp", 406),
    ("application/json;q=0", 406),
    ("application/json;q=many", 406),
    (",,;;", 406),
]


@pytest.mark.parametrize(("accept", "status"), ACCEPTS)
def test_the_header_accept_is_heard(ask, accept, status):
    answer = ask("GET", "/v1/tiny?length=1", headers={"Accept": accept})
    assert answer.status_code == status
    assert "Accept" in answer.headers["Vary"]


def test_format_wins_over_accept(ask):
    assert ask("GET", "/v1/tiny?length=1&format=json", headers={"Accept": "image/webp"}).status_code == 200


@pytest.mark.parametrize(
    ("query", "pointers"),
    [("name=%ff", ["?name"]), ("%ff=1", ["?"]), ("name=rose%20%c3&units=us&pick=%80", ["?name", "?pick"])],
)
def test_bytes_that_are_no_text_are_refused_and_not_guessed(ask, query, pointers):
    answer = ask("GET", f"/v1/zones/uniform?static_pressure=64&{query}")
    assert answer.status_code == 422
    assert [fault["pointer"] for fault in answer.json()["errors"]] == pointers
    assert {fault["accepted"] for fault in answer.json()["errors"]} == {"UTF-8, percent-encoded"}
    assert ask("GET", f"/v1/zones/uniform?errors=text&{query}").text.startswith("ERROR: ")


def test_text_of_any_script_is_text(ask):
    assert ask("GET", "/v1/parts?kind=%e8%8a%b1").status_code != 200
    assert "These bytes" not in ask("GET", "/v1/parts?kind=%e8%8a%b1").text
