"""Single values of an answer by name, as a cell of a sheet wants them.

A name is the way through the document, parted by dots: `regulator.suggested_set_pressure`. A row of a list is entered
by its id or by the text of its first field, such as the address of a run or the code of a finding, or by its number
from 1: `runs.row:2.end_pressure`, `loss_budget.3.loss`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

from pydantic import BaseModel

from service.render.listing import Document
from service.render.shape import Group, Node, Rows, shape_of

STEP = "."


class NoSuchValue(LookupError):
    """An answer has no value of this name; `known` are names that lead on from the last step that it has."""

    def __init__(self, told: str, known: Sequence[str]) -> None:
        super().__init__(told)
        self.told = told
        self.known = tuple(known)


@dataclass(frozen=True, slots=True)
class _Here:
    """A place on the way: what the type of answer has there, what this answer has, and the name so far."""

    node: Node
    value: Any
    name: str = ""

    def on(self, step: str, node: Node, value: Any) -> _Here:
        return _Here(node, value, f"{self.name}{STEP}{step}" if self.name else step)

    def names(self, steps: Iterable[str]) -> list[str]:
        return [f"{self.name}{STEP}{step}" if self.name else step for step in steps]


def picked(model: type[BaseModel], document: Document, name: str) -> Any:
    """The value of a name: a number, a text, a truth or a list of those; None for what this answer leaves out.

    Raises
    ------
    NoSuchValue : for a name that no answer of the type has, or a row that this one does not have.
    """
    here, rest = _Here(shape_of(model), document), name
    while rest or isinstance(here.node, Group | Rows):
        here, rest = _in_group(here, rest) if isinstance(here.node, Group) else _further(here, rest)
    return here.value


def picks(model: type[BaseModel], document: Document, names: Sequence[str]) -> list[Any]:
    """The values of several names. A row keeps its places, so what this answer leaves out is None there.

    Raises
    ------
    NoSuchValue : as `picked` does, and for a single name that this answer leaves out: an empty cell would read as 0.
    """
    values = [picked(model, document, name) for name in names]
    if len(values) == 1 and values[0] is None:
        raise NoSuchValue("This answer leaves it out, for it does not exist here.", ["the name of a value it has"])
    return values


def _further(here: _Here, rest: str) -> tuple[_Here, str]:
    if isinstance(here.node, Rows):
        return _in_rows(here, here.node, rest)
    if isinstance(here.value, Mapping) and rest in here.value:
        return here.on(rest, here.node, here.value[rest]), ""
    raise NoSuchValue("It ends before this name does.", [here.name])


def _in_group(here: _Here, rest: str) -> tuple[_Here, str]:
    fields = here.node.fields if isinstance(here.node, Group) else {}
    step, behind = _step(fields, rest)
    if step is None:
        near = get_close_matches(rest, fields, n=1)
        meant = f" Did you mean {here.names(near)[0]}?" if near else ""
        raise NoSuchValue(f"There is no such value.{meant}", here.names(fields))
    return here.on(step, fields[step], _below(here.value, step)), behind


def _below(value: Any, step: str) -> Any:
    if isinstance(value, Mapping):
        return value.get(step)
    place = int(step) - 1 if isinstance(value, Sequence) else 0
    return value[place] if isinstance(value, Sequence) and place < len(value) else None


def _in_rows(here: _Here, rows: Rows, rest: str) -> tuple[_Here, str]:
    listed = here.value or ()
    keys = [str(row.get(rows.key)) for row in listed]
    step, behind = _step(keys, rest)
    if step is not None:
        places = [place for place, found in enumerate(keys) if found == step]
        if len(places) > 1:
            numbers = here.names(str(place + 1) for place in places)
            raise NoSuchValue("There are several of this name: take one by its number.", numbers)
        return here.on(step, rows.row, listed[places[0]]), behind
    number, _, behind = rest.partition(STEP)
    if number.isascii() and number.isdigit() and 0 < int(number[:9]) <= len(listed):
        return here.on(number, rows.row, listed[int(number) - 1]), behind
    if not listed:
        raise NoSuchValue("This answer has none of these.", [])
    told = f"There is no such row; rows are also entered by their numbers, from 1 to {len(keys)}."
    raise NoSuchValue(told, here.names(dict.fromkeys(keys)))


def _step(names: Iterable[str], rest: str) -> tuple[str | None, str]:
    """The longest of the names that `rest` begins with, and what follows it: names may hold dots themselves."""
    found = [name for name in names if rest == name or rest.startswith(name + STEP)]
    step = max(found, key=len, default=None)
    return step, rest[len(step) + 1 :] if step is not None else rest
