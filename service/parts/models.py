"""The models of all parts, and the name of each kind."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from service.parts.devices import BackflowPreventer, DevicePart, Filter, Meter, Regulator, Valve
from service.parts.emitter import Emitter, WrittenEmitter
from service.parts.part import AS_DESCRIBED, Part
from service.parts.pipe import Pipe, WrittenPipe

__all__ = [
    "AS_DESCRIBED", "KINDS", "BackflowPreventer", "DevicePart", "Emitter", "Filter", "Meter", "Part", "Pipe",
    "Regulator", "Valve", "WrittenEmitter", "WrittenPipe",
]  # fmt: skip

KINDS: Mapping[str, type[Part]] = MappingProxyType(
    {model.kind_of_part: model for model in (Pipe, Emitter, Meter, BackflowPreventer, Valve, Filter, Regulator)}
)
"""Every kind of part, by the name that callers and part files use."""
