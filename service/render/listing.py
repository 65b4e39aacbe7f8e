"""The tables of an answer: one of its single values and one for each list in it, with headings and units.

Which tables and columns there are depends on the type of the answer alone, so that whoever reads them by place or by
name finds them there again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Any

from pydantic import BaseModel

from service.render.shape import Group, Path, Rows, Texts, Value, shape_of, tables, values
from service.schemas.answers import BudgetStage, KindUniformity
from service.schemas.head_answers import Published, SuitingFilter, SuitingRegulator

Document = Mapping[str, Any]
"""An answer in the caller's units, as plain objects, lists, texts and numbers."""

SUMMARY = "summary"
"""The table of an answer's single values."""

NAMES: Mapping[type[BaseModel], str] = MappingProxyType(
    {
        BudgetStage: "budget",
        KindUniformity: "uniformity",
        SuitingRegulator: "regulators",
        SuitingFilter: "filters",
        Published: "published",
    }
)
"""Tables, by what their rows are, that are called otherwise than the list they show."""

UNITS = "units"
"""Field of an answer with the unit of each dimension. It is told beside the values, not as one."""

DIMENSION = "dimension"
"""Field of a row that tells the dimension of its other numbers; shown as the unit."""

TELLING_UNITS = (DIMENSION, "unit")
"""Fields of a row that tell the unit of numbers in it, and in the rows within it."""


@dataclass(frozen=True, slots=True)
class Column:
    """A heading and the unit of what stands below it."""

    heading: str
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Listing:
    """One table. A cell is a number, a text, a truth, a list of those, or None where there is nothing."""

    name: str
    columns: Sequence[Column]
    rows: Sequence[Sequence[Any]]


Fetch = Callable[[Document], Iterator[Sequence[Any]]]


@dataclass(frozen=True, slots=True)
class Plan:
    """How one table is made from a document."""

    columns: Sequence[tuple[str, Value]]
    fetch: Fetch
    repeats: bool = False  # whether it shows what the summary has as well

    def made(self, name: str, document: Document) -> Listing:
        """The table of a document."""
        units = document.get(UNITS, {})
        columns = [Column(heading, unit_of(value, units)) for heading, value in self.columns]
        return Listing(name, columns, list(self.fetch(document)))


def unit_of(node: Value | Texts, units: Mapping[str, str]) -> str:
    """The label of a value's unit, or the empty text."""
    if isinstance(node, Texts):
        return ""
    return units.get(node.dimension, "") if node.dimension else node.unit


def listing(model: type[BaseModel], document: Document, name: str) -> Listing:
    """One table of an answer, by its name."""
    return plans(model)[name].made(name, document)


def main_table(model: type[BaseModel]) -> str:
    """The table that stands for the answer where none is named."""
    name: str = getattr(model, "main_table", SUMMARY)
    return name


@cache
def plans(model: type[BaseModel]) -> Mapping[str, Plan]:
    """Every table of a type of answer by its name, the summary first.

    Raises
    ------
    ValueError : two tables of the type would go by one name; one of them wants a row in `NAMES`.
    """
    found: dict[str, Plan] = {}
    for name, plan in _named(shape_of(model)):
        if name in found:
            raise ValueError(f"{model.__name__} has two tables {name}")
        found[name] = plan
    return MappingProxyType(found)


@cache
def places(model: type[BaseModel]) -> Mapping[str, Path]:
    """Where each table of a type of answer stands in its document; not those that stand within rows of another one."""
    shape = shape_of(model)
    listed = {_name(path, rows): path for path, rows in tables(shape)}
    return MappingProxyType(listed | {path[-1]: path for path, _ in _alike(shape)})


def _named(shape: Group) -> Iterator[tuple[str, Plan]]:
    yield SUMMARY, _summary(shape)
    for path, rows in tables(shape):
        yield _name(path, rows), _of_rows(path, rows)
        for inner_path, inner in tables(rows.row):
            yield _name(inner_path, inner), _of_inner_rows(path, rows, inner_path, inner)
    for path, group in _alike(shape):
        yield path[-1], _of_entries(path, group)


