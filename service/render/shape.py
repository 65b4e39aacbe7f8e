"""What a type of answer holds, read from its model: names and dimensions, whatever one answer happens to leave out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Annotated, Any, get_args, get_origin

from pydantic import BaseModel

from service.schemas.readings import Unit
from service.schemas.wire import Table
from service.units.quantity import Quantity

Path = tuple[str, ...]
"""Names from the root of an answer, or of a row, to a value. Entries of a list of fixed length are named 1, 2, …"""


@dataclass(frozen=True, slots=True)
class Value:
    """One number or text: its dimension, or its unit where that is the same in every system."""

    dimension: str | None = None
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Texts:
    """Values without names of their own, such as reasons: one text to whoever wants a cell."""


@dataclass(frozen=True, slots=True)
class Group:
    """Named things; `places` tells a list of fixed length, `kind` the model they are the fields of."""

    fields: Mapping[str, Node]
    places: bool = False
    kind: type[BaseModel] | None = None


@dataclass(frozen=True, slots=True)
class Rows:
    """A list of things of one shape: a table."""

    row: Group

    @property
    def key(self) -> str:
        """The field that tells one row from the others: its id, or what stands first in it."""
        return "id" if "id" in self.row.fields else next(iter(self.row.fields))


Node = Value | Texts | Group | Rows


@cache
def shape_of(model: type[BaseModel]) -> Group:
    """The shape of an answer, its fields named as in the document."""
    fields = {
        field.serialization_alias or field.alias or name: _shape(field.annotation, tuple(field.metadata))
        for name, field in model.model_fields.items()
    }
    return Group(MappingProxyType(fields), kind=model)


def values(group: Group, before: Path = ()) -> Iterator[tuple[Path, Value | Texts]]:
    """Every value outside of tables, with its path."""
    for name, node in group.fields.items():
        if isinstance(node, Group):
            yield from values(node, (*before, name))
        elif not isinstance(node, Rows):
            yield (*before, name), node


def tables(group: Group, before: Path = ()) -> Iterator[tuple[Path, Rows]]:
    """Every table, with its path; those within the rows of another one are not entered."""
    for name, node in group.fields.items():
        if isinstance(node, Rows):
            yield (*before, name), node
        elif isinstance(node, Group):
            yield from tables(node, (*before, name))


def _shape(annotation: Any, marks: tuple[Any, ...] = ()) -> Node:
    if get_origin(annotation) is Annotated:
        inner, *more = get_args(annotation)
        return _shape(inner, (*marks, *more))
    for mark in marks:
        if isinstance(mark, Quantity):
            return Value(mark.dimension)
        if isinstance(mark, Unit):
            return Value(unit=mark.label)
    if isinstance(annotation, type):
        return _of_type(annotation)
    origin, args = get_origin(annotation), get_args(annotation)
    if origin in {list, tuple, dict}:
        return _of_many(origin, args)
    return _either([_shape(arg) for arg in args if arg is not type(None)])


def _of_type(kind: type) -> Node:
    if issubclass(kind, BaseModel):
        return shape_of(kind)
    return Rows(shape_of(kind.Row)) if issubclass(kind, Table) else Value()


def _of_many(origin: Any, args: tuple[Any, ...]) -> Node:
    if origin is dict:
        return Texts()
    if origin is tuple and ... not in args:
        return Group({str(place): _shape(arg) for place, arg in enumerate(args, 1)}, places=True)
    item = _shape(args[0])
    if isinstance(item, Value) and item.dimension:
        return item  # several quantities in one cell still have a unit
    return Rows(item) if isinstance(item, Group) and not item.places else Texts()


def _either(nodes: list[Node]) -> Node:
    """The shape of something that may have any of these: of groups, all their fields."""
    groups = [node for node in nodes if isinstance(node, Group)]
    if len(groups) < 2:
        return nodes[0] if nodes else Value()
    names = dict.fromkeys(name for group in groups for name in group.fields)
    return Group(
        {name: _either([group.fields[name] for group in groups if name in group.fields]) for name in names},
        places=groups[0].places,
    )
