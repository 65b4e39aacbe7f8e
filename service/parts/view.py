"""A part as callers read it."""

from __future__ import annotations

from typing import Any

from service.parts.part import Part
from service.units.dimensions import System
from service.units.reading import reading


def part_view(part: Part, system: System) -> dict[str, Any]:
    """The document of a part: its figures in the caller's units, defaults filled in, nothing null.

    `kind` is the kind of part, as the catalogue sorts it; what a part says of its own kind is its `type`.
    """
    with reading(system):
        facts = part.in_full().model_dump(mode="json", by_alias=True, exclude_none=True)
    if "kind" in facts:
        facts["type"] = facts.pop("kind")
    first = {"id": facts.pop("id", None), "kind": part.kind_of_part, "name": facts.pop("name")}
    last = {"source": facts.pop("source")}
    return {word: fact for word, fact in {**first, **facts, **last}.items() if fact not in (None, [])}
