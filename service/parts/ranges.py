"""Ranges `[least, most]` of a part."""

from __future__ import annotations

from typing import Annotated

from pydantic import AfterValidator

from service.units.quantity import Flow, OutletFlow, PressureAboveZero
from service.units.refusal import Refusal, refused

Pair = tuple[float, float]


def _rising(pair: Pair) -> Pair:
    if pair[0] >= pair[1]:
        raise refused("Range", Refusal((), "The range does not rise.", "[least, most], with the least below the most"))
    return pair


FlowRange = Annotated[tuple[Flow, Flow], AfterValidator(_rising)]
"""Least and most flow. [m³/s]"""

SettingRange = Annotated[tuple[OutletFlow, OutletFlow], AfterValidator(_rising)]
"""Least and most flow that an outlet can be set to. [m³/s]"""

PressureRange = Annotated[tuple[PressureAboveZero, PressureAboveZero], AfterValidator(_rising)]
"""Least and most pressure at which an outlet is made to work. [Pa]"""
