"""The long way down, for zones on which Newton's method runs in circles: making the co-content of the network least.

The heads of a network make one convex function least, its co-content: the sum over links, outlets and the source of
the integral of flow by head (W. Millar, "Some general theorems for non-linear systems possessing resistance",
Philosophical Magazine 42, 1951, 1150-1160). Its slope at a node is the flow that the node lacks. However sharply an
outlet opens or a regulator takes over, the step of the linear system then points down, and going along it for as long
as the slope along it stays below zero leads down. The price is an inversion of the friction law at every point, and
that the flow of a short fat link is lost in the last bits of its heads: so the result is only where Newton's method
starts again.
"""

from dataclasses import dataclass, field

import numpy as np

from service.hydraulics.arrays import Floats, Ints
from service.hydraulics.bracketed_root import bracketed_root
from service.hydraulics.friction import FrictionLaw
from service.hydraulics.newton import LEAST_RESISTANCE, Newton, State
from service.hydraulics.shape import Shape

MOST_DESCENTS = 150
"""Steps of one descent. [-]"""

MOST_TRIALS = 60
"""Points tried along one step; halving alone would reach the last bit in fewer. [-]"""

SOURCE_TILT = 1e-4
"""Slope added to the source, so that every head has one flow: a tenth of a micrometre at 1 L/s. [s/m²]"""

ROUNDING = 1e-12
"""More than the error of a few operations on doubles. [-]"""

CLOSE = 1e-8
"""A descent ends with a step this small. [m]"""


def descend(newton: Newton, state: State, rows: Ints, scenario: Ints) -> tuple[State, Ints, int]:
    """Solve again, each from the bottom of its co-content, the rows that Newton's method did not solve.

    Returns the states, the rows that are still not solved, and the most steps that one took.
    """
    unsolved, most = [], 0
    for row in rows.tolist():
        here = scenario[row : row + 1]
        head, closing_flow, descents = _Descent(newton, here).run(state.head[row : row + 1])
        found, missed, steps = newton.iterate(newton.evaluate(head, closing_flow, here), here)
        state.put(np.array([row]), found)
        unsolved += [row] * len(missed)
        most = max(most, descents + steps)
    return state, np.array(unsolved, dtype=np.intp), most


def carried_flow(law: FrictionLaw, drop: Floats, *, guess: Floats) -> Floats:
    """Flow that a drop of head drives through each link, both with their sign, (..., n) [m³/s] and [m]."""
    size = np.abs(drop)

    def excess(flow: Floats) -> tuple[Floats, Floats]:
        loss, resistance = law.loss(flow)
        return loss - size, np.maximum(resistance, LEAST_RESISTANCE)

    # Resistance is least at a standstill: no more can flow than if it stayed so. Most links of a starved zone are that
    # slow, and what they carry must lie within the bracket whichever way it is rounded.
    most = size / excess(np.zeros_like(size))[1] * (1.0 + ROUNDING)
    guess = np.clip(np.abs(guess), 0.0, most)
    flow = bracketed_root(excess, low=np.zeros_like(size), high=most, guess=guess, nearness=0.0)
    return np.copysign(flow, drop)


@dataclass(frozen=True, slots=True)
class _Point:
    """What every law carries at some heads, and what continuity asks of it."""

    head: Floats  # (1, p)
    carried: Floats  # (1, m) flow that the heads drive through the links
    resistance: Floats  # (1, m)
    push: Floats  # (1, m) by how much that is more than continuity asks
    outflow_slope: Floats  # (1, p)
    inlet_push: Floats  # (1,) the same of the source
    inlet_slope: Floats  # (1,) of the source's head, with its sign turned

    def slope_along(self, step: Floats, shape: Shape) -> float:
        """Derivative of the co-content along a step. [m⁴/s]"""
        drop = step.take(shape.start_place, axis=1) - step[:, : shape.links]
        return float(np.vdot(self.push, drop) - self.inlet_push[0] * step[0, shape.links])


@dataclass(slots=True)
class _Descent:
    """The co-content of one network in one scenario."""

    newton: Newton
    scenario: Ints  # (1,)
    last_carried: Floats = field(init=False)

    def run(self, head: Floats) -> tuple[Floats, Floats, int]:
        """Heads at the places, (1, p) [m], closing flows, (1, k) [m³/s], and the steps taken."""
        network = self.newton.network
        self.last_carried = np.zeros((1, network.shape.links))
        here, steps = self._point(head), 0
        for _ in range(MOST_DESCENTS):
            step, _ = network.condensation.step(
                1.0 / here.resistance, here.push, here.outflow_slope, 1.0 / here.inlet_slope, here.inlet_push
            )
            here, steps = self._lowest_along(here, step), steps + 1
            if np.abs(step).max() < CLOSE:
                break
        return here.head, here.carried.take(network.shape.closing, axis=1), steps

    def _lowest_along(self, start: _Point, step: Floats) -> _Point:
        """The point along a step where the co-content stops falling, or nearly so; the step's end if it still falls."""
        shape = self.newton.network.shape
        steepness = start.slope_along(step, shape)
        low, at_low, high, at_high, part = 0.0, steepness, 1.0, 0.0, 1.0
        for _ in range(MOST_TRIALS):
            point = self._point(start.head + part * step)
            slope = point.slope_along(step, shape)
            if (part == 1.0 and slope <= 0.0) or 0.3 * steepness <= slope <= -1e-3 * steepness:
                break
            if slope <= 0.0:
                low, at_low = part, slope
            else:
                high, at_high = part, slope
            secant = low + (high - low) * at_low / (at_low - at_high)
            part = min(max(secant, 0.9 * low + 0.1 * high), 0.5 * (low + high))
        return point

    def _point(self, head: Floats) -> _Point:
        network, shape = self.newton.network, self.newton.network.shape
        outflow, outflow_slope = self.newton.outflows(head, self.scenario)
        drop = head.take(shape.start_place, axis=1) - head[:, : shape.links]
        carried = carried_flow(network.friction, drop, guess=self.last_carried)
        flow, inflow = network.continuity.flows(outflow, carried.take(shape.closing, axis=1))
        supplied, inlet_slope = self._supplied(head[:, shape.links], inflow)
        self.last_carried = carried
        return _Point(
            head=head,
            carried=carried,
            resistance=np.maximum(network.friction.loss(carried)[1], LEAST_RESISTANCE),
            push=carried - flow,
            outflow_slope=outflow_slope,
            inlet_push=supplied - inflow,
            inlet_slope=inlet_slope,
        )

    def _supplied(self, head: Floats, guess: Floats) -> tuple[Floats, Floats]:
        """Flow of the tilted source at a head at the inlet, and how fast that head falls with it; all (1,)."""
        source, scenario = self.newton.source, self.scenario

        def excess(flow: Floats) -> tuple[Floats, Floats]:
            supplied, slope = source.head(flow, scenario)
            return head - supplied + SOURCE_TILT * flow, SOURCE_TILT - slope

        most = (source.head(np.zeros(1), scenario)[0] - head) / SOURCE_TILT
        low, high = np.minimum(most, 0.0), np.maximum(most, 0.0)
        flow = bracketed_root(excess, low=low, high=high, guess=np.clip(guess, low, high), nearness=0.0)
        return flow, excess(flow)[1]
