"""Newton's method on the heads of a network: flows follow from heads by continuity, energy is what must be mended.

The method is the global gradient algorithm (E. Todini and S. Pilati, "A gradient algorithm for the analysis of pipe
networks", in Computer Applications in Water Supply 1, Research Studies Press 1988, 1-20), with pressure-dependent
outlets on the diagonal, and with every chain of pipe condensed to its two ends.
"""

from dataclasses import dataclass, fields

import numpy as np

from service.hydraulics.arrays import Bools, Floats, Ints, RowSums
from service.hydraulics.network import Network
from service.hydraulics.outlets import open_end
from service.hydraulics.scenarios import OpenEnds, Source

ENERGY_TOLERANCE = 1e-7
"""Largest error of the energy equation of a link in an accepted answer. [m]"""

STEP_TOLERANCE = 1e-7
"""Largest undamped step of a head that an accepted answer still asks for. [m]"""

STIFFEST_INLET = 1e-10
"""Least slope of the source that the matrix sees, so that a fixed pressure is a (very stiff) curve too. [s/m²]"""

LEAST_RESISTANCE = 1e-6
"""Least slope of a link's loss that the matrix sees: 3 mm of 300 mm pipe. [s/m²]"""

SMALLEST_DAMPING = 2.0**-20
"""Least part of a step that is tried. [-]"""

MOST_STEPS = 30
"""Steps after which the method gives up. Usual zones take 2 to 10. [-]"""


@dataclass(slots=True)
class State:
    """Everything known of some scenarios at one point."""

    head: Floats  # (a, p) at the places
    closing_flow: Floats  # (a, k) at the far end of each chain that closes a loop
    flow: Floats  # (a, m)
    inflow: Floats  # (a,)
    resistance: Floats  # (a, m) dh/dQ
    residual: Floats  # (a, m) energy
    inlet_residual: Floats  # (a,)
    inlet_slope: Floats  # (a,)
    outflow: Floats  # (a, p)
    outflow_slope: Floats  # (a, p)
    worst: Floats  # (a,) largest energy residual
    total: Floats  # (a,) sum of the energy residuals

    def take(self, rows: Bools | Ints) -> "State":
        """Some of the scenarios."""
        return State(*(getattr(self, f.name)[rows] for f in fields(self)))

    def put(self, rows: Ints, other: "State") -> None:
        """Replace some of the scenarios."""
        for f in fields(self):
            getattr(self, f.name)[rows] = getattr(other, f.name)


