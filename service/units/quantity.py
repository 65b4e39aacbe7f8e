"""Numbers with a dimension, read into SI while they are validated, and the ready types of fields.

A field says its dimension once, `static_pressure: Pressure`. During a `reading` it takes the caller's unit, turns into
SI, has its bounds checked, and reports a fault in the caller's unit. Outside of a reading values are SI already.

The ranges are generous for a drip zone and its supply. They keep absurd magnitudes out, so that no product or quotient
of accepted values can overflow; what is unwise but possible is a finding's business.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Context, Decimal
from typing import Annotated, Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from service.units.dimensions import DIMENSIONS, System, Unit, as_written
from service.units.reading import is_decorated, number_in, system_in_use
from service.units.sentence import USUAL_DIGITS, figure

LARGEST = sys.float_info.max
"""Bound of a number without a bound of its own: whatever is finite."""

NOUGHT = 1e-30
"""Below this a number is nought in any unit: nothing of a zone is so small, and a quotient by it may have no end."""

PLAINLY = " Write it with no unit and nothing between thousands."

_BARE = Unit("", 1.0)
_PLAIN_TYPES = (float, int)  # by identity, so that no boolean slips in


@dataclass(frozen=True, slots=True)
class Span:
    """The accepted readings of a number in one unit, both ends included."""

    low: float
    high: float
    unit: Unit

    @property
    def accepted(self) -> str:
        """The span for people: `from 0.1 to 290 psi`."""
        label = f" {self.unit.label}" if self.unit.label else ""
        if self.high == LARGEST:
            return f"any number{' of' if label else ''}{label}"
        return f"from {figure(self.low)} to {figure(self.high)}{label}"

    def schema(self) -> dict[str, float]:
        """The span in the words of JSON Schema."""
        return {} if self.high == LARGEST else {"minimum": self.low, "maximum": self.high}

    def refusal(self, number: float) -> PydanticCustomError:
        """The fault of a number outside of the span."""
        given = f"{number:.6g} {self.unit.label}".rstrip() if abs(number) <= LARGEST else "Such a number"
        return PydanticCustomError(
            "out_of_range",
            "{given} is outside the range {accepted}.",
            {"given": given, "accepted": self.accepted, "unit": self.unit.label},
        )


def _read_by(spans: Mapping[System | None, Span], *, whole: bool = False) -> Callable[[object], float | int]:
    """A validator that reads by the span of the system in use."""
    lines = {system: (span.low, span.high, span.unit.factor, span.unit.zero) for system, span in spans.items()}

    def read(value: Any) -> float | int:
        # Most values are plain and good, and a body may hold a hundred thousand: no call is made for those.
        low, high, factor, zero = lines[system_in_use.get()]
        if not whole and type(value) in _PLAIN_TYPES and low <= value <= high and not -NOUGHT < value < NOUGHT:
            reading: float = (value - zero) * factor
            return reading
        return read_with_care(value)

    def read_with_care(value: object) -> float | int:
        span = spans[system_in_use.get()]
        number = number_in(value)
        if number is None:
            raise PydanticCustomError(
                "not_a_number",
                "A {kind} is needed here, {accepted}.{plainly}",
                {
                    "kind": "whole number" if whole else "number",
                    "accepted": span.accepted,
                    "unit": span.unit.label,
                    "plainly": PLAINLY if is_decorated(value) else "",
                },
            )
        # A count has no decimal mark, and 1,000 must not be read as 1.
        is_marked = whole and isinstance(value, str) and "," in value
        if not is_marked and not span.low <= number <= span.high:
            raise span.refusal(number)
        if not whole:
            return span.unit.to_si(float(number) if abs(number) >= NOUGHT else 0.0)
        if is_marked or number != int(number):
            raise PydanticCustomError(
                "not_a_whole_number",
                "A whole number is needed here, {accepted}.",
                {"accepted": span.accepted, "unit": ""},
            )
        return int(number)

    return read


@dataclass(frozen=True, slots=True)
class Quantity:
    """Annotation of a float with a dimension. Bounds in SI; without any, every finite value is taken.

    In each unit the bounds are cut inward to three digits, so that the range a caller is told is the range that holds.
    """

    dimension: str
    low: float = -LARGEST
    high: float = LARGEST

    def span(self, system: System | None) -> Span:
        """The accepted readings in a system's unit, or in SI."""
        unit = _BARE if system is None else DIMENSIONS[self.dimension].unit(system)
        if self.high == LARGEST or system is None:
            return Span(self.low, self.high, unit)
        return Span(_cut(unit.from_si(self.low), ROUND_CEILING), _cut(unit.from_si(self.high), ROUND_FLOOR), unit)

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        spans = {system: self.span(system) for system in (None, *System)}
        write = core_schema.plain_serializer_function_ser_schema(self._write, return_schema=core_schema.float_schema())
        return core_schema.no_info_plain_validator_function(_read_by(spans), serialization=write)

    def _write(self, value: float) -> float:
        """A value as it would be read: during a reading in the caller's unit, else in SI."""
        system = system_in_use.get()
        if system is None:
            return value
        return as_written(value, self.dimension, system)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        spans = {system.value: self.span(system) for system in System}
        per_system = {name: {"unit": span.unit.label, **span.schema()} for name, span in spans.items()}
        widest = Span(min(s.low for s in spans.values()), max(s.high for s in spans.values()), _BARE)
        return {"type": "number", "format": "double", **widest.schema(), "x-unit": per_system}


