"""What in one API document would break a program written against an earlier one.

The policy is the README's: requests that were taken stay taken, and answers keep what they had. New fields, parameters,
operations, formats and words in answers are no breaks.
"""

from collections.abc import Iterator, Mapping
from typing import Any

Json = dict[str, Any]

METHODS = ("get", "post", "put", "patch", "delete")


def breaks(before: Json, after: Json) -> list[str]:
    """Every break, one line each."""
    return [*dict.fromkeys(_documents(before, after))]


def _documents(before: Json, after: Json) -> Iterator[str]:
    for path, item in before["paths"].items():
        for method in METHODS:
            if method not in item:
                continue
            place = f"{method.upper()} {path}"
            operation = after["paths"].get(path, {}).get(method)
            if operation is None:
                yield f"{place}: gone"
                continue
            if operation["operationId"] != item[method]["operationId"]:
                yield f"{place}: another operationId"
            sides = (Side(before, item[method]), Side(after, operation))
            yield from _parameters(place, *sides)
            yield from _bodies(place, *sides)
            yield from _answers(place, *sides)


class Side:
    """One operation of one document."""

    def __init__(self, document: Json, operation: Json) -> None:
        self.document = document
        self.operation = operation

    def resolved(self, node: Json) -> Json:
        while "$ref" in node:
            target: Any = self.document
            for step in node["$ref"].removeprefix("#/").split("/"):
                target = target[step]
            node = target
        return node

    @property
    def parameters(self) -> Mapping[tuple[str, str], Json]:
        resolved = map(self.resolved, self.operation.get("parameters", []))
        return {(parameter["in"], parameter["name"]): parameter for parameter in resolved}

    @property
    def body(self) -> Mapping[str, Json]:
        return self.resolved(self.operation.get("requestBody", {})).get("content", {})

    @property
    def answers(self) -> Mapping[str, Json]:
        return {status: self.resolved(answer) for status, answer in self.operation["responses"].items()}


def _parameters(place: str, before: Side, after: Side) -> Iterator[str]:
    for key, parameter in before.parameters.items():
        where = f"{place} ?{key[1]}"
        if key not in after.parameters:
            yield f"{where}: gone"
        else:
            yield from Taken(before, after).breaks(parameter["schema"], after.parameters[key]["schema"], where)
    for key, parameter in after.parameters.items():
        was_required = before.parameters.get(key, {}).get("required", False)
        if parameter.get("required", False) and not was_required:
            yield f"{place} ?{key[1]}: now required"


def _bodies(place: str, before: Side, after: Side) -> Iterator[str]:
    if after.body and not before.body:
        yield f"{place}: now takes a body"
    for media_type, content in before.body.items():
        if media_type not in after.body:
            yield f"{place}: no longer takes {media_type}"
        else:
            yield from Taken(before, after).breaks(content["schema"], after.body[media_type]["schema"], f"{place} #")


def _answers(place: str, before: Side, after: Side) -> Iterator[str]:
    for status, answer in before.answers.items():
        for media_type, content in answer.get("content", {}).items():
            now = after.answers.get(status, {}).get("content", {}).get(media_type)
            where = f"{place} {status} {media_type}"
            if now is None:
                yield f"{where}: gone"
            elif "schema" in content:
                yield from Given(before, after).breaks(content["schema"], now["schema"], f"{where} #")


class _Walk:
    """Two schemas side by side, each pair of named ones once."""

    def __init__(self, before: Side, after: Side) -> None:
        self.before = before
        self.after = after
        self.met: set[tuple[str, str]] = set()

    def breaks(self, before: Json, after: Json, where: str) -> Iterator[str]:
        names = (before.get("$ref", ""), after.get("$ref", ""))
        if all(names):
            if names in self.met:
                return
            self.met.add(names)
        old, new = self.before.resolved(before), self.after.resolved(after)
        if old.get("type") != new.get("type"):
            yield f"{where}: another type"
        for system, span in old.get("x-unit", {}).items():
            if span["unit"] != new.get("x-unit", {}).get(system, {}).get("unit"):
                yield f"{where}: another unit in {system}"
        yield from self.own_breaks(old, new, where)
        yield from self._breaks_inside(old, new, where)

    def _breaks_inside(self, old: Json, new: Json, where: str) -> Iterator[str]:
        for name, schema in old.get("properties", {}).items():
            if name not in new.get("properties", {}):
                yield f"{where}/{name}: gone"
            else:
                yield from self.breaks(schema, new["properties"][name], f"{where}/{name}")
        if "items" in old and "items" in new:
            yield from self.breaks(old["items"], new["items"], f"{where}/*")
        for form, schema in _forms(old).items():
            if form not in _forms(new):
                yield f"{where}: form {form} gone"
            else:
                yield from self.breaks(schema, _forms(new)[form], where)

    def own_breaks(self, old: Json, new: Json, where: str) -> Iterator[str]:
        raise AssertionError("each direction has its own")


class Taken(_Walk):
    """Schemas of what is sent to the service: what was taken must still be."""

    def own_breaks(self, old: Json, new: Json, where: str) -> Iterator[str]:
        for name in set(new.get("required", [])) - set(old.get("required", [])):
            yield f"{where}/{name}: now required"
        spans = [("", old, new)]
        spans += [
            (f" in {system}", span, new["x-unit"].get(system, {}))
            for system, span in old.get("x-unit", {}).items()
            if "x-unit" in new
        ]
        for suffix, before, after in spans:
            for least in ("minimum", "minLength", "minItems"):
                if after.get(least, float("-inf")) > before.get(least, float("-inf")):
                    yield f"{where}: {least} raised{suffix}"
            for most in ("maximum", "maxLength", "maxItems"):
                if after.get(most, float("inf")) < before.get(most, float("inf")):
                    yield f"{where}: {most} lowered{suffix}"
        if "pattern" in new and new["pattern"] != old.get("pattern"):
            yield f"{where}: another pattern"
        if "enum" in new and not set(_words(old)) <= set(_words(new)):
            yield f"{where}: words gone"
        if "enum" in new and not _words(old):
            yield f"{where}: now only some words"


class Given(_Walk):
    """Schemas of what the service answers: what was there must still be."""

    def own_breaks(self, old: Json, new: Json, where: str) -> Iterator[str]:
        for name in set(old.get("required", [])) - set(new.get("required", [])):
            if name in new.get("properties", {}):
                yield f"{where}/{name}: may now be missing"
        if "const" in old and old["const"] != new.get("const"):
            yield f"{where}: another constant"


def _words(schema: Json) -> list[Any]:
    return [schema["const"]] if "const" in schema else schema.get("enum", [])


def _forms(schema: Json) -> dict[str, Json]:
    """The alternatives of a schema by a name that stays: the reference, the title or the type."""
    forms = schema.get("oneOf") or schema.get("anyOf") or []
    return {
        str(form.get("$ref") or form.get("title") or form.get("required") or form.get("type")): form for form in forms
    }
