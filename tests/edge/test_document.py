"""The API document: bounded, free of null, and true about what is sent."""

import json
import re
from urllib.parse import urlsplit

import jsonschema
import pytest

from service.api.asked_examples import BESIDE, QUESTIONS
from service.api.problem_types import PROBLEM_TYPES, TYPE_OF_STATUS
from service.app import create_app
from service.settings import Settings
from tests.edge.conftest import asker

DOCUMENT = json.loads(json.dumps(create_app(Settings()).openapi()))

OPERATIONS = {
    operation["operationId"]: (method, path, operation)
    for path, item in DOCUMENT["paths"].items()
    for method, operation in item.items()
}


def schemas(node=DOCUMENT, place="#"):
    """Every schema of the document with its place."""
    if isinstance(node, list):
        for index, item in enumerate(node):
            yield from schemas(item, f"{place}/{index}")
    elif isinstance(node, dict):
        if isinstance(node.get("type"), str) and "in" not in node:
            yield place, node
        for key, value in node.items():
            if key not in {"example", "examples", "default", "const", "enum"}:
                yield from schemas(value, f"{place}/{key}")


def resolved(node):
    while "$ref" in node:
        target = DOCUMENT
        for step in node["$ref"].removeprefix("#/").split("/"):
            target = target[step]
        node = target
    return node


def test_it_is_openapi_3_1_with_all_that_linters_ask_for():
    assert DOCUMENT["openapi"] == "3.1.0"
    info = DOCUMENT["info"]
    assert info["contact"]["name"]
    assert info["license"] == {"name": "Apache-2.0", "identifier": "Apache-2.0"}
    assert [server["url"] for server in DOCUMENT["servers"]] == ["/"]
    used = {tag for _, _, operation in OPERATIONS.values() for tag in operation["tags"]}
    assert used == {tag["name"] for tag in DOCUMENT["tags"]}


def test_it_stands_in_the_order_of_the_work():
    assert [tag["name"] for tag in DOCUMENT["tags"]] == ["zones", "laterals", "head", "parts", "operations"]
    tags = [operation["tags"][0] for _, _, operation in OPERATIONS.values()]
    assert list(dict.fromkeys(tags)) == [tag["name"] for tag in DOCUMENT["tags"]]


@pytest.mark.parametrize("name", OPERATIONS)
def test_an_operation_has_a_stable_name_words_and_every_ending(name):
    method, path, operation = OPERATIONS[name]
    assert re.fullmatch(r"[a-z]+([A-Z][a-z]+)*", name)
    assert operation["summary"]
    assert operation["description"]
    answers = operation["responses"]
    assert {"200", "400", "405", "408", "414", "422", "431", "500"} <= answers.keys()
    if method == "post":
        assert {"413", "415"} <= answers.keys()
        content = operation["requestBody"]["content"]
        assert set(content) == {"application/json"}
        assert content["application/json"]["examples"]
    if path.startswith("/v1/"):
        assert {"406", "503"} <= answers.keys()
    for parameter in operation.get("parameters", []):
        assert parameter["description"], parameter["name"]


@pytest.mark.parametrize("name", OPERATIONS)
def test_everything_sent_and_answered_has_an_example(name):
    _, _, operation = OPERATIONS[name]
    for media_type, content in operation["responses"]["200"]["content"].items():
        assert media_type.startswith("image/") or content["examples"], media_type
    for parameter in operation.get("parameters", []):
        schema = parameter["schema"]
        shown = [parameter["example"]] if "example" in parameter else schema.get("examples", [])
        assert shown or {"enum", "default"} & schema.keys(), parameter["name"]
        assert "example" in parameter or not parameter["required"], parameter["name"]
        for value in shown:
            jsonschema.validate(value, {**schema, "components": DOCUMENT["components"]})


