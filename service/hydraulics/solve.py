"""Pressures and flows of a network: Newton on node heads, with every chain condensed to its two ends.

The method is the global gradient algorithm (E. Todini and S. Pilati, "A gradient algorithm for the analysis of pipe
networks", in Computer Applications in Water Supply 1, Research Studies Press 1988, 1-20), with pressure-dependent
outlets on the diagonal. The inner nodes of all chains, in all scenarios at once, are one symmetric positive definite
tridiagonal system; what is left is a banded one in the junctions.
"""

from dataclasses import dataclass, fields, replace
from typing import Protocol

import numpy as np
from scipy.linalg.lapack import dpbsv, dptsv

from service.hydraulics.arrays import Bools, Floats, Ints
from service.hydraulics.network import Network
from service.hydraulics.outlets import Discharge, open_end

ENERGY_TOLERANCE = 1e-7
"""Largest error of the energy equation of a link in an accepted answer. [m]"""

STEP_TOLERANCE = 1e-7
"""Largest last undamped step of a head. [m]"""

MASS_TOLERANCE = 1e-9
"""Largest sum of mass residuals, over the nominal flow of all outlets. [-]"""

MOST_STEPS = 100
"""Newton steps after which the solver gives up. Usual cases take 4 to 12."""

STIFFEST_INLET = 1e-4
"""Least slope of the source that the matrix sees, so that a fixed pressure is a (very stiff) curve too. [s/m²]"""

SMALLEST_DAMPING = 2.0**-14
"""Least share of a Newton step that is tried. [-] An open end that stands just below zero head passes nothing and asks
for the whole head of the source in one step, of which a few thousandths may be what it takes."""


class Source(Protocol):
    """What stands at the inlet of each scenario: a head that does not rise with the flow drawn."""

    def head(self, flow: Floats, scenario: Ints) -> tuple[Floats, Floats]:
        """Total head [m] and its derivative by flow [s/m²] of these scenarios, from their flows [m³/s]; all (a,)."""


class NotConverged(ArithmeticError):
    """No accepted answer within the allowed steps."""

    def __init__(self, *, steps: int, residual: float) -> None:
        """Say how far it came: steps [-] and the largest energy residual left [m]."""
        super().__init__(f"no convergence in {steps} steps; energy residual {residual:.3g} m")
        self.steps = steps
        self.residual = residual


@dataclass(frozen=True, slots=True)
class FixedHead:
    """A source whose head does not fall with flow."""

    heads: Floats  # (s,) [m]

    def head(self, flow: Floats, scenario: Ints) -> tuple[Floats, Floats]:
        """The same head at any flow."""
        return self.heads[scenario], np.zeros_like(flow)


@dataclass(frozen=True, slots=True)
class OpenEnds:
    """One pipe end a scenario that stands open to air."""

    node: Ints  # (s,) which node
    area: Floats  # (s,) cross-section of the opening [m²]; 0 keeps it shut


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
    start: Floats | None = None,
) -> Solution:
    """Heads and flows of a network behind a source, for several scenarios at once.

    Parameters
    ----------
    network : chains, laws and outlets
    source : head at the inlet of each scenario
    scenarios : how many
    open_ends : an end open to air in each scenario
    start : (scenarios, n) heads to start from [m]; by default the head of the source at no flow

    Raises
    ------
    NotConverged : some scenario did not meet the tolerances.
    """
    return _Newton(network, source, open_ends).run(scenarios, start)


def inlet_gain(network: Network, solution: Solution) -> Floats:
    """How far the head of each node follows the head at the inlet, every source held: dH/dH0, (s, n). [-]"""
    newton = _Newton(network, FixedHead(solution.head[:, network.shape.inner]), None)
    scenario = np.arange(len(solution.inflow))
    state = newton.evaluate(solution.head, solution.flow[:, network.shape.last_link[network.shape.closing]], scenario)
    still = replace(state, residual=np.zeros_like(state.residual), inlet_residual=np.ones(len(scenario)))
    gain: Floats = newton.step(still)[0]
    return gain


