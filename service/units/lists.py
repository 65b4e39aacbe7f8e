"""How many things a list may hold, and how many of its faults are told."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler, ValidationError
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, InitErrorDetails, PydanticCustomError, core_schema

from service.units.refusal import retold

BATCH = 200
"""Items read at a time."""

ENOUGH_FAULTS = 200
"""Faults after which a list is read no further. [-] A hundred thousand wrong places would take long to refuse."""


@dataclass(frozen=True, slots=True)
class Items:
    """Annotation of a list: least and most items, counted as they were written.

    The stock constraint of a tuple counts what is left after faulty items dropped out, and so tells one fault twice.
    """

    least: int
    most: int

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_wrap_validator_function(self._read, handler(source))

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        return {**handler(schema), "minItems": self.least, "maxItems": self.most}

    def _read(self, items: Any, read: core_schema.ValidatorFunctionWrapHandler) -> Any:
        if not isinstance(items, list | tuple):
            return read(items)
        if not self.least <= len(items) <= self.most:
            facts = {"count": len(items), "accepted": f"{self.least} to {self.most} items"}
            raise PydanticCustomError("list_length", "There are {count} items.", facts)
        return read(items) if len(items) <= BATCH else self._read_in_batches(items, read)

    def _read_in_batches(self, items: Any, read: core_schema.ValidatorFunctionWrapHandler) -> tuple[Any, ...]:
        good: list[Any] = []
        faults: list[InitErrorDetails] = []
        for start in range(0, len(items), BATCH):
            try:
                good += read(items[start : start + BATCH])
            except ValidationError as refused:
                faults += [
                    retold(line, (start + int(line["loc"][0]), *line["loc"][1:]))
                    for line in refused.errors(include_url=False)
                ]
            if len(faults) >= ENOUGH_FAULTS:
                break
        if faults:
            raise ValidationError.from_exception_data("list", faults)
        return tuple(good)