@dataclass(frozen=True, slots=True)
class Plain:
    """Annotation of a number without a dimension: a float, or with `whole` an int."""

    low: float
    high: float
    whole: bool = False

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        span = Span(self.low, self.high, _BARE)
        spans = dict.fromkeys((None, *System), span)
        return core_schema.no_info_plain_validator_function(_read_by(spans, whole=self.whole))

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        kind = {"type": "integer", "format": "int64"} if self.whole else {"type": "number", "format": "double"}
        return {**kind, "minimum": self.low, "maximum": self.high}


def _cut(value: float, rounding: str) -> float:
    """`value` to three significant digits, rounded up or down."""
    # Twelve digits first: 49.99999999999999 is a 50 that came through a division.
    return float(Context(prec=USUAL_DIGITS, rounding=rounding).plus(Decimal(f"{value:.12g}")))


Pressure = Annotated[float, Quantity("pressure", 0, 2e6)]
"""Gauge pressure, or a pressure loss, to 2000 kPa: above any main that feeds a drip zone. [Pa]"""

PressureAboveZero = Annotated[float, Quantity("pressure", 100, 2e6)]
"""A pressure that must not be nought, such as a set pressure; from 0.1 kPa, a hand's breadth of water. [Pa]"""

PressureRating = Annotated[float, Quantity("pressure", 1e3, 1e7)]
"""What a part withstands, to 10 MPa: thick-walled half-inch pipe is rated above 4. [Pa]"""

Length = Annotated[float, Quantity("length", 1e-3, 1e4)]
"""A length or spacing along pipe, above nought, to 10 km. [m]"""

Distance = Annotated[float, Quantity("length", 0, 1e4)]
"""A place along pipe, or a space between, which may be nought. [m]"""

ConnectionLength = Annotated[float, Quantity("length", 0, 10)]
"""Equivalent pipe length of an emitter's barb or body. [m]"""

Height = Annotated[float, Quantity("length", -1e3, 1e3)]
"""A rise, or where negative a fall. [m]"""

Flow = Annotated[float, Quantity("flow", 0, 0.5)]
"""Flow in pipe and devices, to 30 000 L/min: every outlet a zone may have, twice over. [m³/s]"""

FlowAboveZero = Annotated[float, Quantity("flow", 1e-7, 0.5)]
"""A flow that must not be nought, such as a test flow. [m³/s]"""

OutletFlow = Annotated[float, Quantity("outlet_flow", 2.5e-9, 3e-4)]
"""Flow of one outlet, from about 0.01 L/h (a porous wall) to 1000 (a spray). [m³/s]"""

Diameter = Annotated[float, Quantity("diameter", 2e-4, 0.5)]
"""Diameter of pipe, from the finest microtube. [m]"""

Passage = Annotated[float, Quantity("diameter", 2e-5, 0.02)]
"""Smallest way through an emitter. [m]"""

Velocity = Annotated[float, Quantity("velocity", 0.01, 20)]
"""A criterion for the speed of water. [m/s]"""

Area = Annotated[float, Quantity("area", 1e-2, 1e7)]
"""Ground, to 1000 hectares. [m²]"""

Temperature = Annotated[float, Quantity("temperature", 0, 60)]
"""Water temperature, the range in which the properties of water are known here. [°C]"""

Volume = Annotated[float, Quantity("volume", 0, 1e6)]
"""Volume of water. [m³]"""

Roughness = Annotated[float, Quantity("roughness", 0, 5e-3)]
"""Absolute roughness of a pipe wall; old cast iron has about 3 mm. [m]"""

Opening = Annotated[float, Quantity("roughness", 1e-6, 5e-3)]
"""Opening of a filter. [m]"""

Depth = Annotated[float, Quantity("depth", 0, 5)]
"""Depth of water over ground. [m]"""

Rate = Annotated[float, Quantity("rate", 0, 1e-3)]
"""Application rate, to 3600 mm/h. [m/s]"""

Duration = Annotated[float, Quantity("duration", 0, 31 * 86_400)]
"""A time, to 31 days. [s]"""

Concentration = Annotated[float, Quantity("concentration", 0, 100)]
"""Mass of a substance in water; sea water has 35 in all. [kg/m³]"""

Count = Annotated[int, Plain(1, 100_000, whole=True)]
"""How many of a thing there are, one at least. [-]"""

Share = Annotated[float, Plain(0, 1)]
"""A fraction of the whole. [-]"""
