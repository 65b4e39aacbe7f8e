"""Faults of fields and parameters, as validation reports them, turned into places a caller can find and mend."""

from collections.abc import Container, Iterable, Mapping, Sequence
from difflib import get_close_matches
from typing import Any

from service.api.expected import expected
from service.api.pointers import plain_name, pointer
from service.api.problems import MOST_ERRORS, FieldError, Refusal
from service.units.dimensions import System

Schemas = Mapping[str, Mapping[str, Any]]

REPEAT_MARK = "#"
"""Behind the name of a parameter given again: no declared parameter has it, so the second one is an unknown one."""

_WORDS = {
    "missing": "This is missing.",
    "string_type": "Text is needed here.",
    "string_too_long": "This text is too long.",
    "string_too_short": "This text is too short.",
    "string_pattern_mismatch": "This text has characters that do not belong here.",
    "literal_error": "This is not one of the words that are known here.",
    "enum": "This is not one of the words that are known here.",
    "bool_type": "true or false is needed here.",
    "bool_parsing": "true or false is needed here.",
    "float_type": "A number is needed here.",
    "float_parsing": "A number is needed here.",
    "finite_number": "A finite number is needed here.",
    "int_type": "A whole number is needed here.",
    "int_parsing": "A whole number is needed here.",
    "int_from_float": "A whole number is needed here.",
    "list_type": "A list is needed here.",
    "tuple_type": "A list is needed here.",
    "too_long": "This list is too long.",
    "too_short": "This list is too short.",
    "dict_type": "An object is needed here.",
    "model_type": "An object is needed here.",
    "model_attributes_type": "An object is needed here.",
    "value_error": "This value cannot be taken.",
    "assertion_error": "This value cannot be taken.",
}
"""What a fault is called, by the type validation gives it. Types that are our own bring their own sentence."""

EMPTY = "It is empty: what has no value is left out together with its name."
"""What is wrong with a parameter that a sheet filled in from an empty cell, whatever else was to stand there."""

MOST_MEANT = 2
"""Names suggested in place of one that there is not. [-]"""

_UNKNOWN = {"extra_forbidden", "unknown_field"}


def refusal_of_fields(
    faults: Sequence[Any], body: Any, schemas: Schemas, system: System, further: Sequence[FieldError] = ()
) -> Refusal:
    """The refusal that lists every fault.

    Parameters
    ----------
    faults : as pydantic reports them, the first part of `loc` being `body`, `query` or `path`.
    body : the parsed body, to tell keys from the marks that unions leave in `loc`.
    schemas : JSON Schema of what is taken, by that first part of `loc`; says what would have been accepted.
    system : the units of whoever asked.
    further : what else was found to be wrong.
    """
    errors = [*_errors(faults[:MOST_ERRORS], body, schemas, system), *further]
    count = len(faults) + len(further)
    things = "One field or parameter" if count == 1 else f"{count} fields or parameters"
    more = f" The first {MOST_ERRORS} are listed." if count > MOST_ERRORS else ""
    return Refusal("invalid-input", f"{things} cannot be taken.{more}", errors=errors)


def _errors(faults: Iterable[Any], body: Any, schemas: Schemas, system: System) -> Iterable[FieldError]:
    for fault in faults:
        where, *path = fault["loc"]
        place = _place_in_body(body, path, fault["type"]) if where == "body" else path
        schema = schemas.get(where, {})
        accepted = fault.get("ctx", {}).get("accepted") or expected(schema, place, system)
        detail = EMPTY if where == "query" and fault.get("input") == "" else _WORDS.get(fault["type"], fault["msg"])
        if fault["type"] in _UNKNOWN:
            yield _unknown(where, place, accepted if isinstance(accepted, str) else "")
        else:
            yield FieldError(pointer=pointer(where, place), detail=detail, accepted=accepted or "see /docs")


def _unknown(where: str, place: Sequence[str | int], accepted: str) -> FieldError:
    *parents, name = place
    written = str(name)
    if where != "body" and written.endswith(REPEAT_MARK):
        return FieldError(
            pointer=pointer(where, [written.rstrip(REPEAT_MARK)]),
            detail="This parameter is given more than once.",
            accepted="one value",
        )
    known = accepted.removeprefix("fields ").split(", ")
    meant = written.strip()
    return FieldError(
        pointer=pointer(where, place if plain_name(written) else parents),
        detail=f"There is no {'field' if where == 'body' else 'parameter'} of this name here."
        + (_meant(meant, known) if plain_name(meant) else ""),
        accepted=accepted or "nothing",
    )


def _meant(written: str, known: Iterable[str]) -> str:
    """The names that may have been meant: spelled much the same, or with a last word that is."""
    ends: dict[str, list[str]] = {}
    for name in known:
        for end in dict.fromkeys((name, name.rpartition("_")[2])):
            ends.setdefault(end, []).append(name)
    near = [
        name
        for end in get_close_matches(written, ends, n=1)
        for name in ([end] if end in ends[end] else ends[end][:MOST_MEANT])
    ]
    return f" Did you mean {' or '.join(near)}?" if near else ""


def _place_in_body(body: Any, path: Sequence[str | int], kind: str) -> list[str | int]:
    """The path of a fault without the names of union branches, which stand in it but not in the body."""
    place: list[str | int] = []
    here: Any = body
    for step, part in enumerate(path):
        last = step == len(path) - 1
        if part in _keys(here):
            place.append(part)
            here = here[part]
        elif last and (kind == "missing" or kind in _UNKNOWN):
            place.append(part)
    return place


def _keys(value: Any) -> Container[str | int]:
    if isinstance(value, dict):
        return value
    return range(len(value)) if isinstance(value, list) else ()
