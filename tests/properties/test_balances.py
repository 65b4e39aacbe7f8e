"""Mass at every node, energy round every loop, and power: checked from the arrays of a solution alone."""

from collections import defaultdict

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.hydraulics.newton import Newton
from service.hydraulics.solve import ENERGY_TOLERANCE, MASS_TOLERANCE, Solution
from tests.engines.root_finding import outlet_flow, pipe_loss, supplied_head
from tests.networks import SMOOTH, Drawing, Supply, Taste, nominal_flow, supplied
from tests.properties.solving import solved

SMALL = Taste(chains=5, places=4)


def losses(drawing: Drawing, solution: Solution) -> list[float]:
    """Loss of every link at its flow, by the laws written in tests/engines. [m]"""
    return [
        pipe_loss(
            drawing.law,
            flow,
            length=drawing.length[link],
            bore=drawing.bore[link],
            roughness=drawing.roughness[link],
            c=drawing.smoothness[link],
            k=drawing.local[link],
        )
        for link, flow in enumerate(solution.flow[0].tolist())
    ]


@given(zone=supplied(SMALL))
def test_what_flows_into_a_node_flows_out_of_it(zone: tuple[Drawing, Supply]):
    drawing, supply = zone
    solution = solved(drawing, supply)
    lacking = np.zeros(len(drawing.elevation))
    for start, end, flow in zip(*drawing.ends(), solution.flow[0], strict=True):
        lacking[start] -= flow
        lacking[end] += flow
    for node, leaves in zip(drawing.outlet_node, solution.discharge.flow[0], strict=True):
        lacking[node] -= leaves
    lacking[drawing.inner] += solution.inflow[0]
    assert np.abs(lacking).sum() <= MASS_TOLERANCE * nominal_flow(drawing)
    assert solution.mass_residual <= MASS_TOLERANCE


@given(zone=supplied(SMALL))
def test_every_link_loses_what_its_heads_differ_by(zone: tuple[Drawing, Supply]):
    drawing, supply = zone
    solution = solved(drawing, supply)
    head = solution.head[0]
    for start, end, loss in zip(*drawing.ends(), losses(drawing, solution), strict=True):
        assert head[start] - head[end] == pytest.approx(loss, abs=1.1 * ENERGY_TOLERANCE, rel=1e-9)
    assert solution.energy_residual <= ENERGY_TOLERANCE
    drawn = supplied_head(supply, float(solution.inflow[0]))
    assert head[drawing.inner] == pytest.approx(drawn, abs=1.1 * ENERGY_TOLERANCE, rel=1e-9)


@given(zone=supplied(Taste(chains=5, places=4, shapes=("grid", "mesh"))))
def test_losses_round_every_loop_cancel(zone: tuple[Drawing, Supply]):
    """Heads are left out of it: along a spanning tree losses are summed from the inlet, and must agree at its gaps."""
    drawing, supply = zone
    solution = solved(drawing, supply)
    start, end = drawing.ends()
    neighbours = defaultdict(list)
    for link, (a, b, loss) in enumerate(zip(start, end, losses(drawing, solution), strict=True)):
        neighbours[a].append((b, loss, link))
        neighbours[b].append((a, -loss, link))
    lost, waiting, used = {drawing.inner: 0.0}, [drawing.inner], set()
    while waiting:
        at = waiting.pop()
        for to, loss, link in neighbours[at]:
            if to not in lost:
                lost[to] = lost[at] + loss
                used.add(link)
                waiting.append(to)
    gaps = [lost[a] + loss - lost[b] for a, links in neighbours.items() for b, loss, link in links if link not in used]
    assert gaps
    assert np.abs(gaps).max() <= 2 * len(start) * ENERGY_TOLERANCE


@given(zone=supplied(SMALL))
def test_power_supplied_is_lost_lifted_or_let_out(zone: tuple[Drawing, Supply]):
    """B. D. H. Tellegen's theorem: flow times head, summed over everything, leaves nothing."""
    drawing, supply = zone
    solution = solved(drawing, supply)
    head, flow = solution.head[0], solution.flow[0]
    supplied_power = solution.inflow[0] * head[drawing.inner]
    lost = float(flow @ np.array(losses(drawing, solution)))
    let_out = float(solution.discharge.flow[0] @ head[drawing.outlet_node])
    scale = nominal_flow(drawing) * (np.abs(head).max() + 1.0)
    assert supplied_power - lost - let_out == pytest.approx(0.0, abs=1e-6 * scale)
    assert lost >= 0.0


@given(zone=supplied(SMALL))
def test_every_outlet_gives_what_its_law_says(zone: tuple[Drawing, Supply]):
    drawing, supply = zone
    discharge = solved(drawing, supply).discharge
    head = solved(drawing, supply).head[0]
    for group, (node, kind) in enumerate(zip(drawing.outlet_node, drawing.kinds, strict=True)):
        working, flow = discharge.working_head[0, group], discharge.outlet_flow[0, group]
        assert flow == pytest.approx(outlet_flow(kind, working), rel=1e-9, abs=1e-18)
        assert discharge.flow[0, group] == pytest.approx(kind.count * flow, rel=1e-12)
        length, bore, rise = kind.tube or (0.0, 1.0, 0.0)
        tube_loss = pipe_loss(drawing.law, flow, length=length, bore=bore, roughness=SMOOTH)
        assert discharge.tube_loss[0, group] == pytest.approx(tube_loss, rel=1e-9, abs=1e-12)
        pressure = head[node] - drawing.elevation[node]
        assert working + tube_loss + rise == pytest.approx(pressure, rel=1e-9, abs=1e-9)
        if working <= 0.0:
            assert flow == 0.0


@given(zone=supplied(SMALL), share=st.floats(1e-6, 1.0), data=st.data())
def test_water_that_gets_lost_is_missed(zone: tuple[Drawing, Supply], share: float, data: st.DataObject):
    """What the solver looks at before it accepts an answer: a flow put wrong in one link lacks at both its ends."""
    drawing, supply = zone
    network, solution = drawing.network(), solved(drawing, supply)
    newton = Newton(network, supply.source(), None)
    outflow, _ = newton.outflows(newton.places(solution.head), np.arange(1))
    right = network.continuity.lacking(solution.flow, solution.inflow, outflow)[0]
    wrong = solution.flow.copy()
    lost = share * nominal_flow(drawing)
    link = data.draw(st.integers(0, len(drawing.length) - 1))
    wrong[0, link] += lost
    start, end = (ends[link] for ends in drawing.ends())
    seen = network.continuity.lacking(wrong, solution.inflow, outflow)[0]
    assert seen == pytest.approx(right + 2 * lost * (start != end), rel=1e-6, abs=1e-9 * nominal_flow(drawing))
    lessened = network.continuity.lacking(solution.flow, solution.inflow + lost, outflow)[0]
    assert lessened == pytest.approx(right + lost, rel=1e-6, abs=1e-9 * nominal_flow(drawing))
