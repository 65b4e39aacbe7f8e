"""The dimensions of the values in an answer: SI inside, the caller's unit on the wire."""

from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import Field, GetCoreSchemaHandler
from pydantic_core import CoreSchema, core_schema

from service.units.quantity import Quantity


@dataclass(frozen=True, slots=True)
class Unit:
    """Annotation of a number whose unit is the same in every unit system."""

    label: str


BEYOND = 1e12
"""More than any bare figure of a zone that is taken. [-]"""


@dataclass(frozen=True, slots=True)
class Reading(Quantity):
    """Annotation of a quantity in an answer. Its bounds tell a reader what to expect and refuse nothing.

    Where nature sets none they lie beyond any zone that is taken.
    """

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.float_schema(allow_inf_nan=False)


Pressure = Annotated[float, Reading("pressure", -1e12, 1e12)]
Length = Annotated[float, Reading("length", -1e9, 1e9)]
Place = Annotated[float, Reading("length", 0, 1e4)]
"""Distance along a run, which is no longer."""
Flow = Annotated[float, Reading("flow", -1e6, 1e6)]
"""In a pipe; below zero where it runs against the order of the runs, as it may in a loop."""
OutletFlow = Annotated[float, Reading("outlet_flow", 0, 1e3)]
Velocity = Annotated[float, Reading("velocity", 0, 1e6)]
Temperature = Annotated[float, Reading("temperature", 0, 60)]
Volume = Annotated[float, Reading("volume", 0, 1e9)]
Opening = Annotated[float, Reading("roughness", 0, 0.02)]
Duration = Annotated[float, Reading("duration", 0, 1e12)]
Percent = Annotated[float, Unit("%"), Field(ge=-1e6, le=100, json_schema_extra={"format": "double"})]
Number = Annotated[float, Field(ge=-1e12, le=1e12, allow_inf_nan=False, json_schema_extra={"format": "double"})]
Count = Annotated[int, Field(ge=0, le=2**31 - 1, json_schema_extra={"format": "int32"})]
Word = Annotated[str, Field(max_length=200, pattern=r"^[^\u0000-\u001f]*$")]
"""A name, an address or a code."""
