"""Single values of an answer by name, as a cell of a sheet wants them.

A name is the way through the document, parted by dots: `regulator.suggested_set_pressure`. A row of a list is entered
by its id or by the text of its first field, such as the address of a run or the code of a finding, or by its number
from 1: `runs.row:2.end_pressure`, `loss_budget.3.loss`; so is one of several texts: `regulator.reasons.1`. A table goes
by its own name too: `budget.3.loss`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

from pydantic import BaseModel

from service.render.listing import Document, places
from service.render.shape import Group, Node, Rows, Value, shape_of

STEP = "."

MOST_MEANT = 2
"""Names suggested in place of one that there is not. [-]"""


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
    here, rest = _Here(shape_of(model), document), _in_the_document(model, name)
    while rest or isinstance(here.node, Group | Rows):
        here, rest = _in_group(here, rest) if isinstance(here.node, Group) else _further(here, rest)
    return here.value


def _in_the_document(model: type[BaseModel], name: str) -> str:
    """The name with the place of a table in the document for its own name, if that is what it begins with."""
    first, dot, behind = name.partition(STEP)
    at = places(model).get(first) if first not in shape_of(model).fields else None
    return STEP.join(at) + dot + behind if at else name


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
    if isinstance(here.value, list) and here.value:
        place = _place(rest, here.value)
        if place is None:
            told = f"These are numbered from 1 to {len(here.value)}."
            raise NoSuchValue(told, here.names(str(number) for number in range(1, len(here.value) + 1)))
        return here.on(rest, Value(), here.value[place]), ""
    raise NoSuchValue("It ends before this name does.", [here.name])


def _in_group(here: _Here, rest: str) -> tuple[_Here, str]:
    fields = here.node.fields if isinstance(here.node, Group) else {}
    step, behind = _step(fields, rest)
    if step is None:
        told = f"There is no such value.{_meant(here, rest)}" if rest else "It has several values: name one."
        raise NoSuchValue(told, here.names(fields))
    return here.on(step, fields[step], _below(here.value, step)), behind


def _meant(here: _Here, rest: str) -> str:
    """What the caller may have had in mind: a name farther in that ends alike, or one that is spelled much the same."""
    last = rest.rpartition(STEP)[2]
    ends: dict[str, list[str]] = {}
    for name in _names_below(here):
        ends.setdefault(name.rpartition(STEP)[2], []).append(name)
    near = [name for end in get_close_matches(last, ends, n=1) for name in ends[end][:MOST_MEANT]]
    return f" Did you mean {' or '.join(near)}?" if near else ""


def _names_below(here: _Here) -> Iterator[str]:
    """Every name that leads on from a place, into the first row of each list, the shortest ways first."""
    level = [here]
    while level:
        further: list[_Here] = []
        for place in level:
            if isinstance(place.node, Group):
                inner = [place.on(step, node, _below(place.value, step)) for step, node in place.node.fields.items()]
                yield from (one.name for one in inner)
                further += inner
            elif isinstance(place.node, Rows) and place.value:
                row = place.value[0]
                further.append(place.on(str(row.get(place.node.key)), place.node.row, row))
        level = further


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
        found = [place for place, key in enumerate(keys) if key == step]
        if len(found) > 1:
            numbers = here.names(str(place + 1) for place in found)
            raise NoSuchValue("There are several of this name: take one by its number.", numbers)
        return here.on(step, rows.row, listed[found[0]]), behind
    number, _, behind = rest.partition(STEP)
    place = _place(number, listed)
    if place is not None:
        return here.on(number, rows.row, listed[place]), behind
    if not listed:
        raise NoSuchValue("This answer has none of these.", [])
    wrong = "There is no such row" if rest else "It is a list"
    told = f"{wrong}; rows are also entered by their numbers, from 1 to {len(keys)}."
    raise NoSuchValue(told, here.names(dict.fromkeys(keys)))


def _place(number: str, listed: Sequence[Any]) -> int | None:
    """Place of a row that is named by its number, counted from 1."""
    known = number.isascii() and number.isdigit() and 0 < int(number[:9]) <= len(listed)
    return int(number) - 1 if known else None


def _step(names: Iterable[str], rest: str) -> tuple[str | None, str]:
    """The longest of the names that `rest` begins with, and what follows it: names may hold dots themselves."""
    found = [name for name in names if rest == name or rest.startswith(name + STEP)]
    step = max(found, key=len, default=None)
    return step, rest[len(step) + 1 :] if step is not None else rest
