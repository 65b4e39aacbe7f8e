"""The tables of every type of answer that the service gives."""

import re

import pytest
from fastapi.routing import APIRoute, iter_route_contexts

from service.app import create_app
from service.render.listing import main_table, plans
from service.settings import Settings

MODELS = {
    route.original_route.response_model.__name__: route.original_route.response_model
    for route in iter_route_contexts(create_app(Settings()).routes)
    if isinstance(route.original_route, APIRoute) and route.path.startswith("/v1/")
}


def names(plan):
    """What stands in the first column of a summary."""
    return [row[0] for row in plan.fetch({})]


@pytest.mark.parametrize("model", MODELS.values(), ids=MODELS)
def test_names_are_plain_and_none_is_there_twice(model):
    found = plans(model)
    assert main_table(model) in found
    for name, plan in found.items():
        headings = [heading for heading, _ in plan.columns]
        assert re.fullmatch(r"[a-z_]+", name)
        assert len(set(headings)) == len(headings), name
        # In XML a dot is a low line; no two names may become one, nor one that of a table.
        elements = [heading.replace(".", "_") for heading in headings]
        assert len(set(elements)) == len(elements), name
    single = [name.replace(".", "_") for name in names(found["summary"])]
    assert len({*single, *found}) == len(single) + len(found)


@pytest.mark.parametrize("model", MODELS.values(), ids=MODELS)
def test_names_are_of_the_model_and_not_of_what_a_caller_wrote(model):
    """They become elements and headings as they are."""
    for plan in plans(model).values():
        for heading in [heading for heading, _ in plan.columns] + (names(plan) if not plan.repeats else []):
            assert re.fullmatch(r"[a-z][a-z_]*(\.([a-z][a-z_]*|[0-9]+))*", heading)


# Released once, a sheet may rely on them: a name that disappears from here is a change for users.
RELEASED = {
    "CheckAnswer": {
        "summary",
        "assumed",
        "end_of_line",
        "uniformity",
        "budget",
        "runs",
        "profile",
        "limits",
        "regulators",
        "filters",
        "constituents",
        "published",
        "treatments",
        "findings",
        "cautions",
        "thresholds",
    },
    "LateralAnswer": {"summary", "assumed", "uniformity", "findings", "profile"},
    "TakeoffAnswer": {
        "summary",
        "lines",
        "packages",
        "by_zone",
        "labour",
        "zones",
        "allowances",
        "assumed",
        "cautions",
    },
    "PartsAnswer": {"parts"},
}


@pytest.mark.parametrize("name", RELEASED)
def test_released_tables_are_still_there(name):
    assert RELEASED[name] <= set(plans(MODELS[name]))
