"""Models that leave out what does not exist, in their documents and in their schema."""

from typing import Annotated, TypeVar

from pydantic import BaseModel, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema

T = TypeVar("T")


class _LeftOut:
    """Annotation of a field that may be left out but not be null."""

    def __get_pydantic_json_schema__(self, core: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        schema = handler(core)
        kinds = [kind for kind in schema.pop("anyOf", []) if kind != {"type": "null"}]
        return {**schema, **kinds[0]} if len(kinds) == 1 else {**schema, **({"anyOf": kinds} if kinds else {})}


Perhaps = Annotated[T | None, _LeftOut()]
"""`T`, or None for what does not exist; the document leaves it out."""


class NothingNull(BaseModel):
    """A model whose schema knows no null."""

    @classmethod
    def __get_pydantic_json_schema__(cls, core: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        """The schema without `default: null`."""
        schema = handler(core)
        for field in handler.resolve_ref_schema(schema).get("properties", {}).values():
            if field.get("default", ...) is None:
                del field["default"]
        return schema
