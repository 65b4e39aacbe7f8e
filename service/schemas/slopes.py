"""Pipe cannot climb more than its own length."""

from __future__ import annotations

from service.units.refusal import Refusal
from service.units.sentence import Measured, Sentence

ROUNDING = 1e-9
"""Relative excess that is put down to the conversion of units. [-]"""


def too_steep(where: tuple[str | int, ...], rise: float, length: float) -> list[Refusal]:
    """A refusal if `length` [m] of pipe cannot climb or fall by `rise` [m]."""
    if abs(rise) <= length * (1 + ROUNDING):
        return []
    facts = {"rise": Measured(abs(rise), "length"), "length": Measured(length, "length")}
    return [
        Refusal(
            where,
            Sentence("{length} of pipe cannot reach {rise} up or down.", facts),
            Sentence("at most {length} up or down", facts),
        )
    ]
