"""One zone on one supply, asked whether it wants a regulator: what the rules of the advice look at."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from service.schemas.head_answers import Threshold, Thresholds
from service.units.sentence import Measured, Sentence
from service.zones.criteria import HEADROOM, RULE_OF_THUMB_PRESSURE, Limits
from service.zones.solved import Solved
from service.zones.state import State
from service.zones.thresholds import SupplyThresholds

Facts = Mapping[str, Measured | Sentence | str | int | float]


@dataclass(frozen=True, slots=True)
class Question:
    """What the rules look at."""

    solved: Solved
    thresholds: SupplyThresholds
    limits: Limits

    @property
    def supply(self) -> float:
        """S, the no-flow pressure of the source. [Pa]"""
        return self.solved.assembly.no_flow

    @property
    def deciding(self) -> Thresholds:
        """The thresholds that the advice goes by."""
        return self.thresholds.deciding(self.solved.assembly)

    @property
    def by_own(self) -> bool:
        """Whether those are the head's own regulator's."""
        return self.solved.assembly.regulator is not None and self.thresholds.own_suits

    @property
    def highest(self) -> Threshold | None:
        """H, the lower of the two highest."""
        both = (self.deciding.highest_without_regulator, self.deciding.highest_shut_off)
        return min((one for one in both if one is not None), key=lambda one: one.pressure, default=None)

    @property
    def too_high(self) -> bool:
        """Whether the supply is above what some part bears."""
        return self.highest is not None and self.supply > self.highest.pressure

    @property
    def too_near(self) -> bool:
        """Whether it is nearly so, and of the kind that swings: tanks and pumps give no more than they are said to."""
        swings = self.solved.zone.supply.kind == "main"
        return swings and self.highest is not None and self.highest.pressure - self.supply < HEADROOM

    @property
    def to_do(self) -> str:
        """What to do where a regulator is wanted."""
        if self.thresholds.unlisted is not None:
            return "ask for one that suits, for the catalogue has none"
        if self.solved.assembly.regulator is None:
            return "fit a regulator"
        suggested = self.thresholds.suggested
        return "keep the regulator" if suggested is not None and suggested.own else "fit another regulator"

    @property
    def none_suits(self) -> str:
        """That no regulator suits, where none does."""
        if self.thresholds.unlisted is None:
            return "no set pressure suits this zone"
        return "the catalogue has none that suits this zone"

    def said(self, told: str, more: Facts | None = None) -> Sentence:
        """A reason, with the supply's pressure among its facts."""
        return Sentence(told, {"supply": pressure(self.supply), **(more or {})})

    def below(self, threshold: Threshold | None) -> bool:
        """Whether the supply lies below a threshold, or there is none."""
        return threshold is None or self.supply < threshold.pressure

    @property
    def held(self) -> State | None:
        """The zone behind the regulator that the advice goes by, while it holds."""
        if self.by_own:
            return self.solved.held
        suggested = self.thresholds.suggested
        return None if suggested is None else suggested.state


def of_threshold(threshold: Threshold, name: str) -> dict[str, Measured | Sentence]:
    """Facts of a threshold: its pressure under a name, and what decides it."""
    first, *others = threshold.decided_by
    part = Sentence("the {first}", {"first": first})
    if others:
        part = Sentence("the {first} (and {others} more)", {"first": first, "others": len(others)})
    return {name: pressure(threshold.pressure), "part": part}


def rule_of_thumb_pressure() -> Measured:
    """The rule of thumb's pressure, to be said."""
    return pressure(RULE_OF_THUMB_PRESSURE)


def pressure(value: float) -> Measured:
    """A pressure in Pa, to be said."""
    return Measured(value, "pressure")
