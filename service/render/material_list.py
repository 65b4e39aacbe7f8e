"""A takeoff as it is printed: sections of lines with their quantities, packages and amounts, and what they come to."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from service.render.rounding import fixed
from service.schemas.currencies import CURRENCIES
from service.takeoff.lines import plural
from service.takeoff.rules import COMMON_PRACTICE
from service.units.sentence import figure

Document = Mapping[str, Any]

Remark = tuple[str, str, str]
"""What it is about, what is said, and why where that is said too."""

OF_JOINTS = frozenset({"joints", "coil_end_joints"})
"""Rules that say themselves how much they count."""

HOUR_DECIMALS, LEAST_HOURS = 2, 0.05
"""Decimals of hours, and how few are told more finely. [-, h]"""

MOST_ZONES = 8
"""Zones that a printed table has columns for. [-]"""

SECTIONS = {
    "pipe": "Pipe and tubing",
    "fittings": "Fittings",
    "outlets": "Outlets, stakes and taps",
    "head": "Heads",
    "wiring": "Wiring",
    "site": "Site",
    "consumables": "Consumables",
}


@dataclass(frozen=True, slots=True)
class Reason:
    """One count of a line as it is printed."""

    count: str
    says: str
    habit: bool  # whether the trade does so and no source says it


@dataclass(frozen=True, slots=True)
class PrintedLine:
    """One line as it is printed."""

    part: str
    description: str
    quantity: str
    unit: str
    buy: str
    prices: str  # of each package, in the order in which they are bought
    amount: str  # empty where there are no prices or none for this part
    reasons: Sequence[Reason]

    @property
    def measure(self) -> str:
        """The quantity with its unit, in as many words as what is to be bought where that is the same."""
        return f"{self.quantity} {self.unit}".rstrip() if self.buy_beside else self.buy

    @property
    def buy_beside(self) -> str:
        """What to buy, where that is not the quantity itself."""
        told = {self.quantity, f"{self.quantity} {self.unit}", f"{self.quantity} {self.unit}s"}
        return "" if self.buy in told else self.buy


@dataclass(frozen=True, slots=True)
class PrintedTask:
    """One task as it is printed."""

    task: str
    much: str
    hours: str
    rate: str
    amount: str


@dataclass(frozen=True, slots=True)
class Section:
    """Lines that belong together, and what they cost."""

    title: str
    lines: Sequence[PrintedLine]
    amount: str


def _price(amount: float) -> str:
    """The price of a package, with two decimals at least."""
    return f"{amount:,.2f}" if round(amount, 2) == amount else f"{amount:,.4f}".rstrip("0")


class MaterialList:
    """The answer of a takeoff, seen by whoever prints it."""

    def __init__(self, document: Document) -> None:
        """`document` is the answer as it goes over the wire."""
        self.document = document
        self.totals: Document | None = document.get("totals")
        self.currency: str = self.totals["currency"] if self.totals else ""

    habit = COMMON_PRACTICE
    """Source of what the trade does and no source says."""

    @property
    def title(self) -> str:
        """What the job is called."""
        return str(self.document["name"])

    def money(self, amount: float | None) -> str:
        """An amount with the decimals of its currency, thousands apart."""
        return "" if amount is None else f"{amount:,.{CURRENCIES.get(self.currency, 2)}f}"

    @property
    def figures(self) -> Iterator[tuple[str, str]]:
        """What stands large at the top: words and figure."""
        work, unit = self.document["work"], self.document["units"]["length"]
        yield "zones", str(work["zone"])
        yield "outlets", str(work["outlet"])
        yield "pipe and tubing", f"{figure(work['length'])} {unit}"
        if self.total:
            yield self.total

    @property
    def total(self) -> tuple[str, str] | None:
        """What the job comes to, words and figure, where there are prices."""
        if self.totals is None:
            return None
        words = "total" if self.totals["complete"] else "total, not complete"
        return words, f"{self.money(self.totals['total'])} {self.currency}"

    @property
    def sections(self) -> Iterator[Section]:
        """The lines by section, in the order of the answer."""
        for section in dict.fromkeys(line["section"] for line in self.document["lines"]):
            lines = [line for line in self.document["lines"] if line["section"] == section]
            amounts = [line["amount"] for line in lines if "amount" in line]
            cost = self.money(sum(amounts)) if amounts else ""
            yield Section(SECTIONS.get(section, section), [self._line(line) for line in lines], cost)

    def _line(self, line: Document) -> PrintedLine:
        return PrintedLine(
            part=line["part"],
            description=line["description"],
            quantity=figure(line["quantity"]),
            unit=self._unit(line, line["quantity"]),
            buy=line["buy"],
            prices=" + ".join(_price(each["price"]) for each in line["packages"] if "price" in each),
            amount=self.money(line.get("amount")),
            reasons=[self._reason(line, reason) for reason in line["reasons"]],
        )

    def _unit(self, line: Document, quantity: float) -> str:
        """What a quantity of a line is counted by, as it is printed behind a figure."""
        if line["unit"] in {"each", self.document["units"]["length"]}:
            return "" if line["unit"] == "each" else str(line["unit"])
        return f"{line['unit']}{plural(math.ceil(quantity))}"

    def _reason(self, line: Document, reason: Document) -> Reason:
        unit = self._unit(line, reason["count"])
        count = "" if reason["rule"] in OF_JOINTS else f"{figure(reason['count'])} {unit}".rstrip() + ": "
        return Reason(count, reason["says"], reason["source"] == self.habit)

    @property
    def labour(self) -> list[PrintedTask]:
        """Each task."""
        return [self._task(task) for task in self.document.get("labour", ())]

    def _task(self, task: Document) -> PrintedTask:
        per = task["per"].removesuffix("_length").replace("_", " ")
        if task["unit"] == "each":
            much = "once" if per == "job" else f"{figure(task['count'])} {per}{plural(task['count'])}"
        else:
            much = f"{figure(task['count'])} {task['unit']} {per}"
        hours = fixed(task["hours"], HOUR_DECIMALS) if task["hours"] >= LEAST_HOURS else figure(task["hours"])
        return PrintedTask(task["task"], much, hours, self.money(task["rate"]), self.money(task["amount"]))

    @property
    def sums(self) -> Iterator[tuple[str, str, str]]:
        """How the total comes about: words, amount, and what kind of row it is."""
        totals = self.totals
        if totals is None:
            return
        yield "Materials and work", self.money(totals["materials"]), ""
        if totals["labour"]:
            yield "Labour", self.money(totals["labour"]), ""
        if totals["overhead"]:
            yield "Overhead", self.money(totals["overhead"]), ""
        if totals["profit"]:
            yield "Profit", self.money(totals["profit"]), ""
        if totals["minimum_charge"]:
            yield "Up to the minimum charge", self.money(totals["minimum_charge"]), ""
        yield "Price before tax", self.money(totals["price"]), "sum"
        for each in totals["by_class"]:
            if each["tax"]:
                name = each["tax_class"].replace("_", " ")
                yield f"Tax on {name}, {figure(each['tax_rate'])} %", self.money(each["tax"]), ""
        yield ("Total" if totals["complete"] else "Total of the priced lines"), self.money(totals["total"]), "total"

    @property
    def notes(self) -> Sequence[Remark]:
        """What to know about the request."""
        return [(note["where"], note["message"], "") for note in self.document["notes"]]

    @property
    def cautions(self) -> Sequence[Remark]:
        """What the work can hurt."""
        return [(caution["topic"], caution["message"], "") for caution in self.document["cautions"]]

    @property
    def assumed(self) -> Sequence[Remark]:
        """What was assumed, and why."""
        return [(each["what"], each["value"], each["why"]) for each in self.document["assumed"]]

    @property
    def range(self) -> str:
        """From how little to how much it may come."""
        if self.totals is None or "range" not in self.totals:
            return ""
        ends = self.totals["range"]
        told = f"With all that is uncertain: {self.money(ends['low'])} to {self.money(ends['high'])} {self.currency}"
        return f"{told}." if self.totals["complete"] else f"{told}, without the lines that have no price."

    @property
    def zones(self) -> Sequence[str]:
        """The zones, where there are some and not too many for columns."""
        zones = [zone["zone"] for zone in self.document["zones"]]
        return zones if 1 < len(zones) <= MOST_ZONES else []

    @property
    def too_many_zones(self) -> str:
        """Where each zone's share is found instead, where there are too many for columns."""
        many = len(self.document["zones"])
        return f"For {many} zones ask for format=csv and table=by_zone." if many > MOST_ZONES else ""

    @property
    def by_zone(self) -> Iterator[tuple[str, str, Sequence[str]]]:
        """What each zone needs of each part, without spares: part, unit, one figure for each zone."""
        for line in self.document["lines"]:
            needs = {each["zone"]: figure(each["quantity"]) for each in line["by_zone"]}
            if needs:
                yield line["part"], self._unit(line, 2), [needs.get(zone, "") for zone in self.zones]
