"""What an outlet lets through at a pressure: power laws, compensating outlets, small tubes, open pipe ends."""

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np

from service.hydraulics.arrays import Floats, Ints
from service.hydraulics.bracketed_root import bracketed_root
from service.hydraulics.constants import LINEAR_HEAD, STANDARD_GRAVITY
from service.hydraulics.friction import FrictionLaw


def root_law(
    head: Floats, *, exponent: Floats | float, straight: Floats | float = LINEAR_HEAD
) -> tuple[Floats, Floats]:
    """head^exponent and its derivative, nothing at or below zero, a straight line up to `straight`."""
    per_head = np.exp((exponent - 1.0) * np.log(np.maximum(head, straight)))
    value = np.maximum(head, 0.0)
    value *= per_head
    low = head < straight
    if not low.any():
        per_head *= exponent
        return value, per_head
    slope = np.where(low, 1.0, exponent)
    slope *= per_head
    slope *= head > 0.0
    return value, slope


@dataclass(frozen=True, slots=True)
class OutletLaws:
    """Flow laws of n outlets as columns of one table.

    Power law: q = nominal (h / reference)^exponent. Compensating (exponent 0): nominal between `opens` and `saturates`,
    with the square root of head below and above; with a closing head above zero nothing below that and
    nominal √((h - closing) / (opens - closing)) up to `opens`.
    """

    nominal: Floats  # (n,) flow at the reference head [m³/s]
    reference: Floats  # (n,) head of the nominal flow; compensating: lowest working head [m]
    exponent: Floats  # (n,) 0 marks a compensating outlet [-]
    closing: Floats  # (n,) compensating: head at which it shuts [m]
    saturates: Floats  # (n,) compensating: highest working head [m]

    def take(self, index: Ints | slice) -> "OutletLaws":
        """The laws of some outlets."""
        return OutletLaws(
            nominal=self.nominal[index],
            reference=self.reference[index],
            exponent=self.exponent[index],
            closing=self.closing[index],
            saturates=self.saturates[index],
        )


class OutletLaw:
    """Laws of n outlets, made ready for repeated evaluation."""

    def __init__(self, laws: OutletLaws) -> None:
        """Split the table once into power laws and compensating outlets."""
        compensating = laws.exponent == 0.0
        self._size = len(laws.nominal)
        self._power = np.flatnonzero(~compensating)
        self._compensating = np.flatnonzero(compensating)
        power, flat = laws.take(self._power), laws.take(self._compensating)
        self._factor = _common(power.nominal * power.reference**-power.exponent)
        self._exponent = _common(power.exponent)
        self._flat = flat
        self._opening = flat.reference - flat.closing
        # However little lies between shut and open, the straight line must not jump over it.
        self._straight = np.minimum(LINEAR_HEAD / self._opening, 0.01)

    def flow(self, head: Floats) -> tuple[Floats, Floats]:
        """Flow [m³/s] and its derivative by head [m²/s] at a pressure head [m]; all (..., n)."""
        if not len(self._compensating):
            return self._power_flow(head)
        if not len(self._power):
            return self._compensating_flow(head)
        flow, slope = np.empty_like(head), np.empty_like(head)
        for index, law in ((self._power, self._power_flow), (self._compensating, self._compensating_flow)):
            flow[..., index], slope[..., index] = law(head[..., index])
        return flow, slope

    def _power_flow(self, head: Floats) -> tuple[Floats, Floats]:
        value, slope = root_law(head, exponent=self._exponent)
        value *= self._factor
        slope *= self._factor
        return value, slope

    def _compensating_flow(self, head: Floats) -> tuple[Floats, Floats]:
        flat = self._flat
        low = head < flat.reference
        high = head > flat.saturates
        flow = np.empty_like(head)
        flow[...] = flat.nominal
        slope = np.zeros_like(head)
        if low.any():
            root, rate = root_law((head - flat.closing) / self._opening, exponent=0.5, straight=self._straight)
            flow = np.where(low, flat.nominal * root, flow)
            slope = np.where(low, flat.nominal / self._opening * rate, slope)
        if high.any():
            at = np.maximum(head, flat.saturates)
            over = flat.nominal * np.sqrt(at / flat.saturates)
            flow = np.where(high, over, flow)
            slope = np.where(high, 0.5 * over / at, slope)
        return flow, slope


