"""Worked examples for the API document: the files of openapi_examples/, which tests post to the running service."""

from collections.abc import Callable, Mapping
from typing import Any

from fastapi.openapi.models import Example

from service.api import examples

Examples = dict[str, Any]


def zone_requests() -> dict[str, Example]:
    """Every example zone, the demo zone first."""
    return {name: Example(summary=_title(name), value=examples.request(name)) for name in _demo_first()}


def _zone_answers() -> Examples:
    shown = (examples.DEMO, examples.TWIN)
    return {name: {"summary": _title(name), "value": examples.answer(name)} for name in shown}


ANSWERS: Mapping[str, Callable[[], Examples]] = {"checkZone": _zone_answers}
"""Example answers by operation. Read when the document is asked for: the answers are written by the service itself."""


def _demo_first() -> list[str]:
    return sorted(examples.names(), key=lambda name: (name != examples.DEMO, name))


def _title(name: str) -> str:
    return name.replace("-", " ").capitalize()
