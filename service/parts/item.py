"""What a list of materials has lines for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from service.units.sentence import Sentence

Section = Literal["pipe", "fittings", "outlets", "head", "wiring", "site", "consumables"]
"""Where in a list a part stands."""

Unit = Literal["each", "can", "roll", "bag", "set"]
"""What a part is counted by; what is sold by length has the caller's unit of length."""

TaxClass = Literal["materials", "work"]
"""What a tax authority would call it, unless a price book says otherwise."""


@dataclass(frozen=True, slots=True)
class Item:
    """A part to be bought, or a piece of work to be paid for."""

    id: str
    name: Sentence
    section: Section
    source: str
    by_length: bool = False
    unit: Unit = "each"
    packages: tuple[float, ...] = ()  # what it comes in: pieces, or lengths [m]; empty: one by one, or any length
    joints: int | None = None  # how many joints one lasts for, for what joints use up
    tax_class: TaxClass = "materials"
    in_sticks: bool = False  # whether its lengths are rigid, so that what is priced by the length is bought in them

    @property
    def line(self) -> str:
        """Section and id: what tells its line in a list from others."""
        return f"{self.section}:{self.id}"
