"""What a job costs beside its parts: labour, overhead, profit, tax, a least charge, and how sure all that is."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field

from service.schemas.money import NOUGHT_BY_DEFAULT, Hours, Percent, Price, Within
from service.schemas.takeoff_prices import MOST_CLASSES, TaxClassName
from service.units.lists import Items
from service.units.model import Maybe, Model
from service.units.text import Name

Driver = Literal[
    "length", "pipe_length", "tubing_length", "dripline_length", "small_tubing_length", "trench_length",
    "sleeve_length", "wire_length", "outlet", "set_outlet", "hole", "fitting", "joint", "end", "stake", "head", "valve",
    "zone", "job",
]  # fmt: skip
"""What a task is done once for: a ft or m of something, or a piece of it."""

LENGTHS = frozenset(
    {
        "length", "pipe_length", "tubing_length", "dripline_length", "small_tubing_length", "trench_length",
        "sleeve_length", "wire_length",
    }
)  # fmt: skip


class Task(Model):
    """Work that takes as long as there is much to do."""

    task: Name
    """What is done."""

    per: Driver
    """What the hours are for: one ft or m of a length, or one piece."""

    hours: Hours
    """Hours for one of those."""

    rate: Maybe[Price] = None
    """Price of an hour of this task; that of all labour if left out."""


class Labour(Model):
    """Working hours by task."""

    rate: Price
    """Price of an hour."""

    tasks: Annotated[tuple[Task, ...], Items(1, 100)]
    """What is done, each with its hours."""

    uncertainty: Annotated[Within, NOUGHT_BY_DEFAULT] = Decimal(0)
    """How far the hours may be off either way, in percent."""


class Tax(Model):
    """Taxes by class of line."""

    rates: Annotated[dict[TaxClassName, Percent], Field(min_length=1, max_length=MOST_CLASSES)]
    """Rate of each class in percent: `materials`, `work`, `labour`, `minimum_charge` or a class of the price book."""

    base: Literal["price", "cost"] = "price"
    """Whether the selling price is taxed (a retail sale), or the cost (what the contractor pays for himself)."""
