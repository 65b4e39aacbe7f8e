"""What would have been accepted at a place, read from the JSON Schema of the request."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from service.units.dimensions import System
from service.units.sentence import figure

Schema = Mapping[str, Any]

_MOST_NAMES = 60


def expected(root: Schema, place: Sequence[str | int], system: System) -> str:
    """What the schema takes at a place, in a few words and units of `system`; the empty text where it says nothing.

    >>> expected({"properties": {"count": {"type": "integer", "minimum": 1, "maximum": 9}}}, ["count"], System.US)
    'a whole number from 1 to 9'
    >>> expected({"properties": {"length": {}, "rise": {}}}, ["lenght"], System.US)
    'length, rise'
    >>> expected({"additionalProperties": {"type": "boolean"}}, ["made up"], System.US)
    'true, false'
    """
    here = list(_branches(root, root))
    for part in place:
        below = [branch for schema in here for branch in _below(root, schema, part)]
        if not below:
            names = [name for schema in here for name in schema.get("properties", {})]
            return ", ".join(dict.fromkeys(names[:_MOST_NAMES]))
        here = below
    return " or ".join(dict.fromkeys(filter(None, (_words(schema, system) for schema in here))))


def _branches(root: Schema, schema: Schema) -> Iterator[Schema]:
    """The alternatives of a schema, references followed."""
    if "$ref" in schema:
        yield from _branches(root, root["$defs"][schema["$ref"].rpartition("/")[2]])
        return
    alternatives = schema.get("anyOf") or schema.get("oneOf") or ()
    if "properties" in schema or not alternatives:
        yield schema
        return
    for alternative in alternatives:
        yield from _branches(root, alternative)


def _below(root: Schema, schema: Schema, part: str | int) -> Iterator[Schema]:
    if isinstance(part, int):
        listed = schema.get("prefixItems", [])
        item = listed[part] if part < len(listed) else schema.get("items")
    else:
        item = schema.get("properties", {}).get(part) or _of_any_name(schema)
    if isinstance(item, Mapping):
        yield from _branches(root, item)


def _of_any_name(schema: Schema) -> Any:
    """The schema of the entries of a map, which callers name."""
    patterns = schema.get("patternProperties", {})
    return schema.get("additionalProperties") or next(iter(patterns.values()), None)


def _words(schema: Schema, system: System) -> str:
    if "const" in schema:
        return str(schema["const"])
    if "enum" in schema:
        return ", ".join(map(str, schema["enum"]))
    if schema.get("type") in {"number", "integer"}:
        return ("a whole number" if schema["type"] == "integer" else "a number") + _range(schema, system)
    words = _WORDS_OF_TYPE.get(schema.get("type", ""))
    return words(schema) if words else ""


def _range(schema: Schema, system: System) -> str:
    span = schema.get("x-unit", {}).get(system.value, schema)
    unit = span.get("unit", "")
    if "minimum" not in span:
        return f" of {unit}" if unit else ""
    return f" from {figure(span['minimum'])} to {figure(span['maximum'])} {unit}".rstrip()


def _at_most(schema: Schema, limit: str, what: str = "") -> str:
    return f" of at most {schema[limit]}{what}" if limit in schema else ""


def _of_length(schema: Schema) -> str:
    least = f" of {schema['minLength']} to" if "minLength" in schema else " of at most"
    return f"{least} {schema['maxLength']} characters" if "maxLength" in schema else ""


_WORDS_OF_TYPE: Mapping[str, Callable[[Schema], str]] = {
    "string": lambda schema: "text" + _of_length(schema),
    "array": lambda schema: "a list" + _at_most(schema, "maxItems"),
    "boolean": lambda _: "true, false",
    "object": lambda schema: "an object with " + ", ".join(list(schema.get("properties", {}))[:_MOST_NAMES]),
}
