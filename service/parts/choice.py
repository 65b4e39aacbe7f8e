"""A part in a request: the id of one in the catalogue, or the part written out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import BaseModel, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from service.parts.catalogue import UnknownPart, catalogue_in_use
from service.parts.models import Emitter, Part, Pipe, WrittenEmitter, WrittenPipe
from service.units.text import PartId


@dataclass(frozen=True, slots=True)
class Choice:
    """Annotation of a part. Text is an id, an object is the part itself: one of them is read, never both tried."""

    part: type[Part]
    written: type[BaseModel]

    def read(self, value: Any) -> Part:
        """The part that a value names or writes out."""
        if isinstance(value, self.part):
            return value
        if isinstance(value, str):
            return self._named(value)
        if isinstance(value, dict):
            return self._written(value)
        fields = ", ".join(field.alias or name for name, field in self.written.model_fields.items())
        accepted = f"an id of the catalogue, or an object with {fields}"
        raise PydanticCustomError("not_a_part", "A part is named by its id or written out.", {"accepted": accepted})

    def _named(self, part_id: str) -> Part:
        try:
            return catalogue_in_use().get(self.part.kind_of_part, part_id)
        except UnknownPart as unknown:
            told = {"told": str(unknown), "accepted": unknown.accepted}
            raise PydanticCustomError("unknown_part", "{told}", told) from None

    def _written(self, value: dict[str, Any]) -> Part:
        read = self.written.model_validate(value)
        # What was left out stays unset, so that the answer can say which defaults were filled in.
        stated = {name: self.written.model_fields[name].alias or name for name in read.model_fields_set}
        return self.part.model_construct(**{alias: getattr(read, name) for name, alias in stated.items()})

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        forms = handler.generate_schema(PartId | self.written)
        return core_schema.no_info_wrap_validator_function(lambda value, _: self.read(value), forms)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        by_id, written = handler(schema)["anyOf"]
        return {"oneOf": [{**by_id, "title": f"Catalogue id of {self.part.kind_of_part}"}, written]}


PipeChoice = Annotated[Pipe, Choice(Pipe, WrittenPipe)]
"""Catalogue id of a pipe, or the pipe written out."""

EmitterChoice = Annotated[Emitter, Choice(Emitter, WrittenEmitter)]
"""Catalogue id of an emitter, or the emitter written out."""
