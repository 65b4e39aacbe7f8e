"""Friction as the general-purpose engine computes it, so that its solver can be told from its formula.

Below Re 2000 laminar; above 4000 P. K. Swamee and A. K. Jain, "Explicit equations for pipe-flow problems", J. Hydraul.
Div. ASCE 102 (5), 1976, 657-664; between them the cubic of E. J. Dunlop, "WADI Users Manual", 1991, as printed in the
engine's user manual (L. A. Rossman, "EPANET 2 Users Manual", EPA/600/R-00/057, 2000, appendix D). Formulas from memory
of that appendix, confirmed by the engine's own heads.
"""

import numpy as np
from numpy.typing import NDArray

from tests.engines.epanet_engine import GRAVITY
from tests.networks import VISCOSITY, Drawing

Floats = NDArray[np.float64]


def engine_factor(reynolds: Floats, relative_roughness: Floats | float) -> Floats:
    """Darcy factor of the engine, Reynolds number above zero. (n,) [-]"""
    wall = relative_roughness / 3.7
    swamee_jain = 0.25 / np.square(np.log10(wall + 5.74 / np.maximum(reynolds, 4000.0) ** 0.9))
    y2 = wall + 5.74 / 4000.0**0.9
    y3 = -0.86859 * np.log(y2)
    fa = y3**-2
    fb = fa * (2.0 - 0.00514215 / (y2 * y3))
    r = reynolds / 2000.0
    x1, x2 = 7.0 * fa - fb, 0.128 - 17.0 * fa + 2.5 * fb
    x3, x4 = -0.128 + 13.0 * fa - 2.0 * fb, r * (0.032 - 3.0 * fa + 0.5 * fb)
    dunlop = x1 + r * (x2 + r * (x3 + x4))
    factor: Floats = np.where(reynolds <= 2000.0, 64.0 / reynolds, np.where(reynolds < 4000.0, dunlop, swamee_jain))
    return factor


class EngineDarcyWeisbach:
    """The engine's friction law, for the service's solver."""

    def __init__(self, drawing: Drawing) -> None:
        """Fix the pipes."""
        self._drawing = drawing
        area = np.pi / 4 * drawing.bore**2
        self._reynolds_per_flow = drawing.bore / (area * VISCOSITY)
        self._per_square = drawing.length / drawing.bore / (2 * GRAVITY * area**2)
        self._local = drawing.local / (2 * 9.80665 * area**2)

    def loss(self, flow: Floats) -> tuple[Floats, Floats]:
        """Head loss [m] and its derivative by flow [s/m²], the derivative by differences."""
        step = 1e-6 * np.abs(flow) + 1e-15
        return self._loss(flow), (self._loss(flow + step) - self._loss(flow - step)) / (2 * step)

    def _loss(self, flow: Floats) -> Floats:
        size = np.abs(flow)
        reynolds = np.maximum(size * self._reynolds_per_flow, 1e-9)
        factor = engine_factor(reynolds, self._drawing.roughness / self._drawing.bore)
        loss: Floats = (factor * self._per_square + self._local) * size * flow
        return loss
