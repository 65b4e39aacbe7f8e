"""Bodies that are refused: each the right status, none a surprise, none repeated to whoever sent it."""

import gzip
import json
from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.api.strict_json import UNKNOWN_SYNTAX, NotJson, parse

JSON = {"Content-Type": "application/json"}

# RFC 8259 (JSON) has no NaN, Infinity or byte order mark and leaves duplicate keys open; RFC 7493 (I-JSON, section 2)
# rules out duplicate keys, half surrogate pairs and numbers beyond a double.
NOT_JSON = {
    "nothing": b"",
    "not a value": b"zone",
    "a value and more": b'{"length": 1} {}',
    "NaN": b'{"length": NaN}',
    "Infinity": b'{"length": Infinity}',
    "minus Infinity": b'{"length": -Infinity}',
    "1e400": b'{"length": 1e400}',
    "-1e400": b'{"length": -1e400}',
    "an integer of 400 digits": b'{"length": ' + b"1" * 400 + b"}",
    "an integer of 5000 digits": b'{"length": ' + b"1" * 5000 + b"}",
    "a lone high surrogate": b'{"length": 1, "name": "\\ud800"}',
    "a lone low surrogate": b'{"length": 1, "name": "\\udc00 and more"}',
    "a surrogate in UTF-8": b'{"length": 1, "name": "\xed\xa0\x80"}',
    "a surrogate in a key": b'{"length": 1, "\\ud800": 1}',
    "bad UTF-8": b'{"name": "\xff"}',
    "UTF-16": '{"length": 1}'.encode("utf-16"),
    "a byte order mark": b'\xef\xbb\xbf{"length": 1}',
    "a key twice": b'{"length": 1, "length": 2}',
    "a key twice, once escaped": b'{"length": 1, "\\u006cength": 2}',
    "100 000 lists": b"[" * 100_000,
    "100 000 objects": b'{"a":' * 100_000,
    "50 000 closed lists": b"[" * 50_000 + b"]" * 50_000,
    "a trailing comma": b'{"length": 1,}',
    "single quotes": b"{'length': 1}",
    "a control character": b'{"name": "\x01"}',
}

NOT_A_TINY = {
    "null": (b"null", "#"),
    "a list": (b"[]", "#"),
    "a number": (b"12.5", "#"),
    "a text": (b'"length"', "#"),
    "no length": (b"{}", "#/length"),
    "length null": (b'{"length": null}', "#/length"),
    "true for a number": (b'{"length": true}', "#/length"),
    "text for a number": (b'{"length": "12.5"}', "#/length"),
    "a list for a number": (b'{"length": [1]}', "#/length"),
    "a huge integer": (b'{"length": 9999999999999999999}', "#/length"),
    "a huge number": (b'{"length": 1e308}', "#/length"),
    "below the range": (b'{"length": -1}', "#/length"),
    "half of a thing": (b'{"length": 1, "count": 1.5}', "#/count"),
    "a misspelt key": (b'{"length": 1, "cuont": 2}', "#/cuont"),
    "a key of markup": (b'{"length": 1, "<script>alert(1)</script>": 2}', "#"),
    "unknown units": (b'{"length": 1, "units": "furlong"}', "#/units"),
    "units of a wrong type": (b'{"length": 1, "units": ["us"]}', "#/units"),
    "a fault deep inside": (
        b'{"length": 1, "pieces": [{"length": 1}, {"lenght": 1, "length": 1}]}',
        "#/pieces/1/lenght",
    ),
    "a control character escaped": (b'{"length": 1, "name": "a\\u0000b"}', "#/name"),
    "a name of 10 kB": (b'{"length": 1, "name": "' + b"x" * 10_240 + b'"}', "#/name"),
}


@pytest.mark.parametrize("body", NOT_JSON.values(), ids=NOT_JSON)
def test_what_is_not_json_is_a_400(ask, body):
    answer = ask("POST", "/v1/tiny", content=body, headers=JSON)
    assert answer.status_code == 400
    assert answer.headers["Content-Type"] == "application/problem+json"
    assert answer.json()["type"] == "/problems/not-json"
    assert len(answer.content) < 500
    assert not [words for words in LIBRARY_WORDS if words in answer.text]


LIBRARY_WORDS = ("Expecting", "delimiter", "Unterminated", "Invalid", "Extra data", "escape:", "char ", "decode")
"""From the messages of json.decoder in the standard library, whose words are for its callers."""