@pytest.mark.parametrize("name", QUESTIONS)
def test_a_question_of_examples_is_answered(ask, name):
    """What a page that shows the document fills in by itself."""
    _, path, operation = OPERATIONS[name]
    shown = {parameter["name"]: parameter for parameter in operation["parameters"] if "example" in parameter}
    assert set(shown) == set(QUESTIONS[name])
    query = {parameter["name"]: parameter["example"] for parameter in shown.values() if parameter["in"] == "query"}
    path = path.format(**{each["name"]: each["example"] for each in shown.values() if each["in"] == "path"})
    assert ask("GET", path, params=query).status_code == 200


def test_every_example_of_a_parameter_is_one_of_the_api():
    names = {
        parameter["name"] for _, _, operation in OPERATIONS.values() for parameter in operation.get("parameters", [])
    }
    assert set(BESIDE) <= names


def test_no_title_only_repeats_a_name():
    """The framework writes one for everything; those that say something are few."""
    named = [(place.rpartition("/")[2], schema["title"]) for place, schema in schemas() if "title" in schema]
    named += [
        (parameter["name"], parameter["schema"]["title"])
        for _, _, operation in OPERATIONS.values()
        for parameter in operation.get("parameters", [])
        if "title" in parameter["schema"]
    ]
    assert [name for name, title in named if title.lower().replace(" ", "_") == name.lower()] == []
    assert {title for _, title in named if " " in title} >= {"Catalogue id of emitter"}
    assert "title" in DOCUMENT["components"]["schemas"]["Problem"]["properties"]


def test_every_schema_is_bounded():
    loose = []
    for place, schema in schemas():
        kind = schema["type"]
        chosen = {"enum", "const"} & schema.keys()
        if kind == "string" and not chosen and not {"maxLength", "pattern"} <= schema.keys():
            loose.append(place)
        if kind == "array" and "maxItems" not in schema:
            loose.append(place)
        if kind == "integer" and not chosen and not {"minimum", "maximum", "format"} <= schema.keys():
            loose.append(place)
        if kind == "number" and not chosen and not {"minimum", "maximum"} <= schema.keys():
            loose.append(place)
        if kind == "number" and schema.get("format") != "double":
            loose.append(place)
    assert loose == []


def test_every_number_that_is_taken_has_both_bounds():
    """Upper and lower, so that no product or quotient of accepted numbers can overflow."""
    taken = [operation.get("requestBody", {}) for _, _, operation in OPERATIONS.values()]
    met, loose = set(), []

    def walk(node, place):
        if isinstance(node, list):
            for item in node:
                walk(item, place)
        elif isinstance(node, dict):
            if "$ref" in node and node["$ref"] not in met:
                met.add(node["$ref"])
                walk(resolved(node), node["$ref"])
            if node.get("type") in ("number", "integer") and not {"minimum", "maximum"} <= node.keys():
                loose.append(place)
            for key, value in node.items():
                if key not in {"example", "examples"}:
                    walk(value, f"{place}/{key}")

    walk(taken, "body")
    assert len(met) > 10
    assert loose == []


def test_there_is_no_null_and_no_twin():
    text = json.dumps(DOCUMENT)
    assert '"null"' not in text
    assert ": null" not in text
    names = set(DOCUMENT["components"]["schemas"])
    assert not [name for name in names if name.endswith(("-Input", "-Output", "_Input", "_Output"))]
    assert not names & {"HTTPValidationError", "ValidationError"}


def test_only_requests_are_closed_to_more_fields():
    """An answer may gain a field without breaking a strict client; a misspelt field of a request must be told."""

    def reached(node, met):
        if isinstance(node, list):
            for item in node:
                reached(item, met)
        elif isinstance(node, dict):
            if "$ref" in node and node["$ref"] not in met:
                met.add(node["$ref"])
                reached(resolved(node), met)
            for value in node.values():
                reached(value, met)
        return met

    taken = reached([operation.get("requestBody", {}) for _, _, operation in OPERATIONS.values()], set())
    for reference in taken:
        schema = resolved({"$ref": reference})
        if schema.get("type") == "object" and "properties" in schema:
            assert schema["additionalProperties"] is False, reference
    given = reached([operation["responses"] for _, _, operation in OPERATIONS.values()], set()) - taken
    for reference in given:
        assert resolved({"$ref": reference}).get("additionalProperties") is not False, reference


