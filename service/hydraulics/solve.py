"""Pressures and flows of a network behind a source, for any number of scenarios at once."""

from dataclasses import dataclass

import numpy as np

from service.hydraulics.arrays import Floats, Ints, RowSums
from service.hydraulics.condensation import Singular
from service.hydraulics.descent import descend
from service.hydraulics.network import Network
from service.hydraulics.newton import ENERGY_TOLERANCE, LEAST_RESISTANCE, STEP_TOLERANCE, STIFFEST_INLET, Newton, State
from service.hydraulics.outlets import Discharge, open_end
from service.hydraulics.scenarios import FixedHead, OpenEnds, Source

__all__ = [
    "ENERGY_TOLERANCE",
    "MASS_TOLERANCE",
    "STEP_TOLERANCE",
    "FixedHead",
    "NotConverged",
    "OpenEnds",
    "Solution",
    "Source",
    "Start",
    "inlet_gain",
    "solve",
]

MASS_TOLERANCE = 1e-9
"""Largest sum of mass residuals, over the nominal flow of all outlets. [-]"""

STACK = 2**15
"""Links times scenarios that are solved in one stack: enough to hide the cost of a call, few enough for the cache."""


NO_INFLOW = 1e-12
"""Flow into a network that counts as none. [m³/s]"""

FORERUN = 8
"""Scenarios of which one runs ahead where there are loops, [-] for it costs about as much as a step of so many."""

FORERUN_STEPS = 2
"""Steps that it takes. [-] These find how the water divides; what is left differs from scenario to scenario."""


class NotConverged(ArithmeticError):
    """No accepted answer within the allowed steps."""

    def __init__(self, *, steps: int, residual: float) -> None:
        """Say how far it came: steps [-] and the largest energy residual left [m]."""
        super().__init__(f"no convergence in {steps} steps; energy residual {residual:.3g} m")
        self.steps = steps
        self.residual = residual


@dataclass(frozen=True, slots=True)
class Start:
    """Where s scenarios begin: near what is looked for, or not."""

    head: Floats  # (s, n) total head [m]
    flow: Floats | None = None  # (s, m) of the links, of which those count that close loops; else nothing there [m³/s]


@dataclass(frozen=True, slots=True)
class Solution:
    """Heads and flows of s scenarios."""

    head: Floats  # (s, n) total head [m]
    flow: Floats  # (s, m) [m³/s]
    inflow: Floats  # (s,) drawn from the source [m³/s]
    discharge: Discharge  # (s, outlet groups)
    opened: Floats  # (s,) flow out of the open end [m³/s]
    steps: int  # of the slowest scenario
    energy_residual: float  # largest [m]
    mass_residual: float  # largest sum over nodes, over the nominal flow of all outlets [-]


