"""What the JSON Schema of a request promises to generated clients and linters."""

import re

import pytest
from hypothesis import given
from jsonschema import Draft202012Validator

from service.schemas.filtration import Filtration
from service.schemas.filtration_query import FiltrationQuery
from service.schemas.lateral import Lateral
from service.schemas.profile_query import ProfileQuery
from service.schemas.uniform_query import UniformQuery
from service.schemas.zone import Zone
from tests.schemas.village_hall import DAHLIAS, QUINCE, changed
from tests.strategies import in_metric, zones

MODELS = (Zone, Lateral, Filtration, UniformQuery, ProfileQuery, FiltrationQuery)


def nodes(schema):
    """Every schema within a schema."""
    if isinstance(schema, dict):
        yield schema
        for value in schema.values():
            yield from nodes(value)
    elif isinstance(schema, list):
        for value in schema:
            yield from nodes(value)


def typed(model, kind):
    return [node for node in nodes(model.model_json_schema()) if node.get("type") == kind]


@pytest.mark.parametrize("model", MODELS)
def test_nothing_may_be_null(model):
    every = list(nodes(model.model_json_schema()))
    assert not [node for node in every if node.get("type") == "null" or node.get("default", ...) is None]
    assert not [node for node in every if "anyOf" in node and len(node["anyOf"]) < 2]


@pytest.mark.parametrize("model", MODELS)
def test_every_text_list_and_number_has_its_bounds(model):
    for node in typed(model, "string"):
        assert "enum" in node or "const" in node or {"maxLength", "pattern"} <= node.keys(), node
    for node in typed(model, "array"):
        assert {"maxItems", "minItems"} <= node.keys(), node
    for node in [*typed(model, "integer"), *typed(model, "number")]:
        assert {"minimum", "maximum", "format"} <= node.keys(), node


@pytest.mark.parametrize("model", MODELS)
def test_objects_take_no_unknown_fields(model):
    assert all(node.get("additionalProperties") is False for node in typed(model, "object"))


@pytest.mark.parametrize("model", MODELS)
def test_every_field_is_described(model):
    schema = model.model_json_schema()
    objects = [schema, *schema.get("$defs", {}).values()]
    for described in objects:
        for name, field in described.get("properties", {}).items():
            assert field.get("description") or "$ref" in field or "const" in field, (described["title"], name)


@pytest.mark.parametrize("model", MODELS)
def test_patterns_mean_the_same_to_every_reader(model):
    for node in typed(model, "string"):
        if "pattern" in node:
            assert node["pattern"].startswith("^")
            assert node["pattern"].endswith("$")
            re.compile(node["pattern"])


@given(zones())
def test_what_is_taken_is_what_the_document_says(body):
    document = Draft202012Validator(Zone.model_json_schema())
    for zone in (body, in_metric(body)):
        assert not list(document.iter_errors(zone))


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("supply", {"static_pressure": 64, "water_level": 20}),
        ("supply", {"flow_test": {"flow": 3, "residual_pressure": 20}}),
        ("head/1/loss", {"cv": 9, "kv": 8}),
        ("head/1/loss", {}),
        ("head/1/device", "vlave"),
        ("runs/2/outlets", 5),
        ("runs/2/outlets/emitter", 5),
        ("runs/0/fittings", {"elbow": 1}),
        ("runs/0/pipe", None),
        ("runs/0/id", "a:b"),
        ("runs", []),
        ("name", "\u0000"),
    ],
)
def test_what_the_document_forbids(path, value):
    document = Draft202012Validator(Zone.model_json_schema())
    assert not list(document.iter_errors(changed("runs/3", QUINCE)))
    assert list(document.iter_errors(changed(path, value, DAHLIAS)))
