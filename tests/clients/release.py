"""Writes down the API document of a release: `python -m tests.clients.release`, when the version is raised."""

import json
from pathlib import Path
from typing import Any

from service.app import create_app
from service.settings import Settings

RELEASED = Path(__file__).parent / "released.json"

WORDS = {"description", "summary", "example", "examples"}
"""What may change at any time: programs do not read it."""


def contract(node: Any, *, named: bool = False) -> Any:
    """The document without its words; `named` where keys are names and not keywords."""
    if isinstance(node, list):
        return [contract(item) for item in node]
    if not isinstance(node, dict):
        return node
    return {
        key: contract(value, named=key in {"properties", "schemas", "headers", "responses", "paths"} and not named)
        for key, value in node.items()
        if named or key not in WORDS
    }


def current() -> Any:
    """The document of the service as it is."""
    return json.loads(json.dumps(create_app(Settings()).openapi()))


if __name__ == "__main__":
    RELEASED.write_text(json.dumps(contract(current()), indent=1, sort_keys=True, ensure_ascii=False) + "\n", "utf-8")