SYNTAX = {
    b"  ": "The body is empty.",
    b'{"length": 1': "The body ends before its value does: line 1, column 13.",
    b'{"length": }': "A value is missing, or is written as JSON has none: line 1, column 12.",
    b'{"length" 1}': "A colon is missing: line 1, column 11.",
    b'{"length": 1\n "count": 2}': "A comma or a closing bracket is missing: line 2, column 2.",
    b"{'length': 1}": "A name in double quotes is missing: line 1, column 2.",
    b'{"name": "x}': "A text has no closing quote: line 1, column 10.",
    b'{"name": "\\q"}': "A text holds a backslash that escapes nothing: line 1, column 11.",
    b'{"name": "\\u12"}': "A text holds a backslash that escapes nothing: line 1, column 12.",
    b'{"name": "\t"}': "A text holds a control character that is not escaped: line 1, column 11.",
    b"{} {}": "More follows where the value has ended: line 1, column 4.",
    b"\xef\xbb\xbf{}": "A byte order mark stands before the value: line 1, column 1.",
}


@pytest.mark.parametrize(("body", "told"), SYNTAX.items(), ids=map(repr, SYNTAX))
def test_a_fault_of_syntax_is_told_with_line_and_column(ask, body, told):
    assert ask("POST", "/v1/tiny", content=body, headers=JSON).json()["detail"] == told


@given(st.binary(max_size=40) | st.text('{}[]",:\\u1 e-ntfa\n', max_size=40).map(str.encode))
def test_no_library_speaks_to_callers(raw):
    told = ""
    try:
        parse(raw)
    except NotJson as fault:
        told = str(fault)
    assert not [words for words in LIBRARY_WORDS if words in told]
    assert not told.startswith(UNKNOWN_SYNTAX)


def test_what_cannot_be_trusted_is_told_place_by_place(ask):
    body = b'{"runs": [1, {"length": NaN, "rise": 1e400}], "count": 12345678901234567890, "a": 1, "a": 2, "<b>": [NaN]}'
    problem = ask("POST", "/v1/tiny", content=body, headers=JSON).json()
    assert problem["detail"] == "NaN and Infinity are no JSON numbers: #/runs/1/length. There is more."
    pointers = [error["pointer"] for error in problem["errors"]]
    # A name that is no plain one is not repeated: then the place is told as near as it can be.
    assert pointers == ["#/runs/1/length", "#/runs/1/rise", "#/count", "#/a", "#"]


def test_half_a_pair_is_told_with_its_place(ask):
    body = b'{"runs": [{"name": "\\ud83c\\udf39"}, {"name": "\\ud83c"}]}'
    problem = ask("POST", "/v1/tiny", content=body, headers=JSON).json()
    assert [error["pointer"] for error in problem["errors"]] == ["#/runs/1/name"]


def test_of_many_places_a_hundred_are_told(ask):
    answer = ask("POST", "/v1/tiny", content=b"[" + b"NaN," * 200_000 + b"1]", headers=JSON)
    assert answer.status_code == 400
    assert len(answer.json()["errors"]) == 100


@pytest.mark.parametrize(("body", "pointer"), NOT_A_TINY.values(), ids=NOT_A_TINY)
def test_json_that_does_not_fit_is_a_422_with_a_pointer(ask, body, pointer):
    answer = ask("POST", "/v1/tiny", content=body, headers=JSON)
    assert answer.status_code == 422
    problem = answer.json()
    assert problem["type"] == "/problems/invalid-input"
    assert [error["pointer"] for error in problem["errors"]] == [pointer]
    assert all(error["detail"] and error["accepted"] for error in problem["errors"])
    assert "<script>" not in answer.text
    assert len(answer.content) < 2000


def test_all_faults_are_told_at_once_those_of_the_query_too(ask):
    answer = ask("POST", "/v1/tiny?shape=csv&shape=xml", json={"count": 0, "pieces": [{"length": 0}], "nmae": "x"})
    assert {error["pointer"] for error in answer.json()["errors"]} == {
        "#/length",
        "#/count",
        "#/pieces/0/length",
        "#/nmae",
        "?shape",
    }


def test_a_misspelt_key_is_told_the_nearest_one(ask):
    error = ask("POST", "/v1/tiny", json={"length": 1, "lenght": 2}).json()["errors"][0]
    assert "Did you mean length?" in error["detail"]
    assert "length" in error["accepted"].split(", ")


