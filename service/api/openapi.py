"""The OpenAPI document: what the framework writes, mended where generated clients and linters trip over it."""

from collections.abc import Iterator

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi
from fastapi.routing import APIRoute, iter_route_contexts
from pydantic import BaseModel

from service import __version__
from service.api.asked_examples import BESIDE, QUESTIONS
from service.api.documented import ANSWERS
from service.api.other_formats import other_contents, table_names
from service.api.pictured import plots_of
from service.api.plain_document import Json, drop_unused, plain
from service.api.problem_types import PROBLEM_TYPES, TYPE_OF_STATUS, ProblemType
from service.api.problems import MEDIA_TYPE, ProblemDetails, details_of_example
from service.api.sent_headers import EVERY_ANSWER, HEADERS, OF_STATUS

TITLE = "endline"

SUMMARY = "Will this drip-irrigation zone work with this water supply?"

DESCRIPTION = """\
Computes the pressure at every outlet of a drip-irrigation zone, from the water supply to the end of the last line, and
says what stands at its head and what it takes to build it.

Every request carries the whole zone; nothing is stored. Numbers are in the unit system the request names: `units` is
`us` (the default) or `metric`, and each answer repeats it with a label for every dimension. In the schemas `x-unit`
names the unit and the range of a number in both systems.

An answer that cannot be given is a problem (RFC 9457); each type has a page under `/problems`.
"""

TAGS = [
    {"name": "zones", "description": "A whole zone: does it work, and why, and what it takes to build it."},
    {"name": "laterals", "description": "One line with its outlets."},
    {"name": "head", "description": "What stands at the head of a zone: regulator and filter."},
    {"name": "parts", "description": "The catalogue of generic parts."},
    {"name": "operations", "description": "For those who run the service."},
]
"""In the order in which a zone is worked out."""

CALCULATIONS = "/v1/"

_ANY = (400, 405, 408, 414, 422, 431, 500)
_WITH_BODY = (413, 415)
_CALCULATION = (406, 503)

_REF = "#/components/schemas/{model}"


def describe_api(app: FastAPI) -> Json:
    """The document of an application, built once."""
    if app.openapi_schema is None:
        document = get_openapi(
            title=TITLE,
            version=__version__,
            openapi_version="3.1.0",
            summary=SUMMARY,
            description=DESCRIPTION,
            routes=app.routes,
            servers=[{"url": "/", "description": "production", "x-internal": False}],
            contact={"name": "The endline maintainers"},
            license_info={"name": "Apache-2.0", "identifier": "Apache-2.0"},
            separate_input_output_schemas=False,
        )
        operations = list(_operations(document))
        used = {tag for _, operation in operations for tag in operation["tags"]}
        document["tags"] = [tag for tag in TAGS if tag["name"] in used]
        components = document.setdefault("components", {})
        schemas = components.setdefault("schemas", {})
        for framework_own in ("HTTPValidationError", "ValidationError"):
            schemas.pop(framework_own, None)
        problem = ProblemDetails.model_json_schema(ref_template=_REF)
        schemas |= {**problem.pop("$defs"), "Problem": problem}
        components["headers"] = HEADERS
        components["responses"] = {_name(kind): _problem(kind) for kind in TYPE_OF_STATUS.values()}
        models = dict(_answer_models(app))
        for path, operation in operations:
            _describe_answers(path, operation)
            if path.startswith(CALCULATIONS) and operation["operationId"] in ANSWERS:
                _describe_formats(operation, models[operation["operationId"]])
            for parameter in operation.get("parameters", []):
                _show_parameter(operation["operationId"], parameter)
        document["paths"], document["components"] = plain(document["paths"]), plain(document["components"])
        drop_unused(document)
        app.openapi_schema = document
    return app.openapi_schema


def _operations(document: Json) -> Iterator[tuple[str, Json]]:
    for path, item in document.get("paths", {}).items():
        for operation in item.values():
            yield path, operation


def _show_parameter(operation: str, parameter: Json) -> None:
    """Give a parameter its example: a value that belongs to a whole question, or one beside it."""
    name, schema = parameter["name"], parameter["schema"]
    if name in QUESTIONS.get(operation, {}):
        parameter["example"] = QUESTIONS[operation][name]
    elif name in BESIDE:
        schema.setdefault("examples", [BESIDE[name]])


def _answer_models(app: FastAPI) -> Iterator[tuple[str, type[BaseModel]]]:
    """The model of each operation's answer."""
    for route in iter_route_contexts(app.routes):
        if isinstance(route.original_route, APIRoute):
            yield route.unique_id, route.original_route.response_model


def _describe_formats(operation: Json, model: type[BaseModel]) -> None:
    """What a calculation answers in formats other than JSON, and to those who have the answer already."""
    answer = operation["responses"]["200"]
    shown = next(iter(answer["content"]["application/json"]["examples"].values()))["value"]
    answer["content"] |= other_contents(model, shown)
    for parameter in operation["parameters"]:
        if parameter["name"] == "table":
            parameter["schema"]["enum"] = table_names(model)
        elif parameter["name"] == "plot":
            parameter["schema"]["enum"] = list(plots_of(model))
            parameter["schema"]["examples"] = [plots_of(model)[0]]
    answer["headers"] |= _headers("Content-Disposition")
    if "requestBody" not in operation:
        answer["headers"] |= _headers("ETag")
        operation["responses"]["304"] = {
            "description": "What If-None-Match names is still the answer.",
            "headers": _headers("ETag", *EVERY_ANSWER),
        }


def _describe_answers(path: str, operation: Json) -> None:
    """Every way the operation can end, with the headers that are really sent."""
    answers = operation["responses"]
    answers.pop("422", None)
    if operation["operationId"] in ANSWERS:
        answers["200"]["content"]["application/json"]["examples"] = ANSWERS[operation["operationId"]]()
    for answer in answers.values():
        answer["headers"] = _headers(*EVERY_ANSWER, *answer.get("headers", {}))
    statuses = list(_ANY)
    if "requestBody" in operation:
        statuses += _WITH_BODY
    if "{" in path:
        statuses.append(404)
    if path.startswith(CALCULATIONS):
        statuses += _CALCULATION
    for status in sorted(statuses):
        answers[str(status)] = {"$ref": f"#/components/responses/{_name(TYPE_OF_STATUS[status])}"}


def _problem(kind: ProblemType) -> Json:
    """The answers of a status, with an example of each type that has it."""
    of_status = (each for each in PROBLEM_TYPES.values() if each.status == kind.status)
    return {
        "description": kind.title,
        "headers": _headers(*EVERY_ANSWER, *OF_STATUS.get(kind.status, ())),
        "content": {
            MEDIA_TYPE: {
                "schema": {"$ref": _REF.format(model="Problem")},
                "examples": {each.slug: _example(each) for each in of_status},
            }
        },
    }


def _example(kind: ProblemType) -> Json:
    shown = details_of_example(kind).model_dump(mode="json", exclude_defaults=True)
    return {"summary": kind.title, "value": shown}


def _name(kind: ProblemType) -> str:
    return kind.slug.title().replace("-", "")


def _headers(*names: str) -> Json:
    return {name: {"$ref": f"#/components/headers/{name}"} for name in names}
