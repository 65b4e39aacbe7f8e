"""A released contract changes only in ways that break no program written against it."""

import json
from copy import deepcopy

import pytest

from tests.clients.compatibility import breaks
from tests.clients.release import RELEASED, contract, current

SMALL = {
    "paths": {
        "/v1/zones/check": {
            "post": {
                "operationId": "checkZone",
                "parameters": [
                    {"in": "query", "name": "format", "schema": {"type": "string", "enum": ["json", "csv"]}},
                ],
                "requestBody": {"content": {"application/json": {"schema": {"$ref": "#/components/schemas/Zone"}}}},
                "responses": {
                    "200": {"content": {"application/json": {"schema": {"$ref": "#/components/schemas/Answer"}}}}
                },
            }
        }
    },
    "components": {
        "schemas": {
            "Zone": {
                "type": "object",
                "required": ["length"],
                "properties": {
                    "length": {
                        "type": "number",
                        "minimum": 0,
                        "maximum": 10,
                        "x-unit": {"us": {"unit": "ft", "minimum": 0, "maximum": 10}},
                    },
                    "name": {"type": "string", "maxLength": 10, "pattern": "^a$"},
                    "runs": {"type": "array", "maxItems": 5, "items": {"$ref": "#/components/schemas/Zone"}},
                    "pipe": {"oneOf": [{"type": "string"}, {"$ref": "#/components/schemas/Zone"}]},
                },
            },
            "Answer": {
                "type": "object",
                "required": ["verdict"],
                "properties": {
                    "verdict": {"type": "string", "enum": ["pass", "fail"]},
                    "flow": {"type": "number", "x-unit": {"us": {"unit": "gpm"}}},
                },
            },
        }
    },
}

OPERATION = "paths./v1/zones/check.post"
ZONE = "components.schemas.Zone"
ANSWER = "components.schemas.Answer"

BREAKS = [
    (OPERATION, "gone", None),
    (f"{OPERATION}.operationId", "another operationId", "zoneCheck"),
    (f"{OPERATION}.parameters.0", "?format: gone", None),
    (f"{OPERATION}.parameters.0.required", "now required", True),
    (f"{OPERATION}.parameters.0.schema.enum", "words gone", ["json"]),
    (f"{OPERATION}.requestBody.content.application/json", "no longer takes", None),
    (f"{OPERATION}.responses.200.content.application/json", "gone", None),
    (f"{ZONE}.required", "now required", ["length", "name"]),
    (f"{ZONE}.properties.name", "/name: gone", None),
    (f"{ZONE}.properties.name.type", "another type", "number"),
    (f"{ZONE}.properties.name.maxLength", "maxLength lowered", 9),
    (f"{ZONE}.properties.name.pattern", "another pattern", "^b$"),
    (f"{ZONE}.properties.name.enum", "now only some words", ["a"]),
    (f"{ZONE}.properties.length.maximum", "maximum lowered", 9),
    (f"{ZONE}.properties.length.minimum", "minimum raised", 1),
    (f"{ZONE}.properties.length.x-unit.us.unit", "another unit", "in"),
    (f"{ZONE}.properties.length.x-unit.us.maximum", "maximum lowered in us", 9),
    (f"{ZONE}.properties.runs.maxItems", "maxItems lowered", 4),
    (f"{ZONE}.properties.pipe.oneOf.0", "form string gone", None),
    (f"{ANSWER}.properties.flow", "/flow: gone", None),
    (f"{ANSWER}.properties.flow.x-unit.us.unit", "another unit", "gph"),
    (f"{ANSWER}.required", "may now be missing", []),
]

NO_BREAKS = [
    (f"{ZONE}.properties.water", {"type": "string"}),
    (f"{ZONE}.properties.name.maxLength", 11),
    (f"{ZONE}.required", []),
    (f"{OPERATION}.parameters.0.schema.enum", ["json", "csv", "xml"]),
    (f"{ANSWER}.properties.wasted", {"type": "number"}),
    (f"{ANSWER}.properties.verdict.enum", ["pass", "fail", "caution"]),
    (f"{ANSWER}.required", ["verdict", "flow"]),
    ("paths./v1/zones/uniform", {"get": {"operationId": "x", "responses": {}}}),
]


def changed(place, value):
    """SMALL with one thing changed, or taken away."""
    document = deepcopy(SMALL)
    *steps, last = [int(step) if step.isdecimal() and step != "200" else step for step in place.split(".")]
    node = document
    for step in steps:
        node = node[step]
    if value is None:
        del node[last]
    else:
        node[last] = value
    return document


@pytest.mark.parametrize(("place", "told", "value"), BREAKS)
def test_a_break_is_found(place, told, value):
    assert any(told in line for line in breaks(SMALL, changed(place, value)))


@pytest.mark.parametrize(("place", "value"), NO_BREAKS)
def test_an_addition_is_no_break(place, value):
    assert breaks(SMALL, changed(place, value)) == []


def test_nothing_released_is_broken():
    """Where a break is meant, it needs a new version in the path: see the policy in the README."""
    released = json.loads(RELEASED.read_text("utf-8"))
    assert breaks(released, contract(current())) == []
