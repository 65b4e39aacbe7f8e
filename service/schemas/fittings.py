"""Fittings of a run or a service line, counted by kind."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, ValidationError, WithJsonSchema
from pydantic_core import InitErrorDetails, PydanticCustomError

from service.parts.fittings import FITTINGS
from service.units.model import MOST_FIELDS
from service.units.quantity import Plain

FEWEST, MOST = 0, 1000
"""Fittings of one kind on one run. [-]"""


def _few(counts: Any) -> Any:
    if isinstance(counts, dict) and len(counts) > MOST_FIELDS:
        raise PydanticCustomError("too_many_fields", "There are too many kinds.", {"accepted": ", ".join(FITTINGS)})
    return counts


def _of_known_kinds(counts: dict[str, int]) -> dict[str, int]:
    fault = PydanticCustomError("unknown_field", "There is no fitting of this name.", {"accepted": ", ".join(FITTINGS)})
    unknown = [InitErrorDetails(type=fault, loc=(name,), input=None) for name in counts if name not in FITTINGS]
    if unknown:
        raise ValidationError.from_exception_data("Fittings", unknown)
    return counts


Fittings = Annotated[
    dict[str, Annotated[int, Plain(FEWEST, MOST, whole=True)]],
    BeforeValidator(_few),
    AfterValidator(_of_known_kinds),
    WithJsonSchema(
        {
            "type": "object",
            "additionalProperties": False,
            "properties": {
                name: {
                    "type": "integer",
                    "format": "int32",
                    "minimum": FEWEST,
                    "maximum": MOST,
                    "description": f"{fitting.name}, K {fitting.k}",
                }
                for name, fitting in FITTINGS.items()
            },
        }
    ),
]
"""How many fittings there are of each kind; a kind that is not named is not there."""
