"""Text that callers write: names to print and ids to point with."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import GetCoreSchemaHandler
from pydantic_core import CoreSchema, core_schema


@dataclass(frozen=True, slots=True)
class Text:
    """Annotation of a string: its pattern (also JSON Schema's), its greatest length, and both in words."""

    pattern: str
    longest: int
    accepted: str

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.custom_error_schema(
            core_schema.str_schema(pattern=self.pattern, min_length=1, max_length=self.longest, strict=True),
            custom_error_type="text",
            custom_error_message="Text is needed here: {accepted}.",
            custom_error_context={"accepted": self.accepted},
        )


Name = Annotated[
    str, Text(r"^[^\u0000-\u001f\u007f-\u009f]+$", 200, "1 to 200 characters, none of them a control character")
]
"""What a thing is called, shown as given."""

RunId = Annotated[str, Text(r"^[A-Za-z0-9_-]+$", 64, "1 to 64 letters, digits, _ and -")]
"""Id of a run. Free of the `:` and `/` that addresses of run instances are made with."""

PartId = Annotated[str, Text(r"^[a-z0-9.-]+$", 100, "1 to 100 small letters, digits, dots and hyphens")]
"""Id of a part in the catalogue."""
