"""A zone: everything that one valve waters, from the supply to the last outlet."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import Field

from service.schemas.devices import Device
from service.schemas.options import Options
from service.schemas.runs import Run
from service.schemas.supply import Supply
from service.schemas.water import Water
from service.units.lists import Items
from service.units.model import Maybe, UnitModel
from service.units.text import Name


class Zone(UnitModel):
    """A drip zone and what feeds it."""

    name: Maybe[Name] = None
    """What to call the zone in answers."""

    water: Water = Field(default_factory=Water)
    """The water."""

    supply: Supply
    """What feeds the zone."""

    head: Annotated[tuple[Device, ...], Items(0, 30)] = ()
    """Devices between supply and pipes, in the order water meets them."""

    runs: Annotated[tuple[Run, ...], Items(1, 2000)]
    """Pipes with their outlets, each leaving from the zone inlet or from another run."""

    options: Options = Field(default_factory=Options)
    """Choices, each with a default."""

    def in_detail(self) -> Self:
        """The same zone, its answer to tell pressures along its runs."""
        return self.model_copy(update={"options": self.options.model_copy(update={"detail": "outlets"})})
