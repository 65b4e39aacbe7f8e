"""How many things a list may hold."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, PydanticCustomError, core_schema


@dataclass(frozen=True, slots=True)
class Items:
    """Annotation of a list: least and most items, counted as they were written.

    The stock constraint of a tuple counts what is left after faulty items dropped out, and so tells one fault twice.
    """

    least: int
    most: int

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_before_validator_function(self._counted, handler(source))

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        return {**handler(schema), "minItems": self.least, "maxItems": self.most}

    def _counted(self, items: Any) -> Any:
        if isinstance(items, list | tuple) and not self.least <= len(items) <= self.most:
            raise PydanticCustomError(
                "list_length",
                "There are {count} items.",
                {"count": len(items), "accepted": f"{self.least} to {self.most} items"},
            )
        return items