@dataclass(slots=True)
class _State:
    """Everything known of the active scenarios at one point."""

    head: Floats  # (a, n)
    closing_flow: Floats  # (a, k) at the far end of each chain that closes a loop
    flow: Floats  # (a, m)
    inflow: Floats  # (a,)
    resistance: Floats  # (a, m) dh/dQ
    residual: Floats  # (a, m) energy
    inlet_residual: Floats  # (a,)
    inlet_slope: Floats  # (a,)
    outflow: Floats  # (a, n)
    outflow_slope: Floats  # (a, n)

    def merit(self) -> Floats:
        """Largest energy residual of each scenario. (a,) [m]"""
        worst = np.abs(self.inlet_residual)
        if self.residual.shape[1]:
            worst = np.maximum(worst, np.abs(self.residual).max(axis=1))
        return worst

    def take(self, rows: Bools) -> "_State":
        return _State(*(getattr(self, f.name)[rows] for f in fields(self)))

    def put(self, rows: Ints, other: "_State") -> None:
        for f in fields(self):
            getattr(self, f.name)[rows] = getattr(other, f.name)


class _Newton:
    def __init__(self, network: Network, source: Source, open_ends: OpenEnds | None) -> None:
        self.network = network
        self.shape = network.shape
        self.source = source
        self.open_ends = open_ends
        outlet_nodes = network.outlets.node
        self._alone = len(np.unique(outlet_nodes)) == len(outlet_nodes)

    def run(self, scenarios: int, start: Floats | None) -> Solution:
        network, shape = self.network, self.shape
        every = np.arange(scenarios)
        if start is None:
            still, _ = self.source.head(np.zeros(scenarios), every)
            start = np.repeat(still[:, None], network.nodes, axis=1)
        state = self.evaluate(start, np.zeros((scenarios, len(shape.closing))), every)
        done = _State(*(np.empty_like(getattr(state, f.name)) for f in fields(state)))
        active = every
        for step_number in range(1, MOST_STEPS + 1):
            step, closing_step = self.step(state)
            converged = (np.abs(step).max(axis=1) < STEP_TOLERANCE) & (state.merit() <= ENERGY_TOLERANCE)
            if converged.any():
                done.put(active[converged], state.take(converged))
                if converged.all():
                    return self._solution(done, step_number)
                rest = ~converged
                state, active, step, closing_step = state.take(rest), active[rest], step[rest], closing_step[rest]
            state = self._advance(state, step, closing_step, active)
        raise NotConverged(steps=MOST_STEPS, residual=float(state.merit().max()))

    def _advance(self, state: _State, step: Floats, closing_step: Floats, active: Ints) -> _State:
        """One damped step: halved in each scenario until its energy residual falls."""
        before = state.merit()
        new = self.evaluate(state.head + step, state.closing_flow + closing_step, active)
        damping = 1.0
        while True:
            worse = new.merit() > np.maximum((1.0 - 0.25 * damping) * before, ENERGY_TOLERANCE)
            damping *= 0.5
            if damping < SMALLEST_DAMPING or not worse.any():
                return new
            rows = np.flatnonzero(worse)
            shorter = self.evaluate(
                state.head[rows] + damping * step[rows],
                state.closing_flow[rows] + damping * closing_step[rows],
                active[rows],
            )
            new.put(rows, shorter)

    def evaluate(self, head: Floats, closing_flow: Floats, scenario: Ints) -> _State:
        """Flows that follow from heads by continuity, and what the energy equations lack."""
        network, shape = self.network, self.shape
        outlets = network.outlets
        discharge = outlets.discharge(head[:, outlets.node] - network.elevation[outlets.node])
        outflow, slope = np.zeros_like(head), np.zeros_like(head)
        if self._alone:
            outflow[:, outlets.node], slope[:, outlets.node] = discharge.flow, discharge.slope
        else:
            outflow = _scatter(discharge.flow, outlets.node, network.nodes)
            slope = _scatter(discharge.slope, outlets.node, network.nodes)
        if self.open_ends is not None:
            rows, node = np.arange(len(scenario)), self.open_ends.node[scenario]
            flow, rate = open_end(head[rows, node] - network.elevation[node], area=self.open_ends.area[scenario])
            outflow[rows, node] += flow
            slope[rows, node] += rate
        flow, inflow = self._flows(outflow, closing_flow)
        loss, resistance = network.friction.loss(flow)
        supplied, inlet_slope = self.source.head(inflow, scenario)
        return _State(
            head=head,
            closing_flow=closing_flow,
            flow=flow,
            inflow=inflow,
            resistance=resistance,
            residual=head[:, shape.link_start] - head[:, shape.link_end] - loss,
            inlet_residual=supplied - head[:, shape.inner],
            inlet_slope=inlet_slope,
            outflow=outflow,
            outflow_slope=slope,
        )

    def _flows(self, outflow: Floats, closing_flow: Floats) -> tuple[Floats, Floats]:
        """Flow of every link and at the inlet, accumulated from the far ends."""
        shape, chains = self.shape, self.network.chains
        rows = len(outflow)
        summed = np.zeros((rows, shape.inner + 1))
        np.cumsum(outflow[:, : shape.inner], axis=1, out=summed[:, 1:])
        chain_outflow = summed[:, shape.node_offset[1:]] - summed[:, shape.node_offset[:-1]]
        # What each junction and the tree chain that leads to it need: then a subtree is a slice of the preorder.
        needs = outflow[:, shape.inner :].copy()
        home = np.where(shape.tree >= 0, shape.tree, chains.upstream)
        needs += _scatter(chain_outflow, home, self.network.junctions)
        far_flow = np.zeros_like(chain_outflow)
        if len(shape.closing):
            far_flow[:, shape.closing] = closing_flow
            needs += _scatter(closing_flow, chains.upstream[shape.closing], self.network.junctions)
            needs -= _scatter(closing_flow, chains.downstream[shape.closing], self.network.junctions)
        below = np.zeros((rows, self.network.junctions + 1))
        np.cumsum(needs[:, shape.preorder], axis=1, out=below[:, 1:])
        subtree = (below[:, shape.subtree_end] - below[:, :-1])[:, shape.position]
        on_tree = np.flatnonzero(shape.tree >= 0)
        reached = subtree[:, shape.tree[on_tree]]
        far_flow[:, on_tree] = np.where(shape.reversed[on_tree], -reached, reached - chain_outflow[:, on_tree])
        flow = np.empty((rows, len(shape.link_start)))
        beyond = far_flow + summed[:, shape.node_offset[1:]]
        flow[:, shape.up_link] = beyond[:, shape.node_chain] - summed[:, :-1]
        flow[:, shape.last_link[shape.through]] = far_flow[:, shape.through]
        return flow, subtree[:, 0]

    def step(self, state: _State) -> tuple[Floats, Floats]:
        """Undamped Newton step of the heads, and of the flows that close loops."""
        shape, chains = self.shape, self.network.chains
        rows, inner, junctions = len(state.head), shape.inner, self.network.junctions
        conducts = np.zeros((rows, len(shape.link_start) + 1))
        np.divide(1.0, state.resistance, out=conducts[:, :-1])
        push = np.zeros_like(conducts)
        np.multiply(conducts[:, :-1], state.residual, out=push[:, :-1])
        first, last = conducts[:, shape.first_link], conducts[:, shape.last_link]
        inside = self._inside(state, conducts, push, first, last) if inner else np.zeros((3, rows, 1))
        at_first, at_last = inside[:, :, shape.first_node], inside[:, :, shape.last_node]
        one, none = np.where(shape.has_inner, 1.0, 0.0), np.where(shape.has_inner, 0.0, 1.0)
        near = first * (1.0 - one * at_first[1])
        far = last * (1.0 - one * at_last[2])
        cross = first * (one * at_first[2] + none)
        load_near = first * one * at_first[0] - push[:, shape.first_link]
        load_far = last * one * at_last[0] + push[:, shape.last_link]
        through = shape.through
        down = chains.downstream[through]
        loops = chains.upstream[through] == down
        inlet = 1.0 / np.maximum(-state.inlet_slope, STIFFEST_INLET)
        diagonal = state.outflow_slope[:, inner:] + _scatter(near, chains.upstream, junctions)
        diagonal += _scatter(far[:, through] - 2.0 * loops * cross[:, through], down, junctions)
        diagonal[:, 0] += inlet
        load = _scatter(load_near, chains.upstream, junctions) + _scatter(load_far[:, through], down, junctions)
        load[:, 0] += inlet * state.inlet_residual
        at_junction = self._junction_step(diagonal, -cross[:, through] * ~loops, load)
        near_end = at_junction[:, chains.upstream]
        far_end = np.zeros_like(near_end)
        far_end[:, through] = at_junction[:, down]
        step = np.empty_like(state.head)
        if inner:
            step[:, :inner] = (
                inside[0] + inside[1] * near_end[:, shape.node_chain] + inside[2] * far_end[:, shape.node_chain]
            )
        step[:, inner:] = at_junction
        closing = shape.last_link[shape.closing]
        drop = step[:, shape.link_start[closing]] - step[:, shape.link_end[closing]]
        return step, conducts[:, closing] * drop + push[:, closing]

    def _inside(self, state: _State, conducts: Floats, push: Floats, first: Floats, last: Floats) -> Floats:
        """Step of the inner nodes from the load, and for a unit step of either end of their chain. (3, a, inner)"""
        shape = self.shape
        rows, inner = len(state.head), shape.inner
        into, out = conducts[:, shape.up_link], conducts[:, shape.down_link]
        diagonal = into + out + state.outflow_slope[:, :inner]
        beside = np.zeros((rows, inner))
        np.multiply(out[:, :-1], -shape.coupled, out=beside[:, :-1])
        right = np.zeros((3, rows, inner))
        np.subtract(push[:, shape.up_link], push[:, shape.down_link], out=right[0])
        held = shape.has_inner
        right[1][:, shape.first_node[held]] = first[:, held]
        right[2][:, shape.last_node[held]] = last[:, held]
        between = max(diagonal.size - 1, 1)  # LAPACK wants room for one even where there is nothing between
        _, _, solved, info = dptsv(diagonal.ravel(), beside.ravel()[:between], right.reshape(3, -1).T)
        if info:
            raise NotConverged(steps=0, residual=float("nan"))
        return np.ascontiguousarray(solved.T).reshape(3, rows, inner)

    def _junction_step(self, diagonal: Floats, off: Floats, load: Floats) -> Floats:
        """Step of the junctions from the banded system of all scenarios in one. (a, j)"""
        shape, chains = self.shape, self.network.chains
        rows, junctions = diagonal.shape
        start, end = shape.band[chains.upstream[shape.through]], shape.band[chains.downstream[shape.through]]
        below, column = np.abs(start - end), np.minimum(start, end)
        width = shape.bandwidth + 1
        banded = np.zeros((rows, junctions, width))
        banded[:, shape.band, 0] = diagonal
        banded += _scatter(off, column * width + below, junctions * width).reshape(banded.shape)
        right = np.empty_like(load)
        right[:, shape.band] = load
        _, solved, info = dpbsv(banded.reshape(-1, width).T, right.reshape(-1, 1), lower=1)
        if info:
            raise NotConverged(steps=0, residual=float("nan"))
        step: Floats = solved.reshape(rows, junctions)[:, shape.band]
        return step

    def _solution(self, state: _State, steps: int) -> Solution:
        network, shape = self.network, self.shape
        outlets = network.outlets
        discharge = outlets.discharge(state.head[:, outlets.node] - network.elevation[outlets.node])
        balance = (
            _scatter(state.flow, shape.link_end, network.nodes)
            - _scatter(state.flow, shape.link_start, network.nodes)
            - state.outflow
        )
        balance[:, shape.inner] += state.inflow
        mass = float(np.abs(balance).sum(axis=1).max()) / outlets.nominal_flow
        if mass > MASS_TOLERANCE:
            raise NotConverged(steps=steps, residual=mass)
        opened = np.zeros(len(state.head))
        if self.open_ends is not None:
            rows = np.arange(len(opened))
            node = self.open_ends.node
            opened = open_end(state.head[rows, node] - network.elevation[node], area=self.open_ends.area)[0]
        return Solution(
            head=state.head,
            flow=state.flow,
            inflow=state.inflow,
            discharge=discharge,
            opened=opened,
            steps=steps,
            energy_residual=float(state.merit().max()),
            mass_residual=mass,
        )


def _scatter(values: Floats, target: Ints, size: int) -> Floats:
    """Sum of the values that share a target, row by row. (a, k) to (a, size)"""
    rows = len(values)
    flat = (np.arange(rows)[:, None] * size + target).ravel()
    summed: Floats = np.bincount(flat, weights=values.ravel(), minlength=rows * size).reshape(rows, size)
    return summed
