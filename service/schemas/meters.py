"""The water meter, known by its nominal size."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic_core import PydanticCustomError

from service.parts.catalogue import catalogue_in_use
from service.parts.models import Meter
from service.schemas.chosen import Chosen
from service.units.text import Text

Size = Annotated[str, Text(r"^[A-Za-z0-9./ _-]+$", 60, "the size of a meter, as 0.75in")]


def _of_size(written: Any) -> Meter:
    meters = [part for part in catalogue_in_use().parts(Meter.kind_of_part) if isinstance(part, Meter)]
    for meter in meters:
        if written in (meter.nominal, meter.id):  # a list or an object, too, is compared and found unlike
            return meter
    accepted = ", ".join(dict.fromkeys(meter.nominal for meter in meters))
    raise PydanticCustomError("unknown_meter", "No meter of this size is known.", {"accepted": accepted})


MeterSize = Annotated[Meter, Chosen(read=_of_size, forms=Size, made=(Meter,))]
"""Nominal size of a meter, as `0.75in`, or the catalogue id of one."""
