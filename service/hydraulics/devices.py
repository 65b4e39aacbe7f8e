"""Pressure that a device takes from the flow through it."""

from bisect import bisect_right
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np

from service.hydraulics.arrays import Floats


class LossCurve(Protocol):
    """Pressure loss as a function of flow, never falling. One flow at a time: for a few, arrays cost more."""

    def loss(self, flow: float) -> tuple[float, float]:
        """Loss [Pa] and its derivative by flow [Pa s/m³] at a flow of zero or more [m³/s]."""

    def at(self, flow: float) -> float:
        """The loss alone. [Pa]"""
        return self.loss(flow)[0]


@dataclass(frozen=True, slots=True)
class Lines(LossCurve):
    """Straight lines from point to point, the first and the last one carried on."""

    flows: tuple[float, ...]  # rising [m³/s]
    losses: tuple[float, ...]  # [Pa]
    slopes: tuple[float, ...]  # one less [Pa s/m³]

    @classmethod
    def through(cls, flows: Floats, losses: Floats) -> "Lines":
        """Through these points, two or more."""
        slopes = np.diff(losses) / np.diff(flows)
        return cls(tuple(flows.tolist()), tuple(losses.tolist()), tuple(slopes.tolist()))

    def loss(self, flow: float) -> tuple[float, float]:
        """Loss [Pa] and its derivative by flow [Pa s/m³]."""
        piece = bisect_right(self.flows, flow, 1, len(self.slopes)) - 1
        slope = self.slopes[piece]
        return self.losses[piece] + slope * (flow - self.flows[piece]), slope


@dataclass(frozen=True, slots=True)
class FixedLoss(LossCurve):
    """The same loss at any flow."""

    pressure: float  # [Pa]

    def loss(self, flow: float) -> tuple[float, float]:  # noqa: ARG002 - a curve is asked by its flow
        """Loss [Pa] and its derivative by flow [Pa s/m³]."""
        return self.pressure, 0.0


@dataclass(frozen=True, slots=True)
class SquareLoss(LossCurve):
    """Loss with the square of flow."""

    coefficient: float  # [Pa s²/m⁶]

    @classmethod
    def through(cls, *, flow: float, loss: float) -> "SquareLoss":
        """Through one point: flow [m³/s], loss [Pa]."""
        return cls(loss / flow**2)

    def loss(self, flow: float) -> tuple[float, float]:
        """Loss [Pa] and its derivative by flow [Pa s/m³]."""
        rate = self.coefficient * flow
        return rate * flow, 2.0 * rate


@dataclass(frozen=True, slots=True, eq=False)  # arrays have no one truth of being equal
class TableLoss(LossCurve):
    """A measured curve: straight lines through (0, 0) and the points, the square law beyond the last one."""

    flows: Floats  # (k,) rising, above zero [m³/s]
    losses: Floats  # (k,) never falling [Pa]
    _within: Lines = field(init=False, repr=False, compare=False)
    _beyond: SquareLoss = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Prepare the lines, and the square law through the last point."""
        lines = Lines.through(np.concatenate(([0.0], self.flows)), np.concatenate(([0.0], self.losses)))
        object.__setattr__(self, "_within", lines)
        object.__setattr__(self, "_beyond", SquareLoss.through(flow=lines.flows[-1], loss=lines.losses[-1]))

    def loss(self, flow: float) -> tuple[float, float]:
        """Loss [Pa] and its derivative by flow [Pa s/m³]."""
        return (self._within if flow <= self._within.flows[-1] else self._beyond).loss(flow)


@dataclass(frozen=True, slots=True)
class SumLoss(LossCurve):
    """Losses one after another."""

    parts: tuple[LossCurve, ...]

    def loss(self, flow: float) -> tuple[float, float]:
        """Loss [Pa] and its derivative by flow [Pa s/m³]."""
        total = slope = 0.0
        for part in self.parts:
            more, steeper = part.loss(flow)
            total += more
            slope += steeper
        return total, slope


@dataclass(frozen=True, slots=True)
class SharedLoss(LossCurve):
    """A loss curve as one of its users meets it, while others draw a fixed flow through the same thing."""

    curve: LossCurve  # of all the flow
    others: float  # flow that the others draw [m³/s]

    def loss(self, flow: float) -> tuple[float, float]:
        """Loss [Pa] and its derivative by this user's flow [Pa s/m³]."""
        return self.curve.loss(flow + self.others)


NO_LOSS = SumLoss(())
"""A device that is said to lose nothing."""
