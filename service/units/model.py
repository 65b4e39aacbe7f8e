"""Root models: what a caller sends as one body or one query, with the `units` it is written in."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar, Self

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, ModelWrapValidatorHandler, model_validator
from pydantic_core import PydanticCustomError

from service.units.dimensions import System
from service.units.reading import reading, system_in_use

DEFAULT_SYSTEM = System.US
"""The units of a request that does not say."""


def _as_the_body(system: System) -> System:
    body = system_in_use.get()
    if body is not None and system is not body:
        raise PydanticCustomError(
            "units_differ",
            "The body is in {accepted} units, so what is nested in it says the same or nothing.",
            {"accepted": body.value},
        )
    return system


class UnitModel(BaseModel):
    """Base of request bodies. Unknown fields are refused; a parsed model is frozen and in SI.

    `units` is read before everything else. Nested in another such model, the body's units hold: an own `units` may
    repeat them and is refused if it differs.
    """

    model_config = ConfigDict(extra="forbid", frozen=True)

    numbers_as_text: ClassVar[bool] = False

    units: Annotated[System, AfterValidator(_as_the_body)] = Field(
        default_factory=lambda: system_in_use.get() or DEFAULT_SYSTEM,
        description="Unit system of every number in the request and in its answer.",
        json_schema_extra={"default": DEFAULT_SYSTEM.value},
    )

    @model_validator(mode="wrap")
    @classmethod
    def _read_in_its_units(cls, data: Any, handler: ModelWrapValidatorHandler[Self]) -> Self:
        if system_in_use.get() is not None:
            return handler(data)
        written = data.get("units", DEFAULT_SYSTEM) if isinstance(data, dict) else DEFAULT_SYSTEM
        # An unknown system is the field's own fault to report; the other fields are read by the default meanwhile.
        known = isinstance(written, str) and written in set(System)
        with reading(System(written) if known else DEFAULT_SYSTEM, as_text=cls.numbers_as_text):
            return handler(data)


class QueryModel(UnitModel):
    """Base of query parameters: as a body, but numbers come as text."""

    numbers_as_text: ClassVar[bool] = True