def solve(
    network: Network,
    source: Source,
    *,
    scenarios: int = 1,
    open_ends: OpenEnds | None = None,
    start: Start | None = None,
) -> Solution:
    """Heads and flows of a network behind a source, for several scenarios at once.

    Parameters
    ----------
    network : chains, laws and outlets
    source : head at the inlet of each scenario
    scenarios : how many
    open_ends : an end open to air in each scenario
    start : by default the head of the source at no flow, everywhere

    Raises
    ------
    NotConverged : some scenario did not meet the tolerances.
    """
    newton = Newton(network, source, open_ends)
    size = max(STACK // network.shape.links, 1)
    every = np.arange(scenarios)
    parts = [_solve_stack(newton, every[first : first + size], start) for first in range(0, scenarios, size)]
    return parts[0] if len(parts) == 1 else _joined(parts)


def _solve_stack(newton: Newton, scenario: Ints, start: Start | None) -> Solution:
    state = newton.evaluate(*_beginning(newton, scenario, start), scenario)
    if not np.isfinite(state.total).all():
        raise NotConverged(steps=0, residual=float(state.worst.max()))
    try:
        state, unsolved, steps = newton.iterate(state, scenario)
        if len(unsolved):
            state, unsolved, more = descend(newton, state, unsolved, scenario)
            steps += more
    except Singular as fault:
        raise NotConverged(steps=0, residual=float(state.worst.max())) from fault
    if len(unsolved):
        raise NotConverged(steps=steps, residual=float(state.worst.max()))
    return _solution(newton, state, scenario, steps)


def _beginning(newton: Newton, scenario: Ints, start: Start | None) -> tuple[Floats, Floats]:
    """Heads at the places, (a, p) [m], and closing flows, (a, k) [m³/s], to begin with."""
    closing = newton.network.shape.closing
    nothing = np.zeros((len(scenario), len(closing)))
    if start is not None:
        flow = nothing if start.flow is None else start.flow[scenario].take(closing, axis=1)
        return newton.places(start.head[scenario]), flow
    still, _ = newton.source.head(np.zeros(len(scenario)), scenario)
    head = newton.places(np.repeat(still[:, None], newton.network.nodes, axis=1))
    if not len(closing) or len(scenario) < FORERUN:
        return head, nothing
    return head, newton.outflows(head, scenario)[0].sum(axis=1)[:, None] * _division(newton, scenario, head)


def _division(newton: Newton, scenario: Ints, head: Floats) -> Floats:
    """Share of all water in each closing flow, (k,), as one scenario finds it in a few steps for all of them. [-]"""
    middle = slice(len(scenario) // 2, len(scenario) // 2 + 1)
    one = scenario[middle]
    state = newton.evaluate(head[middle], np.zeros((1, len(newton.network.shape.closing))), one)
    for _ in range(FORERUN_STEPS):
        step, closing_step = newton.step(state)
        state = newton.evaluate(state.head + step, state.closing_flow + closing_step, one)
    share = state.closing_flow[0] / max(float(state.inflow[0]), NO_INFLOW)
    return share if np.abs(share).max() <= 1.0 else np.zeros_like(share)


def _solution(newton: Newton, state: State, scenario: Ints, steps: int) -> Solution:
    network, shape = newton.network, newton.network.shape
    head = state.head.take(shape.node_place, axis=1)
    outlets, at = network.outlets, network.outlets.node
    opened = np.zeros(len(scenario))
    if newton.open_ends is not None:
        node, area = newton.open_ends.node[scenario], newton.open_ends.area[scenario]
        opened, _ = open_end(head[np.arange(len(scenario)), node] - network.elevation[node], area=area)
    lacking = network.continuity.lacking(state.flow, state.inflow, state.outflow)
    mass = float(lacking.max()) / outlets.nominal_flow
    if not mass <= MASS_TOLERANCE:
        raise NotConverged(steps=steps, residual=float(state.worst.max()))
    return Solution(
        head=head,
        flow=state.flow,
        inflow=state.inflow,
        discharge=outlets.discharge(head.take(at, axis=1) - network.elevation[at]),
        opened=opened,
        steps=steps,
        energy_residual=float(state.worst.max()),
        mass_residual=mass,
    )


def _joined(parts: list[Solution]) -> Solution:
    """Solutions of one network, one after another."""

    def column(name: str) -> Floats:
        return np.concatenate([getattr(part, name) for part in parts])

    return Solution(
        head=column("head"),
        flow=column("flow"),
        inflow=column("inflow"),
        discharge=Discharge.joined([part.discharge for part in parts]),
        opened=column("opened"),
        steps=max(part.steps for part in parts),
        energy_residual=max(part.energy_residual for part in parts),
        mass_residual=max(part.mass_residual for part in parts),
    )


def inlet_gain(network: Network, solution: Solution, rows: slice = slice(None)) -> Floats:
    """How far the head of each node follows the head at the inlet, every source held: dH/dH0 of some rows, (a, n). [-]

    It is the step that a metre more at the inlet asks for.
    """
    shape = network.shape
    resistance = network.friction.loss(solution.flow[rows])[1]
    conductance = 1.0 / np.maximum(resistance, LEAST_RESISTANCE)
    outflow_slope = RowSums(shape.node_place[network.outlets.node], shape.links + shape.junctions)
    stiff = np.full(len(resistance), 1.0 / STIFFEST_INLET)
    step, _ = network.condensation.step(
        conductance, np.zeros_like(conductance), outflow_slope(solution.discharge.slope[rows]), stiff, stiff
    )
    gain: Floats = step.take(shape.node_place, axis=1)
    return gain
