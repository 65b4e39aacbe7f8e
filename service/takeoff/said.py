"""Reasons, packages and totals in words."""

from __future__ import annotations

from collections.abc import Sequence

from service.parts.item import Item
from service.takeoff.buy import Packages, Purchase
from service.takeoff.lines import Count, Facts, Line, plural
from service.takeoff.rules import RULES
from service.units.sentence import Measured, Sentence


def measure(amount: float, *, by_length: bool) -> Measured | float:
    """An amount as answers hold it."""
    return Measured(amount, "length") if by_length else amount


def reason(count: Count) -> Sentence:
    """One rule in words."""
    return Sentence(RULES[count.rule].says, count.facts)


def basis(line: Line) -> Sentence:
    """Every count of a line with its rule and source."""
    return _row([_because(line.item, count) for count in line.counts], " ")


def _because(item: Item, count: Count) -> Sentence:
    # What joints use up is counted in joints, and its rule says how many there are.
    template = "{says} [{source}]" if item.joints else "{count}: {says} [{source}]"
    return Sentence(
        template,
        {
            "count": Measured(count.amount, "length") if item.by_length else round(count.amount),
            "says": reason(count),
            "source": RULES[count.rule].source,
        },
    )


def to_buy(line: Line, bought: Purchase) -> Sentence:
    """What to buy of a line."""
    if not bought.packages:
        return Sentence("{length}", {"length": Measured(bought.held, "length")})
    return _row([_package(line.item, each) for each in bought.packages], " + ")


def _package(item: Item, each: Packages) -> Sentence:
    if each.cut:
        # What is dug or paid by the length is not cut off anything.
        cut = "{length}" if item.tax_class == "work" else "{length} cut off"
        return Sentence(cut, {"length": Measured(each.size * each.count, "length")})
    if item.by_length:
        return Sentence("{count} × {length}", {"count": each.count, "length": Measured(each.size, "length")})
    one_by_one = "{count}" if item.unit == "each" else "{count} {unit}"
    facts: Facts = {"count": each.count, "size": round(each.size), "unit": f"{item.unit}{plural(each.count)}"}
    return Sentence(one_by_one if each.size == 1 else "{count} × {size}", facts)


def _row(sentences: Sequence[Sentence], between: str) -> Sentence:
    names = [f"s{place}" for place in range(len(sentences))]
    return Sentence(between.join(f"{{{name}}}" for name in names), dict(zip(names, sentences, strict=True)))
