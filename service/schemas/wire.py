"""From an answer in SI to the document that a caller reads, in his units."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from typing import Annotated, Any, ClassVar, get_args, get_origin

import numpy as np
from pydantic import BaseModel, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, core_schema

from service.hydraulics.arrays import Floats
from service.schemas.readings import BEYOND
from service.units.dimensions import DIMENSIONS, System, as_written, column_as_written
from service.units.nothing_null import NothingNull
from service.units.quantity import Quantity
from service.units.sentence import Measured, Sentence

Convert = Callable[[Any, System], Any]


class Text:
    """Annotation of a `Sentence`: a text on the wire, with its figures in the caller's units."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.is_instance_schema(Sentence)

    def __get_pydantic_json_schema__(self, core: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        return {"type": "string", "maxLength": 2000, "pattern": r"^[^\u0000-\u001f]*$"}


class AnyMeasure:
    """Annotation of a `Measured`, a number in the unit of its own dimension on the wire, or of a bare number."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.union_schema(
            [core_schema.is_instance_schema(Measured), core_schema.float_schema(allow_inf_nan=False)]
        )

    def __get_pydantic_json_schema__(self, core: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        return {"type": "number", "format": "double", "minimum": -BEYOND, "maximum": BEYOND}


Said = Annotated[Sentence, Text()]
Measure = Annotated[Measured | float, AnyMeasure()]


class Table:
    """Rows of one model held as columns, for tables of many rows."""

    Row: ClassVar[type[NothingNull]]

    def __init__(self, **columns: Floats) -> None:
        """One array for each field of the row, all of one length, in SI; NaN where a row has no such value."""
        self.columns: Mapping[str, Floats] = columns

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.is_instance_schema(cls)

    @classmethod
    def __get_pydantic_json_schema__(cls, core: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        return {"type": "array", "maxItems": 200_000, "items": handler(cls.Row.__pydantic_core_schema__)}

    def rows(self, system: System) -> list[dict[str, float]]:
        """The rows in the caller's units, converted column by column."""
        quantities = _quantities(self.Row)
        names = list(self.columns)
        converted = [
            column_as_written(self.columns[name], quantities[name].dimension, system)
            if name in quantities
            else self.columns[name]
            for name in names
        ]
        whole = not any(np.isnan(column).any() for column in converted)
        rows = zip(*(column.tolist() for column in converted), strict=True)
        if whole:
            return [dict(zip(names, row, strict=True)) for row in rows]
        return [{name: v for name, v in zip(names, row, strict=True) if v == v} for row in rows]  # noqa: PLR0124 - NaN


@cache
def _quantities(model: type[NothingNull]) -> dict[str, Quantity]:
    return {
        name: mark
        for name, field in model.model_fields.items()
        for _, marks in _parts(_annotated(field.annotation, field.metadata))
        for mark in marks
        if isinstance(mark, Quantity)
    }


def to_wire(answer: NothingNull, system: System) -> dict[str, Any]:
    """The document of an answer: SI turned to the caller's units, sentences said, nothing null."""
    document: dict[str, Any] = _of_model(type(answer))(answer, system)
    return document


@cache
def _of_model(model: type[BaseModel]) -> Convert:
    fields = [
        (name, field.serialization_alias or field.alias or name, _of(_annotated(field.annotation, field.metadata)))
        for name, field in model.model_fields.items()
    ]

    def convert(value: Any, system: System) -> dict[str, Any]:
        document = {}
        for name, alias, turn in fields:
            inner = getattr(value, name)
            if inner is not None:
                document[alias] = turn(inner, system) if turn else inner
        return document

    return convert


def _annotated(annotation: Any, metadata: list[Any]) -> Any:
    return Annotated[annotation, *metadata] if metadata else annotation


def _of(annotation: Any) -> Convert | None:
    """How values of this type are turned, or None where they go out as they are."""
    turns = (_of_part(part, marks) for part, marks in _parts(annotation))
    return next((turn for turn in turns if turn is not None), None)


def _of_part(part: Any, marks: tuple[Any, ...]) -> Convert | None:
    quantity = next((mark for mark in marks if isinstance(mark, Quantity)), None)
    if quantity is not None:
        units = {system: DIMENSIONS[quantity.dimension].unit(system) for system in System}
        return lambda value, system: units[system].as_written(value)
    if get_origin(part) is tuple and ... not in get_args(part):
        return _of_places([_of(place) for place in get_args(part)])
    if get_origin(part) in {list, tuple}:
        return _of_list(_of(get_args(part)[0]))
    if not isinstance(part, type):
        return None
    if issubclass(part, BaseModel):
        return lambda value, system: _of_model(type(value))(value, system)  # type: ignore[arg-type]
    return next((turn for kind, turn in _TURNS if issubclass(part, kind)), None)


def _of_list(turn: Convert | None) -> Convert | None:
    return None if turn is None else lambda value, system: [turn(item, system) for item in value]


def _of_places(turns: list[Convert | None]) -> Convert | None:
    """A list of fixed length, where each place has a type of its own."""
    if not any(turns):
        return None
    return lambda value, system: [turn(item, system) if turn else item for turn, item in zip(turns, value, strict=True)]


def _measure(value: Measured | float, system: System) -> float:
    return as_written(value.value, value.dimension, system) if isinstance(value, Measured) else value


_TURNS: tuple[tuple[type, Convert], ...] = (
    (Sentence, lambda value, system: value.said(system)),
    (Measured, _measure),
    (Table, lambda value, system: value.rows(system)),
)


def _parts(annotation: Any) -> list[tuple[Any, tuple[Any, ...]]]:
    """The types that an annotation may hold, each with its own marks."""
    if get_origin(annotation) is Annotated:
        inner, *marks = get_args(annotation)
        return [(part, (*own, *marks)) for part, own in _parts(inner)]
    args = get_args(annotation)
    if get_origin(annotation) not in {list, tuple, dict, type, None} and args:
        return [found for arg in args if arg is not type(None) for found in _parts(arg)]
    return [(annotation, ())]
