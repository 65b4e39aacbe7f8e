"""What would have been accepted at a place, read from the JSON Schema of the request."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from service.units.sentence import figure

Schema = Mapping[str, Any]

_MOST_NAMES = 60


def expected(root: Schema, place: Sequence[str | int]) -> str:
    """What the schema takes at a place, in a few words; the empty text where it says nothing.

    >>> expected({"properties": {"count": {"type": "integer", "minimum": 1, "maximum": 9}}}, ["count"])
    'a whole number from 1 to 9'
    >>> expected({"properties": {"length": {}, "rise": {}}}, ["lenght"])
    'length, rise'
    """
    here = list(_branches(root, root))
    for part in place:
        below = [branch for schema in here for branch in _below(root, schema, part)]
        if not below:
            names = [name for schema in here for name in schema.get("properties", {})]
            return ", ".join(dict.fromkeys(names[:_MOST_NAMES]))
        here = below
    return " or ".join(dict.fromkeys(filter(None, map(_words, here))))


def _branches(root: Schema, schema: Schema) -> Iterator[Schema]:
    """The alternatives of a schema, references followed."""
    if "$ref" in schema:
        yield from _branches(root, root["$defs"][schema["$ref"].rpartition("/")[2]])
        return
    alternatives = schema.get("anyOf") or schema.get("oneOf")
    if not alternatives:
        yield schema
    for alternative in alternatives or ():
        yield from _branches(root, alternative)


def _below(root: Schema, schema: Schema, part: str | int) -> Iterator[Schema]:
    if isinstance(part, int):
        listed = schema.get("prefixItems", [])
        item = listed[part] if part < len(listed) else schema.get("items")
    else:
        item = schema.get("properties", {}).get(part)
    if isinstance(item, Mapping):
        yield from _branches(root, item)


def _words(schema: Schema) -> str:
    if "const" in schema:
        return str(schema["const"])
    if "enum" in schema:
        return ", ".join(map(str, schema["enum"]))
    words = _WORDS_OF_TYPE.get(schema.get("type", ""))
    return words(schema) if words else ""


def _span(schema: Schema) -> str:
    units = schema.get("x-unit")
    if units:
        spans = (f"{_range(span)} {span['unit']}".strip() for span in units.values())
        return " " + " or ".join(dict.fromkeys(spans))
    return f" {_range(schema)}" if "minimum" in schema else ""


def _range(span: Schema) -> str:
    return f"from {figure(span['minimum'])} to {figure(span['maximum'])}" if "minimum" in span else "in"


def _at_most(schema: Schema, limit: str) -> str:
    return f" of at most {schema[limit]}" if limit in schema else ""


_WORDS_OF_TYPE: Mapping[str, Callable[[Schema], str]] = {
    "number": lambda schema: "a number" + _span(schema),
    "integer": lambda schema: "a whole number" + _span(schema),
    "string": lambda schema: "text" + (_at_most(schema, "maxLength") and _at_most(schema, "maxLength") + " characters"),
    "array": lambda schema: "a list" + _at_most(schema, "maxItems"),
    "boolean": lambda _: "true, false",
    "object": lambda schema: "an object with " + ", ".join(list(schema.get("properties", {}))[:_MOST_NAMES]),
}
