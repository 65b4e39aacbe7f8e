"""A job to be taken off: its zones, how they are installed, what is allowed for, and what things cost."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any, Literal, Self

from pydantic import AfterValidator, Field, ModelWrapValidatorHandler, StrictBool, model_validator

from service.schemas.devices import HeadValve
from service.schemas.money import NOUGHT_BY_DEFAULT, Charge, Percent, Within
from service.schemas.takeoff_allowances import Allowances
from service.schemas.takeoff_costs import Labour, Tax
from service.schemas.takeoff_prices import PriceBook
from service.schemas.zone import Zone
from service.units.lists import Items
from service.units.model import Maybe, Model, UnitModel
from service.units.quantity import Length
from service.units.refusal import Refusal, read_along, refuse
from service.units.text import Name

MOST_ZONES = 1000

HeadSize = Literal["0.75in", "1in", "1.25in", "1.5in", "2in"]
"""Pipe thread of a head."""

SharedDevice = Literal["backflow_preventer", "valve", "filter", "regulator", "injector", "other"]
"""A device that may stand once for all zones."""


def _once(kinds: tuple[str, ...]) -> tuple[str, ...]:
    again = [
        Refusal((row,), "It is named before.", "each kind once")
        for row, kind in enumerate(kinds)
        if kind in kinds[:row]
    ]
    refuse("shared", again)
    return kinds


class Installation(Model):
    """How a zone is put in, as far as its pipes do not say so."""

    controller_distance: Maybe[Length] = None
    """Length of wire run from the valves to the controller. No wire is counted if left out. A valve that zones share is
    wired once, over the longest way that any of them states."""

    trench_length: Maybe[Length] = None
    """Length of trench to dig."""

    sleeve_length: Maybe[Length] = None
    """Length of sleeve under paving."""


class JobZone(Zone):
    """A zone, as for a check, and how it is put in."""

    installation: Installation = Field(default_factory=Installation)
    """Wire, trench and sleeves of the zone."""

    @model_validator(mode="after")
    def _wire_leads_to_a_valve(self) -> Self:
        wired = self.installation.controller_distance is not None
        if wired and not any(isinstance(device, HeadValve) for device in self.head):
            told = "The head of this zone has no valve to wire."
            refuse("JobZone", [Refusal(("installation", "controller_distance"), told, "a valve in head, or no wire")])
        return self


class TakeoffJob(UnitModel):
    """The zones of one job, and what they are taken off and priced by."""

    name: Maybe[Name] = None
    """What to call the job."""

    zones: Annotated[tuple[JobZone, ...], Items(1, MOST_ZONES)]
    """The zones of the job."""

    shared: Annotated[tuple[SharedDevice, ...], Items(0, 6), AfterValidator(_once)] = ()
    """Kinds of head device that stand once for all zones; each is counted in the first zone that has it."""

    head_size: Maybe[HeadSize] = None
    """Thread of the heads. That of the widest pipe that leaves a head, 0.75in at least, if left out."""

    frost: StrictBool = False
    """Whether heads are drained and blown out before frost."""

    allowances: Allowances = Field(default_factory=Allowances)
    """What is added to what is counted."""

    prices: Maybe[PriceBook] = None
    """Prices; in place of the price book of the service, if it has one. Without either the job is not priced."""

    labour: Maybe[Labour] = None
    """Working hours."""

    overhead: Annotated[Percent, NOUGHT_BY_DEFAULT] = Decimal(0)
    """Overhead in percent of the cost of parts, work and labour."""

    markup: Maybe[Percent] = None
    """Profit in percent of cost and overhead."""

    margin: Maybe[Within] = None
    """Profit in percent of the price; in place of `markup`."""

    tax: Maybe[Tax] = None
    """Taxes."""

    minimum_charge: Maybe[Charge] = None
    """Least price of the job before tax."""

    quantity_uncertainty: Annotated[Within, NOUGHT_BY_DEFAULT] = Decimal(0)
    """How far the quantities of parts and work may be off either way, in percent."""

    @model_validator(mode="wrap")
    @classmethod
    def _one_profit(cls, data: Any, handler: ModelWrapValidatorHandler[Self]) -> Self:
        return read_along("TakeoffJob", lambda: handler(data), _excluding(data) if isinstance(data, dict) else [])


def _excluding(written: dict[str, Any]) -> list[Refusal]:
    """Refusals of what excludes each other, found however the rest is written."""
    if "markup" not in written or "margin" not in written:
        return []
    told = "Markup is a share of the cost and margin one of the price; a job has one of them."
    return [Refusal(("margin",), told, "markup or margin, not both")]
