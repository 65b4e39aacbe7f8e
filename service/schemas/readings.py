"""The dimensions of the values in an answer: SI inside, the caller's unit on the wire."""

from dataclasses import dataclass
from typing import Annotated

from pydantic import Field

from service.units.quantity import Quantity


@dataclass(frozen=True, slots=True)
class Unit:
    """Annotation of a number whose unit is the same in every unit system."""

    label: str


Pressure = Annotated[float, Quantity("pressure")]
Length = Annotated[float, Quantity("length")]
Flow = Annotated[float, Quantity("flow")]
OutletFlow = Annotated[float, Quantity("outlet_flow")]
Diameter = Annotated[float, Quantity("diameter")]
Velocity = Annotated[float, Quantity("velocity")]
Temperature = Annotated[float, Quantity("temperature")]
Volume = Annotated[float, Quantity("volume")]
Opening = Annotated[float, Quantity("roughness")]
Rate = Annotated[float, Quantity("rate")]
Duration = Annotated[float, Quantity("duration")]
Percent = Annotated[float, Unit("%"), Field(ge=-1e6, le=100, json_schema_extra={"format": "double"})]
Number = Annotated[float, Field(ge=-1e12, le=1e12, allow_inf_nan=False, json_schema_extra={"format": "double"})]
Count = Annotated[int, Field(ge=0, le=2**31 - 1, json_schema_extra={"format": "int32"})]
Word = Annotated[str, Field(max_length=200, pattern=r"^[^\u0000-\u001f]*$")]
"""A name, an address or a code."""
