"""What a job comes to: labour, overhead, profit, a least charge and taxes on top of the parts."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from service.schemas.takeoff import TakeoffJob
from service.schemas.takeoff_costs import LENGTHS, Task
from service.takeoff.buy import rounded
from service.units.dimensions import System, from_si

HUNDRED = Decimal(100)

LABOUR, MINIMUM = "labour", "minimum_charge"
"""Tax classes of what is no part."""

LENGTH_DIGITS = 12
"""Digits of a length that hours are reckoned from. [-] 640.0000000000001 ft is a 640 that came through a sum."""


@dataclass(frozen=True, slots=True)
class Cost:
    """An amount of one tax class, rounded, and how far it may be off either way."""

    tax_class: str
    amount: Decimal
    material: bool
    low: Decimal  # factor
    high: Decimal


@dataclass(frozen=True, slots=True)
class Done:
    """One task, reckoned."""

    task: Task
    amount: Decimal  # of what it is done for, lengths in the caller's unit
    hours: Decimal
    rate: Decimal
    cost: Decimal


@dataclass(frozen=True, slots=True)
class ClassSum:
    """What one tax class comes to."""

    tax_class: str
    cost: Decimal
    overhead: Decimal
    profit: Decimal
    rate: Decimal
    tax: Decimal

    @property
    def price(self) -> Decimal:
        """Before tax."""
        return self.cost + self.overhead + self.profit


@dataclass(frozen=True, slots=True)
class Sums:
    """What the job comes to."""

    classes: tuple[ClassSum, ...]
    minimum: Decimal  # what the least charge adds, which is in the classes too

    def sum(self, what: Literal["cost", "overhead", "profit", "price", "tax"]) -> Decimal:
        """One column of the classes, summed; profit without what the least charge adds."""
        total: Decimal = sum((getattr(each, what) for each in self.classes), Decimal(0))
        return total - self.minimum if what == "profit" else total

    @property
    def total(self) -> Decimal:
        """Price and tax."""
        return self.sum("price") + self.sum("tax")


def tasks_done(job: TakeoffJob, work: Mapping[str, float], decimals: int) -> list[Done]:
    """The labour of a job."""
    if job.labour is None:
        return []
    return [_done(task, job.labour.rate, work, job.units, decimals) for task in job.labour.tasks]


def _done(task: Task, rate: Decimal, work: Mapping[str, float], system: System, decimals: int) -> Done:
    amount = work_amount(task.per, work, system)
    hours = amount * task.hours
    own = rate if task.rate is None else task.rate
    return Done(task, amount, hours, own, rounded(hours * own, decimals))


def work_amount(driver: str, work: Mapping[str, float], system: System) -> Decimal:
    """How much there is of what a task is done for; lengths in the caller's unit."""
    if driver == "job":
        return Decimal(1)
    amount = work.get(driver, 0.0)
    if driver not in LENGTHS:
        return Decimal(round(amount))
    return Decimal(f"{from_si(amount, 'length', system):.{LENGTH_DIGITS}g}")


def sums(job: TakeoffJob, costs: Iterable[Cost], decimals: int, end: Literal["as_is", "low", "high"] = "as_is") -> Sums:
    """What the job comes to, as it is or with everything uncertain as low or as high as it may be."""
    by_class: defaultdict[str, Decimal] = defaultdict(Decimal)
    for cost in costs:
        factor = {"as_is": Decimal(1), "low": cost.low, "high": cost.high}[end]
        by_class[cost.tax_class] += cost.amount if end == "as_is" else rounded(cost.amount * factor, decimals)
    rates = {} if job.tax is None else job.tax.rates
    on_cost = job.tax is not None and job.tax.base == "cost"
    classes = [
        _class_sum(job, tax_class, cost, rates.get(tax_class, Decimal(0)), on_cost=on_cost, decimals=decimals)
        for tax_class, cost in sorted(by_class.items())
    ]
    price = sum((each.price for each in classes), Decimal(0))
    missing = max(Decimal(0), rounded(job.minimum_charge or Decimal(0), decimals) - price)
    if missing:
        rate, nought = rates.get(MINIMUM, Decimal(0)), Decimal(0)
        tax = nought if on_cost else rounded(missing * rate / HUNDRED, decimals)
        classes.append(ClassSum(MINIMUM, nought, nought, missing, rate, tax))
    return Sums(tuple(classes), missing)


def _class_sum(
    job: TakeoffJob, tax_class: str, cost: Decimal, rate: Decimal, *, on_cost: bool, decimals: int
) -> ClassSum:
    overhead = rounded(cost * job.overhead / HUNDRED, decimals)
    before = cost + overhead
    if job.margin is not None:
        profit = rounded(before * job.margin / (HUNDRED - job.margin), decimals)
    else:
        profit = rounded(before * (job.markup or Decimal(0)) / HUNDRED, decimals)
    taxed = cost if on_cost else before + profit
    return ClassSum(tax_class, cost, overhead, profit, rate, rounded(taxed * rate / HUNDRED, decimals))


def formula(job: TakeoffJob) -> str:
    """How the price of the job follows from its cost."""
    least = ", at least the minimum charge" if job.minimum_charge else ""
    return f"price = {_of_cost(job)}{least}"


def _of_cost(job: TakeoffJob) -> str:
    before = "cost" if not job.overhead else f"cost × (1 + {job.overhead.normalize():f} % overhead)"
    if job.margin is not None:
        return f"{before} / (1 - {job.margin.normalize():f} % margin)"
    if job.markup:
        return f"{before} × (1 + {job.markup.normalize():f} % markup)"
    return before
