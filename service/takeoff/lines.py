"""The lines of a list of materials: the counts of all zones by part, and what allowances add to them."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Hashable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field
from typing import get_args

from service.parts.item import Item, Section
from service.parts.sundry import sundry
from service.schemas.slopes import ROUNDING
from service.schemas.takeoff_allowances import Allowances
from service.takeoff.joints import taken
from service.takeoff.tally import Place, Tally
from service.takeoff.ways import EndToEnd
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
    """The tallies of all zones taken together. Parts go by their line."""

    items: Mapping[str, Item]
    amounts: Mapping[str, Mapping[str, float]]  # by line, then by rule
    by_zone: Mapping[str, Sequence[tuple[int, float]]]
    kinds: Mapping[str, str]
    joined: Mapping[str, EndToEnd]
    within: Mapping[str, float]
    places: Mapping[str, Place]
    described: Mapping[str, AbstractSet[Hashable]]
    work: Mapping[str, float]

    @classmethod
    def of(cls, tallies: Sequence[Tally]) -> Whole:
        """The sum of these tallies."""
        items: dict[str, Item] = {}
        kinds: dict[str, str] = {}
        joined: dict[str, EndToEnd] = {}
        places: dict[str, Place] = {}
        amounts: defaultdict[str, defaultdict[str, float]] = defaultdict(lambda: defaultdict(float))
        by_zone: defaultdict[str, list[tuple[int, float]]] = defaultdict(list)
        within: defaultdict[str, float] = defaultdict(float)
        described: defaultdict[str, set[Hashable]] = defaultdict(set)
        work: defaultdict[str, float] = defaultdict(float)
        for zone, tally in enumerate(tallies):
            items |= tally.items
            joined |= tally.joined
            kinds = {**tally.kinds, **kinds}
            places |= {line: min(place, places.get(line, place)) for line, place in tally.places.items()}
            own: defaultdict[str, float] = defaultdict(float)
            for (line, rule), amount in tally.amounts.items():
                amounts[line][rule] += amount
                own[line] += amount
            for line, amount in own.items():
                by_zone[line].append((zone, amount))
            for line, count in tally.within.items():
                within[line] += count
            for line, written in tally.described.items():
                described[line] |= written
            for driver, amount in tally.work.items():
                work[driver] += amount
        return cls(items, amounts, by_zone, kinds, joined, within, places, described, work)


def make_lines(whole: Whole, allowances: Allowances) -> dict[str, Line]:
    """Every line, by id, with all allowances but those that depend on the packages bought."""
    facts = _facts(allowances)
    lines = {}
    for name, item in whole.items.items():
        counts = [
            Count(rule, amount, lasting(item, amount) if item.joints else facts.get(rule, {}))
            for rule, amount in whole.amounts[name].items()
        ]
        line = Line(item, counts, list(whole.by_zone[name]))
        line.counts += _spares(line, whole.kinds.get(name, ""), allowances)
        lines[name] = line
    holes = round(whole.work.get("hole", 0))
    plugs = _rounded_up(holes, allowances.hole_plugs)
    if plugs:
        told: Facts = {"share": allowances.hole_plugs, "holes": holes, "s": plural(holes)}
        plug = sundry("hole-plug")
        lines[plug.line] = Line(plug, [Count("plugs", plugs, told, spare=True)], [])
    return lines


def lasting(item: Item, joints: float) -> Facts:
    """What the rule for what joints use up is told with."""
    return {"joints": round(joints), "s": plural(round(joints)), "unit": item.unit, "lasts": item.joints or 0}


def plural(count: int) -> str:
    """What a word for so many ends in."""
    return "" if count == 1 else "s"


def add_coil_ends(lines: dict[str, Line], whole: Whole, pieces: Mapping[str, int]) -> set[str]:
    """Add what joins coils and sticks bought after the first, and what its joints take; returns the lines that change.

    `pieces` tells by line how many coils or sticks are bought.
    """
    changed: set[str] = set()

    def add(item: Item, rule: str, amount: float) -> None:
        line = lines.setdefault(item.line, Line(item, [], []))
        before = [count.amount for count in line.counts if count.rule == rule]
        line.counts = [count for count in line.counts if count.rule != rule]
        amount += sum(before)
        line.counts.append(Count(rule, amount, lasting(item, amount) if item.joints else {}, spare=True))
        changed.add(item.line)

    for name, joined in whole.joined.items():
        ends = max(0, pieces[name] - 1 - whole.within.get(name, 0))
        if ends:
            add(joined.coupling, "coil_ends", ends)
            for item, _ in taken(joined.way) if joined.way is not None else ():
                add(item, "coil_end_joints" if item.joints else "coil_end_clamps", 2 * ends)
    return changed


def in_order(lines: Mapping[str, Line], places: Mapping[str, Place]) -> list[Line]:
    """Lines by section and part; those of heads as these are put together."""
    return sorted(
        lines.values(),
        key=lambda line: (SECTIONS.index(line.item.section), places.get(line.item.line, ()), line.item.id),
    )


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