@pytest.mark.parametrize(("units", "label"), [("us", "ft"), ("metric", "m")])
def test_a_range_is_told_in_the_units_of_whoever_asks(ask, units, label):
    error = ask("POST", "/v1/tiny", json={"units": units, "length": 1e9}).json()["errors"][0]
    assert error["accepted"].endswith(f" {label}")


def test_a_missing_number_is_told_with_its_range(ask):
    error = ask("POST", "/v1/tiny", json={}).json()["errors"][0]
    assert "a number from" in error["accepted"]


def test_ten_thousand_faults_list_a_hundred(ask):
    problem = ask("POST", "/v1/tiny", json={"length": 1, "pieces": [{"length": -1}] * 10_000}).json()
    assert len(problem["errors"]) == 100
    assert problem["detail"].startswith("10000 fields")


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"Content-Type": ""},
        {"Content-Type": "text/plain"},
        {"Content-Type": "application/x-www-form-urlencoded"},
        {"Content-Type": "multipart/form-data; boundary=x"},
        {"Content-Type": "application/json; charset=latin-1"},
        {"Content-Type": "application/xml"},
        {"Content-Type": "application/json, text/plain"},
    ],
)
def test_other_types_are_a_415(ask, headers):
    answer = ask("POST", "/v1/tiny", content=b'{"length": 1}', headers=headers)
    assert answer.status_code == 415
    assert answer.headers["Accept"] == "application/json"
    assert answer.json()["type"] == "/problems/not-sent-as-json"


TWICE = [
    [("Content-Type", "application/json"), ("Content-Type", "text/plain")],
    [("Content-Type", "application/json"), ("Content-Encoding", "identity"), ("Content-Encoding", "gzip")],
]


@pytest.mark.parametrize("headers", TWICE)
def test_no_second_type_or_coding_is_passed_over(ask, headers):
    assert ask("POST", "/v1/tiny", content=b'{"length": 1}', headers=headers).status_code == 415


@pytest.mark.parametrize("kind", ["application/json", "APPLICATION/JSON", 'application/json; charset="UTF-8"'])
def test_json_by_any_spelling_is_taken(ask, kind):
    assert ask("POST", "/v1/tiny", content=b'{"length": 1}', headers={"Content-Type": kind}).status_code == 200


@pytest.mark.parametrize("coding", ["gzip", "br", "deflate", "x-unknown"])
def test_a_compressed_body_is_a_415(ask, coding):
    body = gzip.compress(b'{"length": 1}')
    answer = ask("POST", "/v1/tiny", content=body, headers={**JSON, "Content-Encoding": coding})
    assert answer.status_code == 415
    assert answer.headers["Accept-Encoding"] == "identity"


def test_a_body_over_the_limit_is_a_413(ask):
    answer = ask("POST", "/v1/tiny", content=b" " * (1024 * 1024 + 1), headers=JSON)
    assert answer.status_code == 413
    assert answer.json()["type"] == "/problems/body-too-large"


def test_jobs_may_be_larger(ask):
    body = b'{"length": 1}' + b" " * (2 * 1024 * 1024)
    assert ask("POST", "/v1/job", content=body, headers=JSON).status_code == 200


def test_a_large_body_is_read_like_a_small_one(ask):
    pieces = [{"length": 1}] * 20_000
    answer = ask("POST", "/v1/tiny", json={"length": 3, "pieces": pieces})
    assert answer.json() == {"length": 3, "pieces": 20_000}
    faulty = ask("POST", "/v1/tiny", json={"length": 3, "pieces": [*pieces, {"length": 0}]})
    assert [error["pointer"] for error in faulty.json()["errors"]] == ["#/pieces/20000/length"]
    metric = ask("POST", "/v1/tiny", json={"units": "metric", "length": 3, "pieces": pieces})
    assert metric.json()["length"] == 3


values = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(10**18), 10**18)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(), inner, max_size=4),
    max_leaves=20,
)


@given(values)
def test_what_other_writers_write_is_read_as_they_meant_it(value):
    """Second opinion: the json module of the standard library, in both spellings of non-ASCII text."""
    assert parse(json.dumps(value).encode()) == value
    assert parse(json.dumps(value, ensure_ascii=False).encode()) == value


@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused(raw):
    with suppress(NotJson):
        parse(raw)


@given(values)
def test_no_json_is_a_surprise(ask, value):
    answer = ask("POST", "/v1/tiny", content=json.dumps({"length": 1, "pieces": value, "count": value}), headers=JSON)
    assert answer.status_code in {200, 422}
