"""What is counted in one zone, by part and by rule."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass, field

from service.parts.item import Item


@dataclass(slots=True)
class Tally:
    """Counts of one zone.

    Amounts are pieces, lengths [m], or for what joints use up the joints. `work` counts what tasks are done for.
    """

    items: dict[str, Item] = field(default_factory=dict)  # by id
    amounts: defaultdict[tuple[str, str], float] = field(default_factory=lambda: defaultdict(float))  # by id and rule
    kinds: dict[str, str] = field(default_factory=dict)  # kind of pipe, by id of what is laid
    couplings: dict[str, Item] = field(default_factory=dict)  # what joins its lengths, by id of the pipe
    within: Counter[str] = field(default_factory=Counter)  # joints between its lengths along runs, by id of the pipe
    joints: Counter[str] = field(default_factory=Counter)  # ends of fittings, by the way of joining
    work: defaultdict[str, float] = field(default_factory=lambda: defaultdict(float))  # by driver; lengths in m

    head_size: str = ""  # thread of the head
    runs: int = 0  # copies counted

    def add(self, item: Item, rule: str, amount: float = 1) -> None:
        """Count a part."""
        if amount:
            self.items[item.id] = item
            self.amounts[item.id, rule] += amount
