"""Pressure that a device takes from the flow through it."""

from bisect import bisect_right
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np

from service.hydraulics.arrays import Floats

GPM_PER_ROOT_PSI = 0.003785411784 / 60.0 / np.sqrt(6894.757293168361)
"""One US flow coefficient Cv: 1 US gallon a minute at 1 psi. [m³/s/√Pa] By definition of the units, at 1000 kg/m³."""

CUBIC_METRE_PER_HOUR_PER_ROOT_BAR = 1.0 / 3600.0 / np.sqrt(1e5)
"""One metric flow coefficient Kv: 1 m³/h at 1 bar. [m³/s/√Pa] IEC 60534-1."""


@dataclass(frozen=True, slots=True)
class Lines:
    """Straight lines from point to point, the first and the last one carried on."""

    x: Floats  # (k,) rising
    y: Floats  # (k,)
    slopes: Floats  # (k - 1,)

    @classmethod
    def through(cls, x: Floats, y: Floats) -> "Lines":
        """Through these points, two or more."""
        return cls(x, y, np.diff(y) / np.diff(x))

    def at(self, x: Floats) -> tuple[Floats, Floats]:
        """Value and derivative, (...)."""
        piece = self.x[1:-1].searchsorted(x, side="right")
        slope = self.slopes[piece]
        return self.y[piece] + slope * (x - self.x[piece]), slope

    def value(self, x: float) -> float:
        """Value at one place."""
        piece = bisect_right(self.x, x, 1, len(self.x) - 1) - 1
        return float(self.y[piece] + self.slopes[piece] * (x - self.x[piece]))


class LossCurve(Protocol):
    """Pressure loss as a function of flow, never falling."""

    def loss(self, flow: Floats) -> tuple[Floats, Floats]:
        """Loss [Pa] and its derivative by flow [Pa s/m³] at flows of zero or more [m³/s]; all (...)."""

    def at(self, flow: float) -> float:
        """The same loss at one flow [m³/s], at a twentieth of the cost of an array of one. [Pa]"""


@dataclass(frozen=True, slots=True)
class FixedLoss:
    """The same loss at any flow."""

    pressure: float  # [Pa]

    def loss(self, flow: Floats) -> tuple[Floats, Floats]:
        """Loss [Pa] and its derivative by flow [Pa s/m³]."""
        return np.full_like(flow, self.pressure), np.zeros_like(flow)

    def at(self, flow: float) -> float:  # noqa: ARG002 - a curve is asked by its flow
        """Loss. [Pa]"""
        return self.pressure


@dataclass(frozen=True, slots=True)
class SquareLoss:
    """Loss with the square of flow: what a valve coefficient or one measured point says."""

    coefficient: float  # [Pa s²/m⁶]

    @classmethod
    def of_valve(cls, coefficient: float) -> "SquareLoss":
        """From a flow coefficient in m³/s/√Pa: Cv × `GPM_PER_ROOT_PSI` or Kv × `CUBIC_METRE_PER_HOUR_PER_ROOT_BAR`."""
        return cls(1.0 / coefficient**2)

    @classmethod
    def through(cls, *, flow: float, loss: float) -> "SquareLoss":
        """Through one point: flow [m³/s], loss [Pa]."""
        return cls(loss / flow**2)

    def loss(self, flow: Floats) -> tuple[Floats, Floats]:
        """Loss [Pa] and its derivative by flow [Pa s/m³]."""
        return self.coefficient * flow * np.abs(flow), 2 * self.coefficient * np.abs(flow)

    def at(self, flow: float) -> float:
        """Loss at one flow [m³/s]. [Pa]"""
        return self.coefficient * flow * abs(flow)


@dataclass(frozen=True, slots=True)
class TableLoss:
    """A measured curve: straight lines through (0, 0) and the points, the square law beyond the last one."""

    flows: Floats  # (k,) rising, above zero [m³/s]
    losses: Floats  # (k,) never falling [Pa]
    _lines: "Lines" = field(init=False, repr=False, compare=False)
    _square: float = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Prepare the lines, and the square law through the last point."""
        lines = Lines.through(np.concatenate(([0.0], self.flows)), np.concatenate(([0.0], self.losses)))
        object.__setattr__(self, "_lines", lines)
        object.__setattr__(self, "_square", float(self.losses[-1] / self.flows[-1] ** 2))

    def loss(self, flow: Floats) -> tuple[Floats, Floats]:
        """Loss [Pa] and its derivative by flow [Pa s/m³]."""
        loss, slope = self._lines.at(flow)
        beyond = flow > self.flows[-1]
        if not beyond.any():
            return loss, slope
        square = self._square * flow
        return np.where(beyond, square * flow, loss), np.where(beyond, 2.0 * square, slope)

    def at(self, flow: float) -> float:
        """Loss at one flow [m³/s]. [Pa]"""
        return self._lines.value(flow) if flow <= self.flows[-1] else self._square * flow * flow


@dataclass(frozen=True, slots=True)
class SumLoss:
    """Losses one after another."""

    parts: tuple[LossCurve, ...]

    def loss(self, flow: Floats) -> tuple[Floats, Floats]:
        """Loss [Pa] and its derivative by flow [Pa s/m³]."""
        if not self.parts:
            return np.zeros_like(flow), np.zeros_like(flow)
        total, slope = self.parts[0].loss(flow)
        for part in self.parts[1:]:
            more, steeper = part.loss(flow)
            total, slope = total + more, slope + steeper
        return total, slope

    def at(self, flow: float) -> float:
        """Loss at one flow [m³/s]. [Pa]"""
        return sum((part.at(flow) for part in self.parts), 0.0)


@dataclass(frozen=True, slots=True)
class SharedLoss:
    """A loss curve as one of its users meets it, while others draw a fixed flow through the same thing."""

    curve: LossCurve  # of all the flow
    others: float  # flow that the others draw [m³/s]

    def loss(self, flow: Floats) -> tuple[Floats, Floats]:
        """Loss [Pa] and its derivative by this user's flow [Pa s/m³]."""
        return self.curve.loss(flow + self.others)

    def at(self, flow: float) -> float:
        """Loss at one flow of this user [m³/s]. [Pa]"""
        return self.curve.at(flow + self.others)


NO_LOSS = SumLoss(())
"""A device that is said to lose nothing."""