def examples_with_schemas():
    for name, (_, _, operation) in OPERATIONS.items():
        contents = [operation.get("requestBody", {}).get("content", {})]
        contents += [resolved(answer).get("content", {}) for answer in operation["responses"].values()]
        for content in contents:
            for media_type, described in content.items():
                shown = {key: value["value"] for key, value in described.get("examples", {}).items()}
                shown |= {"example": described["example"]} if "example" in described else {}
                for key, value in shown.items():
                    yield pytest.param(described["schema"], value, id=f"{name}-{media_type}-{key}")


@pytest.mark.parametrize(("schema", "value"), list(examples_with_schemas()))
def test_every_example_fits_its_schema(schema, value):
    """Second opinion: the jsonschema library, by the draft that OpenAPI 3.1 stands on."""
    jsonschema.Draft202012Validator({**schema, "components": DOCUMENT["components"]}).validate(value)


ALWAYS = {"content-length", "content-type"}

ASKED = [
    ("getHealth", "GET", "/healthz", {}),
    ("getHealth", "GET", "/healthz?x=1", {}),
    ("getHealth", "DELETE", "/healthz", {}),
    ("checkZone", "GET", "/v1/zones/check", {}),
    ("listParts", "GET", "/v1/parts?kind=regulator", {}),
    ("listParts", "GET", "/v1/parts?format=none", {}),
    ("getPart", "GET", "/v1/parts/pe-0.75in", {}),
    ("getPart", "GET", "/v1/parts/pe-0.7in", {}),
    ("checkZone", "POST", "/v1/zones/check", {"json": {}}),
    ("checkZone", "POST", "/v1/zones/check", {"content": b"{}"}),
    ("checkZone", "POST", "/v1/zones/check", {"content": b"{", "headers": {"Content-Type": "application/json"}}),
    ("checkZone", "POST", "/v1/zones/check", {"json": " " * 2**20}),
    ("checkZone", "POST", "/v1/zones/check", {"json": {}, "headers": {"X-Long": "x" * 2**15}}),
]


@pytest.mark.parametrize(("operation", "method", "path", "sent"), ASKED)
@pytest.mark.parametrize("origin", [None, "https://sheets.example"])
def test_the_headers_described_are_the_headers_sent(operation, method, path, sent, origin):
    ask = asker(Settings(allowed_origins="https://sheets.example"))
    headers = {**sent.get("headers", {}), **({"Origin": origin} if origin else {})}
    answer = ask(method, path, **{**sent, "headers": headers})
    described = resolved(OPERATIONS[operation][2]["responses"][str(answer.status_code)])["headers"]
    known = {name.lower(): resolved(header) for name, header in described.items()}
    shown = {name.lower() for name in answer.headers} - ALWAYS
    assert shown <= known.keys()
    assert {name for name, header in known.items() if header["required"]} <= shown
    for name in shown & known.keys():
        schema = known[name]["schema"]
        value = int(answer.headers[name]) if schema["type"] == "integer" else answer.headers[name]
        jsonschema.validate(value, schema)


def test_the_busy_answer_is_described_with_retry_after():
    answer = resolved(OPERATIONS["checkZone"][2]["responses"]["503"])
    assert resolved(answer["headers"]["Retry-After"])["required"]


def test_every_type_of_problem_is_shown_where_its_status_is_told():
    told = {
        kind: int(example["value"]["status"])
        for answer in DOCUMENT["components"]["responses"].values()
        for kind, example in answer["content"]["application/problem+json"]["examples"].items()
    }
    # The others are for the gate that an operator may put before it.
    assert set(PROBLEM_TYPES) - set(told) == {"sign-in-needed", "not-allowed", "too-many-requests"}
    assert told == {slug: PROBLEM_TYPES[slug].status for slug in told}


def test_every_problem_it_shows_leads_to_a_page(ask):
    for kind in TYPE_OF_STATUS.values():
        assert ask("GET", urlsplit(kind.path).path).status_code == 200
