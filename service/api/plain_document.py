"""The API document without what generated clients and readers stumble over."""

from collections.abc import Iterator
from typing import Any

Json = dict[str, Any]

SHOWN = {"example", "examples"}
"""Keys of what is shown as it is sent: in there a `title` is a field."""


def plain(node: Any, name: str = "") -> Any:
    """A part of the document, mended; `name` is that of the parameter or the key under which it stands.

    Null: what does not exist is left out, in requests and in answers. Lists of fixed length without `items`: readers
    of older drafts know no `prefixItems`, so what all places have in common is said there as well. Titles that only
    repeat a name: the framework writes one for everything.
    """
    if isinstance(node, list):
        return [plain(item) for item in node]
    if not isinstance(node, dict):
        return node
    kept = {
        key: value if key in SHOWN else plain(value, node["name"] if key == "schema" and "name" in node else key)
        for key, value in node.items()
        if value is not None and not (key == "title" and repeats(value, name))
    }
    if "prefixItems" in kept:
        kept.setdefault("items", _in_common(kept["prefixItems"]))
    kinds = [kind for kind in kept.get("anyOf", []) if kind != {"type": "null"}]
    if len(kinds) == 1 and len(kept["anyOf"]) > 1:
        del kept["anyOf"]
        return {**kinds[0], **kept}
    return kept


def repeats(title: Any, name: str) -> bool:
    """Whether a title says nothing but a name in other letters.

    >>> repeats("End Of Line Pressure", "end_of_line_pressure"), repeats("Catalogue id", "pipe")
    (True, False)
    """
    return isinstance(title, str) and title.replace(" ", "").lower() == name.replace("_", "").lower()


def _in_common(schemas: list[Json]) -> Json:
    first, *others = schemas
    common = {key: value for key, value in first.items() if all(other.get(key) == value for other in others)}
    for bound, widest in (("minimum", min), ("maximum", max)):
        if all(bound in schema for schema in schemas):
            common[bound] = widest(schema[bound] for schema in schemas)
    return common


def drop_unused(document: Json) -> None:
    """Leave out components that nothing refers to, such as models that only the inside knows."""
    components = document["components"]
    while True:
        used = set(_references(document))
        unused = [
            (section, name)
            for section, entries in components.items()
            for name in entries
            if f"#/components/{section}/{name}" not in used
        ]
        if not unused:
            return
        for section, name in unused:
            del components[section][name]


def _references(node: Any) -> Iterator[str]:
    if isinstance(node, dict):
        if isinstance(node.get("$ref"), str):
            yield node["$ref"]
        for value in node.values():
            yield from _references(value)
    elif isinstance(node, list):
        for item in node:
            yield from _references(item)
