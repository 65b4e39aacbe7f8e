"""A zone built larger, with every law's numbers scaled to match, has every head and flow larger by one factor each.

The factors follow from the laws by counting dimensions (E. Buckingham, "On physically similar systems", Physical
Review 4, 1914, 345-376), whatever the zone: trees and loops, hills, tubes, compensating outlets, supplies and devices.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from service.hydraulics.friction import Pipes, friction_law
from service.hydraulics.solve import Solution, solve
from tests.networks import VISCOSITY, Drawing, Kind, Supply, Taste, supplied
from tests.properties.solving import HEAD

TUBELESS = replace(Taste(chains=4, places=4), tubes=False)


@dataclass(frozen=True, slots=True)
class Scale:
    """By how much everything grows."""

    head: float
    flow: float
    length: float
    bore: float
    smoothness: float = 1.0
    viscosity: float = 1.0

    @property
    def local(self) -> float:
        """Of the K of fittings: their loss is K Q² / D⁴, but for constants."""
        return self.head * self.bore**4 / self.flow**2

    def kind(self, kind: Kind) -> Kind:
        """An outlet that gives the scaled flow at the scaled head."""
        return replace(
            kind,
            flow=kind.flow * self.flow,
            at=kind.at * self.head,
            closing=kind.closing * self.head,
            saturates=kind.saturates * self.head,
        )

    def drawing(self, drawing: Drawing) -> Drawing:
        """The zone built at this scale."""
        return replace(
            drawing,
            length=drawing.length * self.length,
            bore=drawing.bore * self.bore,
            roughness=drawing.roughness * self.bore,
            smoothness=drawing.smoothness * self.smoothness,
            local=drawing.local * self.local,
            elevation=drawing.elevation * self.head,
            kinds=tuple(self.kind(kind) for kind in drawing.kinds),
        )

    def supply(self, supply: Supply) -> Supply:
        """The supply and its devices at this scale."""

        def point(pair: tuple[float, float]) -> tuple[float, float]:
            return pair[0] * self.flow, pair[1] * self.head

        return Supply(
            pressure=supply.pressure * self.head,
            test=supply.test and point(supply.test),
            pump=tuple(point(pair) for pair in supply.pump),
            stages=tuple(
                replace(
                    stage,
                    fixed=stage.fixed * self.head,
                    square=stage.square and point(stage.square),
                    table=tuple(point(pair) for pair in stage.table),
                    set_pressure=stage.set_pressure * self.head,
                )
                for stage in supply.stages
            ),
        )


def solution(drawing: Drawing, supply: Supply, viscosity: float) -> Solution:
    pipes = Pipes(drawing.length, drawing.bore, drawing.roughness, drawing.smoothness, drawing.local)
    friction = friction_law(pipes, law=drawing.law, viscosity=viscosity)
    return solve(drawing.network(friction=friction), supply.source())


def agree(scale: Scale, zone: tuple[Drawing, Supply]) -> None:
    drawing, supply = zone
    one = solution(drawing, supply, VISCOSITY)
    two = solution(scale.drawing(drawing), scale.supply(supply), VISCOSITY * scale.viscosity)
    # Next to no pressure outlets are straight lines, whose tenth of a millimetre does not grow along.
    foot = 5e-4 * max(scale.head, 1.0)
    np.testing.assert_allclose(two.head, scale.head * one.head, atol=foot + HEAD)
    assert two.inflow[0] >= 0.0
    slack = foot * float(two.discharge.slope.sum()) + 1e-6 * scale.flow * float(one.discharge.flow.sum()) + 1e-9
    np.testing.assert_allclose(two.inflow, scale.flow * one.inflow, atol=slack)


@settings(max_examples=40)
@given(
    zone=supplied(replace(TUBELESS, laws=("hazen_williams",))),
    head=st.floats(0.5, 2.0),
    length=st.floats(0.3, 3.0),
    bore=st.floats(0.5, 2.0),
    smoothness=st.floats(0.7, 1.4),
)
def test_the_pure_power_law_scales(zone, head: float, length: float, bore: float, smoothness: float):
    """h = c L Q^1.852 / (C^1.852 D^4.8704): heads, lengths, bores and smoothnesses are free, the flows follow."""
    flow = (head / length) ** (1 / 1.852) * smoothness * bore ** (4.8704 / 1.852)
    agree(Scale(head, flow, length, bore, smoothness=smoothness), zone)


@settings(max_examples=40)
@given(
    zone=supplied(replace(TUBELESS, laws=("darcy_weisbach",))),
    length=st.floats(0.3, 3.0),
    bore=st.floats(0.5, 2.0),
    viscosity=st.floats(0.5, 2.0),
)
def test_flow_of_one_reynolds_number_scales(zone, length: float, bore: float, viscosity: float):
    """O. Reynolds 1883: with Q / (D ν) kept, and the roughness grown with the bore, the factor stays what it was."""
    flow = bore * viscosity
    agree(Scale(length * flow**2 / bore**5, flow, length, bore, viscosity=viscosity), zone)
