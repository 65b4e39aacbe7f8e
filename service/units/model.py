"""Models of what people write: bodies, queries and part files. Read into SI, closed to unknown fields, frozen."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar, Self, TypeVar

from pydantic import (
    AfterValidator,
    ConfigDict,
    Field,
    GetCoreSchemaHandler,
    ModelWrapValidatorHandler,
    ValidationError,
    model_validator,
)
from pydantic_core import CoreSchema, InitErrorDetails, PydanticCustomError

from service.units.dimensions import System
from service.units.nothing_null import NothingNull
from service.units.reading import is_reading, reading, system_in_use
from service.units.refusal import retold

DEFAULT_SYSTEM = System.US
"""The units of a request that does not say."""

MOST_FIELDS = 1000
"""Fields of an object that are looked at one by one. [-] Every fault costs time; this many are no slip of the pen."""

T = TypeVar("T")


class _LeftOut:
    """Annotation of a field that may be left out but not be null."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        inner: CoreSchema = handler(source)["schema"]  # within the union with None that `Maybe` makes
        return inner


Maybe = Annotated[T | None, _LeftOut()]
"""`T`, or None where the writer left the field out. Null is refused: a document has one way to say nothing."""


class Model(NothingNull):
    """Base of everything that people write. An unknown field is refused with the names that are known."""

    model_config = ConfigDict(extra="forbid", frozen=True, use_attribute_docstrings=True)

    @model_validator(mode="wrap")
    @classmethod
    def _name_the_fields(cls, data: Any, handler: ModelWrapValidatorHandler[Self]) -> Self:
        if isinstance(data, dict) and len(data) > MOST_FIELDS:
            facts = {"count": len(data), "accepted": cls._known()}
            raise PydanticCustomError("too_many_fields", "There are {count} fields here.", facts)
        try:
            return handler(data)
        except ValidationError as refused:
            raise ValidationError.from_exception_data(
                cls.__name__, [cls._in_words(line) for line in refused.errors(include_url=False)]
            ) from None

    @classmethod
    def _known(cls) -> str:
        return ", ".join(field.alias or name for name, field in cls.model_fields.items())

    @classmethod
    def _in_words(cls, line: Any) -> InitErrorDetails:
        """One line of a refusal, with the known fields told where one is unknown or the whole is no object."""
        if line["type"] == "extra_forbidden" and len(line["loc"]) == 1:
            told = PydanticCustomError(
                "unknown_field", "There is no field of this name here.", {"accepted": cls._known()}
            )
            return InitErrorDetails(type=told, loc=line["loc"], input=line["input"])
        if line["type"] in {"model_type", "model_attributes_type"} and not line["loc"]:
            accepted = {"accepted": f"fields {cls._known()}"}
            told = PydanticCustomError("not_an_object", "An object is needed here.", accepted)
            return InitErrorDetails(type=told, loc=(), input=line["input"])
        return retold(line, line["loc"])


def _as_the_body(system: System) -> System:
    body = system_in_use.get()
    if body is not None and system is not body:
        raise PydanticCustomError(
            "units_differ",
            "The body is in {accepted} units, so what is nested in it says the same or nothing.",
            {"accepted": body.value},
        )
    return system


class UnitModel(Model):
    """Base of request bodies: a model with `units`, which are read before everything else.

    Nested in another such model, the body's units hold: an own `units` may repeat them and is refused if it differs.
    """

    numbers_as_text: ClassVar[bool] = False

    units: Annotated[System, AfterValidator(_as_the_body)] = Field(
        default_factory=lambda: system_in_use.get() or DEFAULT_SYSTEM,
        description="Unit system of every number in the request and in its answer.",
        json_schema_extra={"default": DEFAULT_SYSTEM.value},
    )

    @model_validator(mode="wrap")
    @classmethod
    def _read_in_its_units(cls, data: Any, handler: ModelWrapValidatorHandler[Self]) -> Self:
        if is_reading.get():
            return handler(data)
        written = data.get("units", DEFAULT_SYSTEM) if isinstance(data, dict) else DEFAULT_SYSTEM
        # An unknown system is the field's own fault to report; the other fields are read by the default meanwhile.
        known = isinstance(written, str) and written in set(System)
        with reading(System(written) if known else DEFAULT_SYSTEM, as_text=cls.numbers_as_text):
            return handler(data)


class QueryModel(UnitModel):
    """Base of query parameters: as a body, but numbers come as text."""

    numbers_as_text: ClassVar[bool] = True
