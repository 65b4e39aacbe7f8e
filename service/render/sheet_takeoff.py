"""The takeoff on a sheet: what to buy, section by section, and what it comes to."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from service.render.rounding import fixed
from service.units.sentence import figure

TOTALS = ("materials", "labour", "cost", "overhead", "profit", "minimum_charge", "price", "tax", "total")
"""Totals in the order in which they follow from each other."""


@dataclass(frozen=True, slots=True)
class PrintedLine:
    """One line as it is printed."""

    description: str
    quantity: str
    unit: str
    buy: str
    amount: str
    basis: str


@dataclass(frozen=True, slots=True)
class PrintedTask:
    """One task of labour as it is printed."""

    task: str
    count: str
    hours: str
    rate: str
    amount: str


class PrintedTakeoff:
    """A takeoff, seen by the template."""

    def __init__(self, document: Mapping[str, Any]) -> None:
        """`document` is the takeoff as it goes over the wire."""
        self.document = document
        self.totals: Mapping[str, Any] = document.get("totals", {})
        self.lines: Sequence[Mapping[str, Any]] = document["lines"]
        priced = [*self.lines, *document.get("labour", ())]
        amounts = [line["amount"] for line in priced if "amount" in line]
        self._places = 2 if any(amount != int(amount) for amount in amounts) else 0

    @property
    def currency(self) -> str:
        """What amounts are in; nothing where there are no prices."""
        return str(self.totals.get("currency", ""))

    @property
    def sections(self) -> Iterator[tuple[str, list[PrintedLine]]]:
        """The lines by section."""
        for section, lines in groupby(self.lines, key=lambda line: line["section"]):
            yield section, [self._line(line) for line in lines]

    @property
    def labour(self) -> list[PrintedTask]:
        """The tasks, where labour is priced."""
        return [
            PrintedTask(
                task["task"].replace("_", " "),
                f"{figure(task['count'])} {task['unit']}",
                fixed(task["hours"], 1),
                self._money(task["rate"]),
                self._money(task["amount"]),
            )
            for task in self.document.get("labour", ())
        ]

    @property
    def total(self) -> str:
        """What it all comes to, with its currency; nothing where there are no prices."""
        return f"{self._money(self.totals['total'])} {self.currency}" if self.totals else ""

    @property
    def sums(self) -> Iterator[tuple[str, str]]:
        """What the job comes to, step by step; steps that add nothing are left out."""
        for name in TOTALS:
            if self.totals.get(name) or (name == "total" and self.totals):
                yield name.replace("_", " "), self._money(self.totals[name])

    def _line(self, line: Mapping[str, Any]) -> PrintedLine:
        amount = self._money(line["amount"]) if "amount" in line else ""
        return PrintedLine(
            line["description"], figure(line["quantity"]), line["unit"], line["buy"], amount, line["basis"]
        )

    def _money(self, amount: float) -> str:
        return fixed(amount, self._places)
