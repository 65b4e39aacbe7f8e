"""Solving drawings for the properties, and how exact a comparison of two solutions can be."""

import numpy as np

from service.hydraulics.solve import FixedHead, Solution, Source, solve
from tests.networks import Drawing, Supply

HEAD = 2e-6
"""Heads are accepted with residuals of 1e-7 m in each link; what is compared here has some tens of links. [m]"""


def solved(drawing: Drawing, supply: Supply | Source) -> Solution:
    """The solution behind a supply."""
    source = supply.source() if isinstance(supply, Supply) else supply
    return solve(drawing.network(), source)


def fixed(head: float) -> FixedHead:
    """A fixed head at the inlet."""
    return FixedHead(np.array([head]))


def sharpness(drawing: Drawing, solution: Solution) -> float:
    """By how much outflows may differ for a difference of `HEAD`: the sum of the slopes of their laws. [m³/s]"""
    return HEAD * float(solution.discharge.slope[0].sum()) + 1e-9 * float(
        sum(kind.flow * kind.count for kind in drawing.kinds)
    )
