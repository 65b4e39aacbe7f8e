"""What to buy of each line, and what it costs."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from service.parts.item import Item
from service.schemas.slopes import ROUNDING
from service.schemas.takeoff_prices import PartPrice, PriceBook
from service.takeoff.lines import Line
from service.takeoff.packages import Offer, cheapest_mix, share_of
from service.units.dimensions import FOOT, System

MICROMETRES = 10**6
"""Grain of lengths, in which a hundredth of a foot is a whole number too. [1/m]"""

PRICE_DECIMALS = 4
"""Decimals of prices. [-]"""

PRICE_GRAINS = 10**PRICE_DECIMALS
"""Grain of prices. [1/currency]"""


@dataclass(frozen=True, slots=True)
class Packages:
    """Packages of one size."""

    size: float  # pieces, or length [m]
    count: int
    price: Decimal | None  # of one
    cut: bool = False  # whether they are unit lengths, cut off as one


@dataclass(frozen=True, slots=True)
class Purchase:
    """What is bought of one line."""

    packages: tuple[Packages, ...]  # empty for what comes in any length
    held: float  # what they hold, in pieces or length [m]
    amount: Decimal | None  # cost in the currency, not rounded; None without a price

    @property
    def pieces(self) -> int:
        """How many pieces of pipe they are: each package one, what is cut off as long as one likes one in all."""
        cut = any(each.cut for each in self.packages)
        return sum(each.count for each in self.packages if not each.cut) + cut


def unit_length(system: System) -> Fraction:
    """One ft or m, as prices by the length go by. [m]"""
    return Fraction(1) if system is System.METRIC else Fraction(str(FOOT))


def purchase(line: Line, book: PriceBook | None, lines: int) -> Purchase:
    """The packages to buy for one of so many lines: the cheapest mix where it has a price, else the fewest."""
    item = line.item
    price = None if book is None else book.parts.get(item.id)
    unit = unit_length(book.units) if item.by_length and book is not None else Fraction(1)
    priced = [] if price is None else _priced(price, item, unit)
    known = priced or _unpriced(item)
    if not known:
        return Purchase((), line.quantity, None)
    grain = MICROMETRES if item.by_length else 1
    need = math.ceil(line.quantity * grain * (1 - ROUNDING))
    offers = [Offer(int(size * grain), 1 if cost is None else int(cost * PRICE_GRAINS)) for size, cost, _ in known]
    counts = cheapest_mix(need, offers, share_of(lines))
    bought = [(size, count, cost, cut) for (size, cost, cut), count in zip(known, counts, strict=True) if count]
    held = sum((size * count for size, count, _, _ in bought), Fraction(0))
    amount = sum((cost * count for _, count, cost, _ in bought if cost is not None), Decimal(0)) if priced else None
    ordered = sorted(bought, key=lambda each: -each[0])
    return Purchase(
        tuple(Packages(float(size), count, cost, cut) for size, count, cost, cut in ordered), float(held), amount
    )


Known = tuple[Fraction, Decimal | None, bool]
"""Size, price, and whether it is a unit length cut off as one likes."""


def _priced(price: PartPrice, item: Item, unit: Fraction) -> list[Known]:
    known: list[Known] = [(Fraction(package.size) * unit, package.price, False) for package in price.packages]
    if price.unit is None:
        return known
    if item.in_sticks and item.packages and not price.packages:
        return [(stick, _of_stick(price.unit, stick / unit), False) for stick in _sizes(item)]
    return [*known, (unit, price.unit, item.by_length)]


def _of_stick(price: Decimal, units: Fraction) -> Decimal:
    """What a stick costs, which is priced by its length."""
    return rounded(price * units.numerator / units.denominator, PRICE_DECIMALS)


def _unpriced(item: Item) -> list[Known]:
    if item.packages:
        return [(size, None, False) for size in _sizes(item)]
    return [] if item.by_length else [(Fraction(1), None, False)]


def _sizes(item: Item) -> list[Fraction]:
    """What a part comes in: pieces, or lengths [m]."""
    return [Fraction(round(size * MICROMETRES), MICROMETRES) for size in item.packages]


def rounded(amount: Decimal, decimals: int) -> Decimal:
    """An amount in the smallest unit of its currency, half of one up.

    >>> rounded(Decimal("0.125"), 2), rounded(Decimal("1234.5"), 0)
    (Decimal('0.13'), Decimal('1235'))
    """
    return amount.quantize(Decimal(1).scaleb(-decimals), rounding=ROUND_HALF_UP)
