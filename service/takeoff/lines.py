"""The lines of a list of materials: the counts of all zones by part, and what allowances add to them."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import get_args

from service.parts.item import Item, Section
from service.parts.sundry import sundry
from service.schemas.slopes import ROUNDING
from service.schemas.takeoff_allowances import Allowances
from service.takeoff.tally import Tally
from service.units.sentence import Measured, Sentence

SECTIONS: tuple[Section, ...] = get_args(Section)

Facts = Mapping[str, Measured | Sentence | str | int | float]

WITH_SLACK = frozenset({"tubing", "dripline"})
"""Kinds of pipe that lie on the ground and give way to heat and cold."""


@dataclass(slots=True)
class Count:
    """How much of a line follows from one rule."""

    rule: str
    amount: float
    facts: Facts = field(default_factory=dict)
    spare: bool = False  # whether an allowance adds it


@dataclass(slots=True)
class Line:
    """One part of the list. Amounts are pieces, lengths [m], or for what joints use up the joints."""

    item: Item
    counts: list[Count]
    by_zone: list[tuple[int, float]]  # number of the zone and what it needs

    @property
    def needed(self) -> float:
        """What is built in."""
        return math.fsum(count.amount for count in self.counts if not count.spare)

    @property
    def amount(self) -> float:
        """What is built in and what allowances add."""
        return math.fsum(count.amount for count in self.counts)

    @property
    def quantity(self) -> float:
        """What is wanted, in pieces or length [m]."""
        return self.amount if self.item.by_length else math.ceil(self.in_units(self.amount) * (1 - ROUNDING))

    def in_units(self, amount: float) -> float:
        """An amount in what the part is counted by: of what joints use up, the cans or rolls."""
        return amount / self.item.joints if self.item.joints else amount


@dataclass(frozen=True, slots=True)
class Whole:
    """The tallies of all zones taken together."""

    items: Mapping[str, Item]
    amounts: Mapping[str, Mapping[str, float]]  # by id, then by rule
    by_zone: Mapping[str, Sequence[tuple[int, float]]]  # by id
    kinds: Mapping[str, str]
    couplings: Mapping[str, Item]
    within: Mapping[str, float]
    work: Mapping[str, float]

    @classmethod
    def of(cls, tallies: Sequence[Tally]) -> Whole:
        """The sum of these tallies."""
        items: dict[str, Item] = {}
        kinds: dict[str, str] = {}
        couplings: dict[str, Item] = {}
        amounts: defaultdict[str, defaultdict[str, float]] = defaultdict(lambda: defaultdict(float))
        by_zone: defaultdict[str, list[tuple[int, float]]] = defaultdict(list)
        within: defaultdict[str, float] = defaultdict(float)
        work: defaultdict[str, float] = defaultdict(float)
        for zone, tally in enumerate(tallies):
            items |= tally.items
            couplings |= tally.couplings
            kinds = {**tally.kinds, **kinds}
            own: defaultdict[str, float] = defaultdict(float)
            for (part, rule), amount in tally.amounts.items():
                amounts[part][rule] += amount
                own[part] += amount
            for part, amount in own.items():
                by_zone[part].append((zone, amount))
            for part, count in tally.within.items():
                within[part] += count
            for driver, amount in tally.work.items():
                work[driver] += amount
        return cls(items, amounts, by_zone, kinds, couplings, within, work)


def make_lines(whole: Whole, allowances: Allowances) -> dict[str, Line]:
    """A line for each part, by id, with all allowances but those that depend on the packages bought."""
    facts = _facts(allowances)
    lines = {}
    for part, item in whole.items.items():
        counts = [Count(rule, amount, facts.get(rule, {})) for rule, amount in whole.amounts[part].items()]
        if item.joints:
            counts = [
                Count("joints", each.amount, {"joints": round(each.amount), "lasts": item.joints}) for each in counts
            ]
        line = Line(item, counts, list(whole.by_zone[part]))
        line.counts += _spares(line, whole.kinds.get(part, ""), allowances)
        lines[part] = line
    holes = round(whole.work.get("hole", 0))
    plugs = _rounded_up(holes, allowances.hole_plugs)
    if plugs:
        count = Count("plugs", plugs, {"share": allowances.hole_plugs, "holes": holes}, spare=True)
        lines["hole-plug"] = Line(sundry("hole-plug"), [count], [])
    return lines


def add_coil_ends(lines: dict[str, Line], whole: Whole, pieces: Mapping[str, int]) -> list[str]:
    """Add a coupling for each coil or stick bought after the first; returns the parts that it is added to.

    `pieces` tells by part how many coils or sticks are bought.
    """
    wanted: defaultdict[str, float] = defaultdict(float)
    for part, coupling in whole.couplings.items():
        wanted[coupling.id] += max(0, pieces[part] - 1 - whole.within.get(part, 0))
    items = {coupling.id: coupling for coupling in whole.couplings.values()}
    added = [part for part, amount in wanted.items() if amount]
    for part in added:
        line = lines.setdefault(part, Line(items[part], [], []))
        line.counts.append(Count("coil_ends", wanted[part], spare=True))
    return added


def in_order(lines: Mapping[str, Line]) -> list[Line]:
    """Lines by section and part."""
    return sorted(lines.values(), key=lambda line: (SECTIONS.index(line.item.section), line.item.id))


def _facts(allowances: Allowances) -> dict[str, Facts]:
    return {
        "tubing_stake": {"spacing": Measured(allowances.stake_spacing("tubing"), "length")},
        "dripline_stake": {"spacing": Measured(allowances.stake_spacing("dripline"), "length")},
    }


def _spares(line: Line, kind: str, allowances: Allowances) -> Iterator[Count]:
    needed = line.needed
    if line.item.by_length:
        slack = needed * allowances.slack / 100 if kind in WITH_SLACK else 0.0
        share = _waste(line.item, kind, allowances)
        if slack:
            yield Count("slack", slack, {"share": allowances.slack}, spare=True)
        if share:
            yield Count("waste", (needed + slack) * share / 100, {"share": share}, spare=True)
    outlets = sum(count.amount for count in line.counts if count.rule == "outlet")
    spare = _rounded_up(outlets, allowances.spare_outlets)
    if spare:
        yield Count("spare", spare, {"share": allowances.spare_outlets}, spare=True)


def _waste(item: Item, kind: str, allowances: Allowances) -> float:
    by_kind = {
        "pipe": allowances.pipe_waste,
        "tubing": allowances.tubing_waste,
        "dripline": allowances.dripline_waste,
        "small_tubing": allowances.small_tubing_waste,
    }
    by_part = {"valve-wire": allowances.wire_waste, "trench": 0.0}
    return by_kind[kind] if kind else by_part.get(item.id, allowances.pipe_waste)


def _rounded_up(count: float, share: float) -> int:
    return math.ceil(count * share / 100 * (1 - ROUNDING))
