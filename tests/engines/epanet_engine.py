"""EPANET, a general-purpose network engine in C, asked about the same drawings through its toolkit, in memory.

References: L. A. Rossman and others, "EPANET 2.2 User Manual", EPA/600/R-20/133, 2020; the toolkit of release 2.3.
"""

from __future__ import annotations

import os
import warnings
from dataclasses import dataclass, field
from types import TracebackType
from typing import Any, Self

import numpy as np
from epanet import toolkit
from numpy.typing import NDArray

from tests.networks import LITRE_PER_HOUR, VISCOSITY, Drawing

Floats = NDArray[np.float64]

FOOT = 0.3048

GRAVITY = 32.2 * FOOT
"""What the engine takes for the acceleration of free fall. [m/s²]"""

STANDARD_GRAVITY = 9.80665
"""What the service takes. [m/s²] 3rd CGPM, 1901."""

ENGINE_VISCOSITY = 1.1e-5 * FOOT**2
"""Kinematic viscosity that its relative viscosity is a multiple of. [m²/s]"""

FLOW_UNIT = LITRE_PER_HOUR * 1000
"""Cubic metres an hour. [m³/s]"""


def smoothness_for_engine(drawing: Drawing) -> Floats:
    """C that gives the engine's form of Hazen-Williams the resistance of ours.

    Theirs is 4.727 L q^1.852 / (C^1.852 d^4.871) in ft and ft³/s, ours 10.67 L Q^1.852 / (C^1.852 D^4.8704) in SI.
    """
    theirs = 4.727 / ((drawing.bore / FOOT) ** 4.871) / FOOT ** (3 * 1.852)
    ours = 10.67 / drawing.bore**4.8704
    return drawing.smoothness * (theirs / ours) ** (1 / 1.852)


@dataclass(slots=True)
class Engine:
    """One drawing in the engine's memory, to be used in a `with` block."""

    drawing: Drawing
    head: float  # at the inlet [m]
    exponent: float | None = None  # outlets as the engine's emitters of this exponent; None: as imposed demands
    accuracy: float = 1e-8  # last change of flow over all flow at which it stops [-]
    project: Any = field(init=False, default=None)
    nodes: list[int] = field(init=False, default_factory=list)  # engine's index of each node
    links: list[int] = field(init=False, default_factory=list)
    warnings: list[str] = field(init=False, default_factory=list)  # of the last solution

    def __enter__(self) -> Self:
        """Build the network and open the hydraulic solver."""
        drawing = self.drawing
        hazen_williams = drawing.law == "hazen_williams"
        self.project = toolkit.createproject()
        form = toolkit.HW if hazen_williams else toolkit.DW
        toolkit.init(self.project, os.devnull, "", toolkit.CMH, form)
        for node in range(len(drawing.elevation)):
            kind = toolkit.RESERVOIR if node == drawing.inner else toolkit.JUNCTION
            toolkit.addnode(self.project, f"n{node}", kind)
        # A reservoir is put behind the junctions, so that numbers are known only when all nodes are there.
        self.nodes = [toolkit.getnodeindex(self.project, f"n{node}") for node in range(len(drawing.elevation))]
        for node, height in zip(self.nodes, drawing.elevation.tolist(), strict=True):
            toolkit.setnodevalue(self.project, node, toolkit.ELEVATION, height)
        self.set_head(self.head)
        roughness = smoothness_for_engine(drawing) if hazen_williams else drawing.roughness * 1e3
        for number, (start, end) in enumerate(zip(*drawing.ends(), strict=True)):
            link = toolkit.addlink(self.project, f"l{number}", toolkit.PIPE, f"n{start}", f"n{end}")
            toolkit.setpipedata(
                self.project,
                link,
                float(drawing.length[number]),
                float(drawing.bore[number]) * 1e3,
                float(roughness[number]),
                float(drawing.local[number]) * GRAVITY / STANDARD_GRAVITY,
            )
            self.links.append(link)
        self._set_options()
        if self.exponent is not None:
            self._set_emitters(self.exponent)
        toolkit.openH(self.project)
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Close the engine."""
        toolkit.closeH(self.project)
        toolkit.deleteproject(self.project)

    def _set_options(self) -> None:
        for option, value in (
            (toolkit.TRIALS, 500),
            (toolkit.ACCURACY, self.accuracy),
            (toolkit.HEADERROR, 1e2 * self.accuracy),
            (toolkit.UNBALANCED, -1),
            (toolkit.EMITBACKFLOW, 0),
            (toolkit.SP_VISCOS, VISCOSITY / ENGINE_VISCOSITY),
        ):
            toolkit.setoption(self.project, option, value)
        toolkit.setstatusreport(self.project, toolkit.NO_REPORT)

    def _set_emitters(self, exponent: float) -> None:
        toolkit.setoption(self.project, toolkit.EMITEXPON, exponent)
        factors = np.zeros(len(self.nodes))
        for node, kind in zip(self.drawing.outlet_node.tolist(), self.drawing.kinds, strict=True):
            factors[node] += kind.count * kind.flow / kind.at**exponent / FLOW_UNIT
        for node, factor in zip(self.nodes, factors.tolist(), strict=True):
            if factor:
                toolkit.setnodevalue(self.project, node, toolkit.EMITTER, factor)

    def set_head(self, head: float) -> None:
        """Change the head at the inlet. [m]"""
        toolkit.setnodevalue(self.project, self.nodes[self.drawing.inner], toolkit.ELEVATION, head)

    def impose(self, outflow: Floats) -> None:
        """Draw a flow from each node, (n,) [m³/s].

        To ten digits, lest the last rounding of the service decide after how many steps the engine stops.
        """
        for node, flow in zip(self.nodes, outflow.tolist(), strict=True):
            if node != self.nodes[self.drawing.inner]:
                toolkit.setnodevalue(self.project, node, toolkit.BASEDEMAND, float(f"{flow / FLOW_UNIT:.10g}"))

    def solve(self) -> None:
        """Solve from scratch."""
        toolkit.initH(self.project, toolkit.INITFLOW)
        with warnings.catch_warnings(record=True) as said:
            warnings.simplefilter("always")
            toolkit.runH(self.project)
        self.warnings = [str(warning.message) for warning in said]

    def heads(self) -> Floats:
        """Of the last solution. (n,) [m]"""
        return np.array([toolkit.getnodevalue(self.project, node, toolkit.HEAD) for node in self.nodes])

    def flows(self) -> Floats:
        """Of the last solution. (m,) [m³/s]"""
        values = [toolkit.getlinkvalue(self.project, link, toolkit.FLOW) for link in self.links]
        return np.array(values) * FLOW_UNIT
