"""Thresholds of the supply pressure as the rungs of a ladder, with this supply standing on one of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

WORDS: Mapping[str, str] = MappingProxyType(
    {
        "lowest_without_regulator": "enough for every outlet, no regulator",
        "works_with_regulator": "enough for every outlet, with regulator",
        "lowest_with_regulator": "the regulator holds its set pressure",
        "highest_without_regulator": "most that the parts bear, no regulator",
        "highest_shut_off": "most that the parts bear, flow shut off",
        "common_practice": "rule of thumb: a regulator from here on",
    }
)
"""What each threshold says, as a contractor would read it off."""

THIS_SUPPLY = "this supply"


@dataclass(frozen=True, slots=True)
class Rung:
    """One pressure, what holds from there on, and what decides it; nothing decides the supply's own."""

    pressure: float
    says: str
    decided_by: Sequence[str] = ()

    @property
    def is_supply(self) -> bool:
        """Whether this is the pressure of the supply at hand."""
        return self.says == THIS_SUPPLY


def rungs(regulator: Mapping[str, Any]) -> list[Rung]:
    """The thresholds of a regulator block and its supply, the lowest first."""
    found = [
        Rung(threshold["pressure"], WORDS[name], threshold["decided_by"])
        for name, threshold in regulator["thresholds"].items()
    ]
    found.append(Rung(regulator["supply_pressure"], THIS_SUPPLY))
    return sorted(found, key=lambda rung: rung.pressure)
