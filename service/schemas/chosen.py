"""Fields that take one of several forms, told apart before any of them is tried."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from pydantic import GetCoreSchemaHandler
from pydantic_core import CoreSchema, core_schema


@dataclass(frozen=True, slots=True)
class Chosen:
    """Annotation of a value that `read` makes out of what was written.

    The documented forms are `forms`; `read` looks at what was written, takes the one form it means and reports the
    faults of that form alone. A value that was read already is kept.
    """

    read: Callable[[Any], Any]
    forms: Any
    made: tuple[type, ...]

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_wrap_validator_function(self._keep_or_read, handler.generate_schema(self.forms))

    def _keep_or_read(self, written: Any, _: core_schema.ValidatorFunctionWrapHandler) -> Any:
        return written if isinstance(written, self.made) else self.read(written)
