"""A request that was read already."""

from functools import cached_property
from typing import Any

from fastapi import Request
from starlette.datastructures import QueryParams

from service.api.field_errors import REPEAT_MARK
from service.units.dimensions import System
from service.units.model import DEFAULT_SYSTEM


class StrictRequest(Request):
    """A request with its body read, and with repeated parameters showing up as unknown ones."""

    raw: bytes = b""
    parsed: Any = None

    async def body(self) -> bytes:
        """The bytes that were read."""
        return self.raw

    async def json(self) -> Any:
        """What they say."""
        return self.parsed

    @property
    def query_params(self) -> QueryParams:
        """The parameters; one given again has REPEAT_MARK behind its name, which no declared parameter has."""
        return self._each_once

    @cached_property
    def _each_once(self) -> QueryParams:
        seen: set[str] = set()
        pairs = []
        for name, value in super().query_params.multi_items():
            pairs.append((name + REPEAT_MARK if name in seen else name, value))
            seen.add(name)
        return QueryParams(pairs)

    @property
    def system(self) -> System:
        """The units that whoever asked reads, as far as they can be told."""
        if isinstance(self.parsed, dict):
            written = self.parsed.get("units")
        else:
            written = getattr(self.parsed, "units", self.query_params.get("units"))
        return System(written) if isinstance(written, str) and written in set(System) else DEFAULT_SYSTEM
