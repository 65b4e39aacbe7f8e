"""What is counted in one zone, by part and by rule."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Hashable
from dataclasses import dataclass, field
from typing import NamedTuple

from service.parts.item import Item
from service.takeoff.ways import EndToEnd

Place = tuple[int, ...]
"""Where a part stands in a head: the later, the larger."""


class Inside(NamedTuple):
    """A valve that stands within a run, where no other run tells the place."""

    valve: str  # its line
    run: int  # index in the runs of the zone
    at: float  # from the start of the run [m]


@dataclass(slots=True)
class Tally:
    """Counts of one zone. Parts go by their line.

    Amounts are pieces, lengths [m], or for what joints use up the joints. `work` counts what tasks are done for.
    """

    items: dict[str, Item] = field(default_factory=dict)
    amounts: defaultdict[tuple[str, str], float] = field(default_factory=lambda: defaultdict(float))  # by line and rule
    kinds: dict[str, str] = field(default_factory=dict)  # kind of pipe
    joined: dict[str, EndToEnd] = field(default_factory=dict)  # how lengths of what is laid are joined
    within: Counter[str] = field(default_factory=Counter)  # joints between its lengths that are counted
    places: dict[str, Place] = field(default_factory=dict)  # in the head
    described: defaultdict[str, set[Hashable]] = field(default_factory=lambda: defaultdict(set))  # what was written out
    inside: Counter[Inside] = field(default_factory=Counter)
    work: defaultdict[str, float] = field(default_factory=lambda: defaultdict(float))  # by driver; lengths in m

    head_size: str = ""  # thread of the head
    runs: int = 0  # copies counted

    def add(self, item: Item, rule: str, amount: float = 1) -> None:
        """Count a part."""
        if amount:
            self.items[item.line] = item
            self.amounts[item.line, rule] += amount
