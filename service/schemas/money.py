"""Amounts of money, shares in percent and working hours, read as decimals: what a caller wrote is what is counted."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from difflib import get_close_matches
from typing import Annotated, Any

from pydantic import Field, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from service.schemas.currencies import CURRENCIES
from service.units.reading import number_in
from service.units.sentence import figure


@dataclass(frozen=True, slots=True)
class DecimalNumber:
    """Annotation of a decimal: bounds, both included, and how many decimals it may have."""

    low: float
    high: float
    places: int = 4

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(
            self._read, serialization=core_schema.plain_serializer_function_ser_schema(float)
        )

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        return {"type": "number", "format": "double", "minimum": self.low, "maximum": self.high}

    @property
    def accepted(self) -> str:
        """What is taken, for people."""
        return f"from {figure(self.low)} to {figure(self.high)}, with at most {self.places} decimals"

    def _read(self, value: Any) -> Decimal:
        number = value if isinstance(value, Decimal) else number_in(value)
        if number is None:
            told = "A number is needed here, {accepted}."
            raise PydanticCustomError("not_a_number", told, {"accepted": self.accepted})
        if not self.low <= number <= self.high:
            given = {"given": f"{number:.6g}", "accepted": self.accepted}
            raise PydanticCustomError("out_of_range", "{given} is outside the range {accepted}.", given)
        # The shortest digits that stand for the number are those that were written.
        exact = Decimal(repr(number)) if isinstance(number, float) else Decimal(number)
        exponent = exact.normalize().as_tuple().exponent
        if isinstance(exponent, int) and -exponent > self.places:
            told = "It has more than {places} decimals."
            raise PydanticCustomError("too_fine", told, {"places": self.places, "accepted": self.accepted})
        return exact


Price = Annotated[Decimal, DecimalNumber(0, 1_000_000)]
"""A price in the currency of the job. Four decimals, for what costs less than a cent."""

Charge = Annotated[Decimal, DecimalNumber(0, 1_000_000_000)]
"""An amount for the whole job, in its currency."""

Percent = Annotated[Decimal, DecimalNumber(0, 1000)]
"""A share that may be above the whole, in percent."""

Within = Annotated[Decimal, DecimalNumber(0, 99)]
"""A share below the whole, in percent."""

NOUGHT_BY_DEFAULT = Field(json_schema_extra={"default": 0})
"""For a decimal that is 0 if left out: the document would write the default as text."""

Hours = Annotated[Decimal, DecimalNumber(0, 100_000, places=6)]
"""Working hours."""


class _OfCurrencies:
    """Annotation of the code of a currency."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self._read)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        return {"type": "string", "enum": sorted(CURRENCIES), "description": "Code of the currency, ISO 4217."}

    def _read(self, value: Any) -> str:
        if isinstance(value, str) and value in CURRENCIES:
            return value
        near = get_close_matches(value[:10].upper(), CURRENCIES, n=3, cutoff=0.6) if isinstance(value, str) else []
        accepted = f"a code of ISO 4217 for a currency in use, such as {', '.join(near or ['EUR', 'USD'])}"
        raise PydanticCustomError("unknown_currency", "No currency in use has this code.", {"accepted": accepted})


Currency = Annotated[str, _OfCurrencies()]
"""Code of a currency, as USD."""
