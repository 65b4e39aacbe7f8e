"""Laterals of the handbooks: equal spacings, one kind of outlet, any friction law; solved by the service."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from service.hydraulics.arrays import Floats
from service.hydraulics.friction import FrictionLaw
from service.hydraulics.solve import FixedHead, Solution, solve
from tests.networks import Drawing, Kind, Sketch

Law = Callable[[Drawing], FrictionLaw]


@dataclass(frozen=True, slots=True)
class Lateral:
    """A lateral in SI, and how its friction goes."""

    inlet_head: float
    outlets: int
    spacing: float
    first: float
    kind: Kind
    bore: float
    law: Law
    slope: float = 0.0  # rise over run
    connection: float = 0.0  # equivalent length of every outlet's barb
    at_end: Kind | None = None  # a last outlet unlike the others

    @property
    def lengths(self) -> Floats:
        """Of the links. (n,)"""
        return np.concatenate(([self.first], np.full(self.outlets - 1, self.spacing)))

    def solve(self) -> Solution:
        """The service's solution."""
        sketch = Sketch()
        heights = np.cumsum(self.lengths) * self.slope
        chain = sketch.chain(0, length=self.lengths + self.connection, bore=self.bore, heights=heights)
        for at in range(self.outlets):
            sketch.outlet(self.kind, chain=chain, at=at)
        if self.at_end is not None:
            sketch.outlet(self.at_end, chain=chain, at=self.outlets - 1)
        drawing = sketch.drawing()
        network = drawing.network(friction=self.law(drawing))
        return solve(network, FixedHead(np.array([self.inlet_head])))


def constant(flow: float) -> Kind:
    """An outlet that gives the same flow at any head above 0.1 m."""
    return Kind(flow, at=0.1, exponent=0.0)
