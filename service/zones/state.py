"""A zone in one hydraulic state: the pressures, flows and losses of a solved scenario, by run and outlet."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from service.hydraulics.arrays import Floats
from service.hydraulics.solve import Solution
from service.zones.pipework import Pipework

UNDECIDED = 1e-3
"""Difference of pressure that the tolerance of the solver leaves open. [Pa]"""


def first_least(pressure: Floats) -> int:
    """The first of those places that have the least pressure: rounding does not choose between equal ones."""
    return int(np.argmax(pressure <= pressure.min() + UNDECIDED))


@dataclass(frozen=True)
class State:
    """One scenario of a solution."""

    pipework: Pipework
    solution: Solution
    row: int

    @property
    def flow(self) -> float:
        """Flow into the zone. [m³/s]"""
        return float(self.solution.inflow[self.row])

    @cached_property
    def node_pressure(self) -> Floats:
        """Pressure at each node. (n,) [Pa]"""
        network = self.pipework.network
        pressure: Floats = (self.solution.head[self.row] - network.elevation) * self.pipework.water.specific_weight
        return pressure

    @property
    def inlet_pressure(self) -> float:
        """Pressure at the zone inlet. [Pa]"""
        return float(self.node_pressure[self.pipework.network.shape.inner])

    @cached_property
    def outlet_pressure(self) -> Floats:
        """Pressure at the outlets of each group themselves, behind their tubes. (g,) [Pa]"""
        pressure: Floats = self.solution.discharge.working_head[self.row] * self.pipework.water.specific_weight
        return pressure

    @property
    def outlet_flow(self) -> Floats:
        """Flow of one outlet of each group. (g,) [m³/s]"""
        flow: Floats = self.solution.discharge.outlet_flow[self.row]
        return flow

    @property
    def tube_loss(self) -> Floats:
        """Friction of the small tubes of each group. (g,) [Pa]"""
        loss: Floats = self.solution.discharge.tube_loss[self.row] * self.pipework.water.specific_weight
        return loss

    @property
    def link_flow(self) -> Floats:
        """Flow in each link, along its run. (m,) [m³/s]"""
        flow: Floats = self.solution.flow[self.row]
        return flow

    @cached_property
    def link_velocity(self) -> Floats:
        """Speed of the water in each link. (m,) [m/s]"""
        speed: Floats = np.abs(self.link_flow) / self.pipework.pipes.area
        return speed

    @cached_property
    def link_local_loss(self) -> Floats:
        """Loss in the fittings of each link, along its run. (m,) [Pa]"""
        loss, _ = self.pipework.local_law.loss(self.link_flow)
        return loss * self.pipework.water.specific_weight

    @cached_property
    def link_loss(self) -> Floats:
        """Friction and local losses of each link, along its run. (m,) [Pa]"""
        loss, _ = self.pipework.network.friction.loss(self.link_flow)
        return loss * self.pipework.water.specific_weight