def _common(column: Floats) -> Floats | float:
    """The column, or the one value in it, which is cheaper to work with."""
    return float(column[0]) if len(column) and np.ptp(column) == 0.0 else column


@dataclass(frozen=True, slots=True)
class Tubes:
    """Small tubes between the pipe and some of the outlets."""

    outlet: Ints  # (t,) which outlet hangs on it
    rise: Floats  # (t,) outlet above the pipe [m]
    friction: FrictionLaw  # of the t tubes


class _BehindTubes:
    """Outlets that hang on small tubes, seen from the pipe."""

    def __init__(self, tubes: Tubes, laws: OutletLaws) -> None:
        self.outlet = tubes.outlet
        self._tubes = tubes
        self._law = OutletLaw(laws)

    def behind(self, head: Floats) -> tuple[Floats, Floats, Floats, Floats]:
        """Working head, flow, derivative of flow by pipe head, and tube friction, from the pressure head in the pipe.

        The working head p is where p + loss(q(p)) = head - rise; the left side only grows with p.
        """
        available = head - self._tubes.rise

        def excess(working: Floats) -> tuple[Floats, Floats]:
            flow, slope = self._law.flow(working)
            loss, resistance = self._tubes.friction.loss(flow)
            return working + loss - available, 1.0 + resistance * slope

        low = np.minimum(available, 0.0)
        working = bracketed_root(excess, low=low, high=available, guess=available, nearness=1e-15)
        flow, slope = self._law.flow(working)
        loss, resistance = self._tubes.friction.loss(flow)
        return working, flow, slope / (1.0 + resistance * slope), loss


@dataclass(frozen=True, slots=True)
class Discharge:
    """What leaves through n outlet groups, and at what head each outlet works."""

    flow: Floats  # (..., n) of the whole group [m³/s]
    slope: Floats  # (..., n) derivative of that flow by the head in the pipe [m²/s]
    working_head: Floats  # (..., n) pressure head at the outlet itself [m]
    outlet_flow: Floats  # (..., n) of one outlet of the group [m³/s]
    tube_loss: Floats  # (..., n) friction in the small tube, zero without one [m]

    @classmethod
    def joined(cls, parts: Sequence["Discharge"]) -> "Discharge":
        """Scenarios one after another."""
        return cls(*(np.concatenate([getattr(part, f.name) for part in parts]) for f in fields(cls)))


class Outlets:
    """n groups of equal outlets, each group at one node, some on small tubes (one tube an outlet)."""

    def __init__(self, *, node: Ints, count: Floats, laws: OutletLaws, tubes: Tubes | None = None) -> None:
        """Fix node [index], count of outlets [-] and law of each group."""
        self.node = node
        self.count = count
        self.laws = laws
        self.tubes = tubes
        self._law = OutletLaw(laws)
        self._several = bool((count != 1.0).any())
        self._tubes = None if tubes is None else _BehindTubes(tubes, laws.take(tubes.outlet))

    @property
    def nominal_flow(self) -> float:
        """Flow if every outlet gave its nominal flow. [m³/s]"""
        return float(self.count @ self.laws.nominal)

    def flow(self, head: Floats) -> tuple[Floats, Floats]:
        """Flow of every group [m³/s] and its derivative by head [m²/s], at a pressure head in the pipe [m]."""
        flow, slope = self._law.flow(head)
        if self._tubes is not None:
            at = self._tubes.outlet
            _, flow[..., at], slope[..., at], _ = self._tubes.behind(head[..., at])
        if self._several:
            flow *= self.count
            slope *= self.count
        return flow, slope

    def discharge(self, head: Floats) -> Discharge:
        """What leaves through every group at a pressure head in the pipe, (..., n) [m]."""
        flow, slope = self._law.flow(head)
        working, loss = head, np.zeros_like(head)
        if self._tubes is not None:
            at = self._tubes.outlet
            working = head.copy()
            working[..., at], flow[..., at], slope[..., at], loss[..., at] = self._tubes.behind(head[..., at])
        return Discharge(
            flow=flow * self.count, slope=slope * self.count, working_head=working, outlet_flow=flow, tube_loss=loss
        )


def open_end(head: Floats, *, area: Floats) -> tuple[Floats, Floats]:
    """Flow out of a pipe end open to air, v = √(2 g h), and its derivative by head; area [m²]."""
    root, slope = root_law(head, exponent=0.5)
    factor = area * np.sqrt(2 * STANDARD_GRAVITY)
    return factor * root, factor * slope
