"""The equations of a zone written down one by one, and left to scipy to find their root.

Nothing here is shared with the service: laws are written again from their sources, every head, flow and working head is
an unknown of its own, and scipy's hybrid method (MINPACK's hybrd, J. J. Moré and others 1980) is all the method. It is
slow and needs help to begin: outlets are opened little by little.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import copysign, log, pi

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import root

from tests.networks import SMOOTH, VISCOSITY, WEIGHT, Drawing, Kind, Stage, Supply

Floats = NDArray[np.float64]

G = 9.80665
FLAT = 1e-4
"""Head up to which an outlet law is a straight line. [m] The service's own choice, which it states."""


def churchill(reynolds: float, roughness: float) -> float:
    """Darcy factor. S. W. Churchill, Chemical Engineering 84 (24), 1977, 91-92."""
    a = (2.457 * log(1 / ((7 / reynolds) ** 0.9 + 0.27 * roughness))) ** 16
    b = (37530 / reynolds) ** 16
    return 8 * ((8 / reynolds) ** 12 + (a + b) ** -1.5) ** (1 / 12)


def pipe_loss(
    law: str, flow: float, *, length: float, bore: float, roughness: float = SMOOTH, c: float = 150.0, k: float = 0.0
) -> float:
    """Friction and local loss of one pipe with the sign of its flow. [m]"""
    size, area = abs(flow), pi * bore**2 / 4
    local = k * (size / area) ** 2 / (2 * G)
    if law == "hazen_williams":
        slow = 1e-9  # straight below it, as the service states
        friction = 10.67 * length * max(size, slow) ** 0.852 * size / (c**1.852 * bore**4.8704)
    else:
        reynolds = max(size / area * bore / VISCOSITY, 1.0)
        number = churchill(reynolds, roughness / bore) * reynolds
        friction = number * VISCOSITY * length * (size / area) / (2 * G * bore**2)
    return copysign(friction + local, flow)


def outlet_flow(kind: Kind, head: float) -> float:
    """Flow of one outlet at its working head. [m³/s]"""
    if kind.exponent > 0:
        if head <= 0:
            return 0.0
        scaled = max(FLAT, head)
        return kind.flow / kind.at**kind.exponent * scaled ** (kind.exponent - 1) * head
    if head > kind.saturates:
        return kind.flow * (head / kind.saturates) ** 0.5
    if head >= kind.at:
        return kind.flow
    over, whole = head - kind.closing, kind.at - kind.closing
    if over <= 0:
        return 0.0
    flat = min(FLAT, 0.01 * whole)
    return kind.flow / whole**0.5 * (over**0.5 if over > flat else over * flat**-0.5)


def stage_loss(stage: Stage, flow: float) -> float:
    """Loss of one device. [Pa]"""
    loss = stage.fixed
    if stage.square:
        loss += stage.square[1] * (flow / stage.square[0]) ** 2
    if stage.table:
        flows, losses = np.array([(0.0, 0.0), *stage.table]).T
        inside = float(np.interp(flow, flows, losses))
        loss += inside if flow <= flows[-1] else losses[-1] * (flow / flows[-1]) ** 2
    return loss


def supplied_head(supply: Supply, flow: float) -> float:
    """Head that a supply leaves at the zone inlet. [m]"""
    flow = max(flow, 0.0)
    pressure = supply.pressure
    if supply.test:
        pressure -= supply.test[1] * (flow / supply.test[0]) ** 1.852
    if supply.pump:
        (*_, (q1, p1), (q2, p2)) = supply.pump
        flows, pressures = np.array(supply.pump).T
        inside = float(np.interp(flow, flows, pressures))
        pressure = inside if flow <= q2 else p2 + (p2 - p1) / (q2 - q1) * (flow - q2)
    for stage in supply.stages:
        pressure = min(pressure - stage_loss(stage, flow), stage.set_pressure)
    return pressure / WEIGHT


@dataclass(frozen=True)
class Equations:
    """A zone behind a supply: its unknowns are heads, flows of links, working heads, and the flow drawn."""

    drawing: Drawing
    supply: Supply
    scale: float  # of flows, so that unknowns are of one size [m³/s]

    @cached_property
    def pipes(self) -> list[tuple[int, int, dict[str, float]]]:
        """Node where each link starts and where it ends, and what it is. As plain numbers, which are the quickest."""
        drawing = self.drawing
        columns = (drawing.length, drawing.bore, drawing.roughness, drawing.smoothness, drawing.local)
        names = ("length", "bore", "roughness", "c", "k")
        pipes = [dict(zip(names, map(float, one), strict=True)) for one in zip(*columns, strict=True)]
        return list(zip(*drawing.ends(), pipes, strict=True))

    @cached_property
    def heights(self) -> list[float]:
        """Of each outlet's node. [m]"""
        return self.drawing.elevation[self.drawing.outlet_node].tolist()

    def residuals(self, unknowns: Floats, opened: float) -> Floats:
        """What every equation lacks, with the outlets' flow opened to a part."""
        drawing, scale = self.drawing, self.scale
        nodes, links = len(drawing.elevation), len(drawing.length)
        values = unknowns.tolist()
        head, working = values[:nodes], values[nodes + links : -1]
        flow, drawn = [scale * value for value in values[nodes : nodes + links]], scale * values[-1]
        lacking = [0.0] * nodes
        energy = []
        for (start, end, pipe), through in zip(self.pipes, flow, strict=True):
            energy.append(head[start] - head[end] - pipe_loss(drawing.law, through, **pipe))
            lacking[start] -= through
            lacking[end] += through
        tubes = []
        for node, height, kind, at in zip(drawing.outlet_node, self.heights, drawing.kinds, working, strict=True):
            leaves = opened * outlet_flow(kind, at)
            lacking[node] -= kind.count * leaves
            length, bore, rise = kind.tube or (0.0, 1.0, 0.0)
            tubes.append(head[node] - height - rise - pipe_loss(drawing.law, leaves, length=length, bore=bore) - at)
        lacking[drawing.inner] += drawn
        source = supplied_head(self.supply, drawn) - head[drawing.inner]
        return np.array([*energy, *(one / scale for one in lacking), *tubes, source])

    def solve(self) -> Floats | None:
        """Heads of the nodes, (n,) [m], or None where the method gives up."""
        drawing = self.drawing
        still = supplied_head(self.supply, 0.0)
        head = np.full(len(drawing.elevation), still)
        rise = np.array([(kind.tube or (0.0, 0.0, 0.0))[2] for kind in drawing.kinds])
        working = still - drawing.elevation[drawing.outlet_node] - rise
        unknowns = np.concatenate((head, np.zeros(len(drawing.length)), working, [0.0]))
        opened, step = 0.0, 0.25
        while opened < 1.0:
            further = min(opened + step, 1.0)
            found = root(self.residuals, unknowns, args=(further,), method="hybr", options={"xtol": 1e-13})
            if np.abs(self.residuals(found.x, further)).max() < 1e-9:
                unknowns, opened, step = found.x, further, 2 * step
            elif step > 1e-4:
                step /= 4
            else:
                return None
        return unknowns[: len(drawing.elevation)]