def _name(path: Path, rows: Rows) -> str:
    return NAMES.get(rows.row.kind, path[-1]) if rows.row.kind else path[-1]


def at(document: Any, path: Path) -> Any:
    """What stands at a path, or None."""
    here = document
    for name in path:
        if isinstance(here, Mapping):
            here = here.get(name)
        elif isinstance(here, list | tuple) and name.isdigit() and int(name) <= len(here):
            here = here[int(name) - 1]
        else:
            return None
    return here


def _summary(shape: Group) -> Plan:
    leaves = [(path, node) for path, node in values(shape) if path != (UNITS,)]

    def fetch(document: Document) -> Iterator[Sequence[Any]]:
        units = document.get(UNITS, {})
        for path, node in leaves:
            yield ".".join(path), at(document, path), unit_of(node, units)

    return Plan([("what", Value()), ("value", Value()), ("unit", Value())], fetch)


def _columns(row: Group) -> list[tuple[Path, Value]]:
    return [(path, node if isinstance(node, Value) else Value()) for path, node in values(row)]


def _heading(path: Path) -> str:
    return "unit" if path == (DIMENSION,) else ".".join(path)


def _cells(row: Any, paths: Sequence[Path], units: Mapping[str, str]) -> list[Any]:
    # Long tables have flat rows, so the way down is walked only where there is one.
    cells = [row.get(path[0]) if len(path) == 1 else at(row, path) for path in paths]
    if (DIMENSION,) in paths:
        place = paths.index((DIMENSION,))
        cells[place] = units.get(cells[place])
    return cells


def _of_rows(path: Path, rows: Rows) -> Plan:
    columns = _columns(rows.row)
    paths = [column for column, _ in columns]

    def fetch(document: Document) -> Iterator[Sequence[Any]]:
        for row in at(document, path) or ():
            yield _cells(row, paths, document.get(UNITS, {}))

    return Plan([(_heading(column), value) for column, value in columns], fetch)


def _of_inner_rows(path: Path, outer: Rows, inner_path: Path, inner: Rows) -> Plan:
    """Rows within the rows of another table, each behind the name of the row it stands in, and its unit if any."""
    names = [outer.key, *(name for name in TELLING_UNITS if name in outer.row.fields)]
    columns = [*(((name,), Value()) for name in names), *_columns(inner.row)]
    own, others = [(name,) for name in names], [column for column, _ in _columns(inner.row)]

    def fetch(document: Document) -> Iterator[Sequence[Any]]:
        units = document.get(UNITS, {})
        for row in at(document, path) or ():
            before = _cells(row, own, units)
            for inner_row in at(row, inner_path) or ():
                yield [*before, *_cells(inner_row, others, units)]

    return Plan([(_heading(column), value) for column, value in columns], fetch)


def _alike(shape: Group, before: Path = ()) -> Iterator[tuple[Path, Group]]:
    """Groups of several things of one shape, which read well as a table."""
    for name, node in shape.fields.items():
        if isinstance(node, Group) and not node.places:
            kinds = list(node.fields.values())
            if len(kinds) > 1 and isinstance(kinds[0], Group) and all(kind == kinds[0] for kind in kinds):
                yield (*before, name), node
            else:
                yield from _alike(node, (*before, name))


def _of_entries(path: Path, group: Group) -> Plan:
    first = next(iter(group.fields.values()))
    columns = _columns(first) if isinstance(first, Group) else []
    paths = [column for column, _ in columns]

    def fetch(document: Document) -> Iterator[Sequence[Any]]:
        for name in group.fields:
            yield [name, *_cells(at(document, (*path, name)) or {}, paths, document.get(UNITS, {}))]

    heading = path[-1].removesuffix("s")
    return Plan([(heading, Value()), *((_heading(column), value) for column, value in columns)], fetch, repeats=True)
