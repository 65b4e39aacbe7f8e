"""Prices on the lines of a job, and what they come to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from service.parts.item import Item
from service.schemas import takeoff_answers as told
from service.schemas.currencies import CURRENCIES
from service.schemas.takeoff import TakeoffJob
from service.schemas.takeoff_costs import LENGTHS
from service.schemas.takeoff_prices import PriceBook
from service.takeoff.buy import Purchase, rounded
from service.takeoff.costs import HUNDRED, LABOUR, Cost, Done, Sums, formula, sums, tasks_done
from service.takeoff.faults import TooDear
from service.takeoff.lines import Facts, Line
from service.units.dimensions import labels, to_si
from service.units.sentence import Measured, Sentence
from service.zones.faults import ZoneFaults

DEAREST = 10**13
"""Most that a job may come to. [currency] A number of a document tells 15 digits, decimals included."""

ONCE = "job"
"""What a task is done for that does not grow with the quantities."""


@dataclass(frozen=True, slots=True)
class Priced:
    """The money of a job as answers hold it."""

    book: PriceBook
    amounts: Mapping[str, Decimal]  # by line, rounded
    unpriced: list[str]
    classes: Sequence[str]
    labour: list[told.LabourLine]
    totals: told.Totals

    def amount_of(self, item: Item) -> float | None:
        """What the line of a part costs."""
        return float(self.amounts[item.line]) if item.line in self.amounts else None

    def class_of(self, item: Item) -> str:
        """The tax class of a part."""
        return tax_class(self.book, item)


def tax_class(book: PriceBook, item: Item) -> str:
    """The tax class of a part: that of its price, else its own."""
    price = book.parts.get(item.id)
    return item.tax_class if price is None or price.tax_class is None else price.tax_class


def price_job(
    job: TakeoffJob, book: PriceBook, lines: Sequence[Line], bought: Mapping[str, Purchase], work: Mapping[str, float]
) -> Priced:
    """Price the lines and the labour of a job and sum them up."""
    decimals = CURRENCIES[book.currency]
    exact = {line.item.line: bought[line.item.line].amount for line in lines}
    amounts = {line: rounded(amount, decimals) for line, amount in exact.items() if amount is not None}
    done = tasks_done(job, work, decimals)
    costs = [
        *(_of_part(job, book, line.item, amounts[line.item.line]) for line in lines if line.item.line in amounts),
        *(_of_task(job, task) for task in done),
    ]
    unpriced = [line.item for line in lines if exact[line.item.line] is None]
    summed = sums(job, costs, decimals)
    if sums(job, costs, decimals, "high").total > DEAREST:
        raise ZoneFaults([TooDear(limit=f"{DEAREST:,} {book.currency}")])
    return Priced(
        book=book,
        amounts=amounts,
        unpriced=list(dict.fromkeys(item.id for item in unpriced)),
        classes=[each.tax_class for each in summed.classes],
        labour=[_labour_line(task, job) for task in done],
        totals=_totals(job, book, costs, summed, unpriced=len(unpriced), lines=len(lines)),
    )


def _of_part(job: TakeoffJob, book: PriceBook, item: Item, amount: Decimal) -> Cost:
    own = book.parts[item.id].uncertainty
    share = book.uncertainty if own is None else own
    return _uncertain(tax_class(book, item), amount, (share, job.quantity_uncertainty), material=True)


def _of_task(job: TakeoffJob, done: Done) -> Cost:
    hours = Decimal(0) if job.labour is None else job.labour.uncertainty
    quantity = Decimal(0) if done.task.per == ONCE else job.quantity_uncertainty
    return _uncertain(LABOUR, done.cost, (hours, quantity), material=False)


def _uncertain(tax_class: str, amount: Decimal, shares: tuple[Decimal, ...], *, material: bool) -> Cost:
    low = high = Decimal(1)
    for share in shares:
        low *= 1 - share / HUNDRED
        high *= 1 + share / HUNDRED
    return Cost(tax_class, amount, material, low, high)


def _labour_line(done: Done, job: TakeoffJob) -> told.LabourLine:
    long = done.task.per in LENGTHS
    amount = float(done.amount)
    return told.LabourLine(
        task=done.task.task,
        per=done.task.per,
        count=Measured(to_si(amount, "length", job.units), "length") if long else amount,
        unit=labels(job.units)["length"] if long else "each",
        hours=float(done.hours),
        rate=float(done.rate),
        amount=float(done.cost),
    )


def _totals(
    job: TakeoffJob, book: PriceBook, costs: Sequence[Cost], summed: Sums, *, unpriced: int, lines: int
) -> told.Totals:
    decimals = CURRENCIES[book.currency]
    uncertain = any(cost.high > 1 for cost in costs)
    ends = {end: float(sums(job, costs, decimals, end).total) for end in ("low", "high")} if uncertain else {}
    materials = sum((cost.amount for cost in costs if cost.material), Decimal(0))
    smallest = f"{Decimal(1).scaleb(-decimals):f} {book.currency}"
    return told.Totals(
        currency=book.currency,
        complete=not unpriced,
        says=_total_in_words(summed, book.currency, unpriced=unpriced, lines=lines),
        materials=float(materials),
        labour=float(summed.sum("cost") - materials),
        cost=float(summed.sum("cost")),
        overhead=float(summed.sum("overhead")),
        profit=float(summed.sum("profit")),
        minimum_charge=float(summed.minimum),
        price=float(summed.sum("price")),
        tax=float(summed.sum("tax")),
        total=float(summed.total),
        range=told.Range(**ends) if ends else None,
        formula=formula(job),
        rounding=f"Each amount is rounded once, to {smallest} and halves up; totals are sums of rounded amounts.",
        by_class=[
            told.ClassTotals(
                tax_class=each.tax_class,
                cost=float(each.cost),
                overhead=float(each.overhead),
                profit=float(each.profit),
                price=float(each.price),
                tax_rate=float(each.rate),
                tax=float(each.tax),
                total=float(each.price + each.tax),
            )
            for each in summed.classes
        ],
    )


def _total_in_words(summed: Sums, currency: str, *, unpriced: int, lines: int) -> Sentence:
    total = f"{summed.total:f} {currency}"
    if not unpriced:
        return Sentence("{total}, every line priced.", {"total": total})
    facts: Facts = {"total": total, "unpriced": unpriced, "lines": lines}
    return Sentence("{total}; without a price and left out: {unpriced} of {lines} lines.", facts)