class Newton:
    """Newton's method on one network behind one source."""

    def __init__(self, network: Network, source: Source, open_ends: OpenEnds | None) -> None:
        """Prepare what does not change from step to step."""
        shape = network.shape
        self.network = network
        self.source = source
        self.open_ends = open_ends
        self._outlet_place = shape.node_place[network.outlets.node]
        self._outlet_elevation = network.elevation[network.outlets.node]
        self._outlet_sums = RowSums(self._outlet_place, shape.links + shape.junctions)

    def places(self, heads: Floats) -> Floats:
        """Heads of the places from heads of the nodes, (a, n) to (a, p)."""
        shape = self.network.shape
        places = np.empty((len(heads), shape.links + shape.junctions))
        places[:, shape.node_place] = heads
        places[:, shape.doubles] = heads[:, shape.link_end[shape.doubles]]
        return places

    def evaluate(self, head: Floats, closing_flow: Floats, scenario: Ints) -> State:
        """Flows that follow from heads by continuity, and what the energy equations lack."""
        network, shape = self.network, self.network.shape
        outflow, outflow_slope = self.outflows(head, scenario)
        flow, inflow = network.continuity.flows(outflow, closing_flow)
        loss, resistance = network.friction.loss(flow)
        supplied, inlet_slope = self.source.head(inflow, scenario)
        residual = head.take(shape.start_place, axis=1)
        residual -= head[:, : shape.links]
        residual -= loss
        inlet_residual = supplied - head[:, shape.links]
        size, at_inlet = np.abs(residual), np.abs(inlet_residual)
        return State(
            head=head,
            closing_flow=closing_flow,
            flow=flow,
            inflow=inflow,
            resistance=np.maximum(resistance, LEAST_RESISTANCE, out=resistance),
            residual=residual,
            inlet_residual=inlet_residual,
            inlet_slope=inlet_slope,
            outflow=outflow,
            outflow_slope=outflow_slope,
            worst=np.maximum(size.max(axis=1), at_inlet),
            total=size.sum(axis=1) + at_inlet,
        )

    def outflows(self, head: Floats, scenario: Ints) -> tuple[Floats, Floats]:
        """What leaves at each place [m³/s], and its derivative by head [m²/s]; (a, p)."""
        network = self.network
        pressure = head.take(self._outlet_place, axis=1)
        pressure -= self._outlet_elevation
        flows, slopes = network.outlets.flow(pressure)
        outflow, outflow_slope = self._outlet_sums(flows), self._outlet_sums(slopes)
        if self.open_ends is not None:
            rows, node = np.arange(len(scenario)), self.open_ends.node[scenario]
            place = network.shape.node_place[node]
            area = self.open_ends.area[scenario]
            flow, slope = open_end(head[rows, place] - network.elevation[node], area=area)
            outflow[rows, place] += flow
            outflow_slope[rows, place] += slope
        return outflow, outflow_slope

    def step(self, state: State) -> tuple[Floats, Floats]:
        """Undamped Newton step of the heads, and of the flows that close loops."""
        conductance = 1.0 / state.resistance
        inlet = 1.0 / np.maximum(-state.inlet_slope, STIFFEST_INLET)
        return self.network.condensation.step(
            conductance, conductance * state.residual, state.outflow_slope, inlet, inlet * state.inlet_residual
        )

    def iterate(self, state: State, scenario: Ints) -> tuple[State, Ints, int]:
        """Steps until every scenario is solved, or as many as are allowed.

        Returns the states, the rows among them that are not solved, and the steps taken.
        """
        done, active = state, np.arange(len(scenario))
        for number in range(MOST_STEPS):
            # A head that is wanting in one link moves no node by more than itself (there is no amplifier among pipes
            # and outlets), so that small residuals prove a small step; where they are not that small, look at it.
            rest = ~(state.total < STEP_TOLERANCE)
            if not rest.all():
                done = _filled(done, active, state)
                state, active = state.take(rest), active[rest]
            if not len(active):
                return done, active, number
            step, closing_step = self.step(state)
            rest = ~(state.worst <= ENERGY_TOLERANCE)
            if not rest.all():
                rest |= ~(np.abs(step).max(axis=1) < STEP_TOLERANCE)
            if not rest.all():
                done = _filled(done, active, state)
                state, active, step, closing_step = state.take(rest), active[rest], step[rest], closing_step[rest]
            if not len(active):
                return done, active, number
            state = self._advance(state, step, closing_step, scenario[active])
        return _filled(done, active, state), active, MOST_STEPS

    def _advance(self, state: State, step: Floats, closing_step: Floats, scenario: Ints) -> State:
        """One damped step: halved in each scenario until its worst residual falls."""
        new = self.evaluate(state.head + step, state.closing_flow + closing_step, scenario)
        damping = 1.0
        while damping > SMALLEST_DAMPING:
            worse = ~(new.worst <= np.maximum((1.0 - 0.25 * damping) * state.worst, ENERGY_TOLERANCE))
            if not worse.any():
                break
            damping *= 0.5
            rows = np.flatnonzero(worse)
            shorter = self.evaluate(
                state.head[rows] + damping * step[rows],
                state.closing_flow[rows] + damping * closing_step[rows],
                scenario[rows],
            )
            if len(rows) == len(scenario):
                new = shorter
            else:
                new.put(rows, shorter)
        return new


def _filled(done: State, rows: Ints, state: State) -> State:
    """The states of all scenarios, after those of some."""
    if len(rows) == len(done.head):
        return state
    done.put(rows, state)
    return done
