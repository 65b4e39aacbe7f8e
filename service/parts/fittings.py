"""Fittings of a run, by what they lose."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True, slots=True)
class Fitting:
    """A fitting and its loss coefficient K: head lost over velocity head, h = K v²/2g."""

    name: str
    k: float
    source: str


_EPANET = "EPANET 2 user manual, minor loss coefficients for selected fittings"
_CRANE = "Crane Technical Paper 410, K = 3 f_T with f_T 0.025 at three quarters of an inch, from memory"
_PERRY = "additional frictional loss of fittings as in Perry's Chemical Engineers' Handbook, read in a public table"

FITTINGS: Mapping[str, Fitting] = MappingProxyType(
    {
        "elbow_90": Fitting("90° elbow", 0.9, _EPANET),
        "elbow_90_long": Fitting("90° elbow, long radius", 0.6, _EPANET),
        "elbow_45": Fitting("45° elbow", 0.4, _EPANET),
        "tee_run": Fitting("tee, straight through", 0.6, _EPANET),
        "tee_branch": Fitting("tee, into or out of the branch", 1.8, _EPANET),
        "coupling": Fitting("coupling", 0.04, _PERRY),
        "union": Fitting("union", 0.04, _PERRY),
        "reducer": Fitting("abrupt reducer, taken as a square entrance", 0.5, _EPANET),
        "return_bend": Fitting("close return bend", 2.2, _EPANET),
        "ball_valve": Fitting("ball valve, open", 0.075, _CRANE),
        "gate_valve": Fitting("gate valve, open", 0.2, _EPANET),
        "globe_valve": Fitting("globe valve, open", 10.0, _EPANET),
        "angle_valve": Fitting("angle valve, open", 5.0, _EPANET),
        "check_valve": Fitting("swing check valve, open", 2.5, _EPANET),
        "entrance": Fitting("square entrance from a tank", 0.5, _EPANET),
    }
)
"""Loss coefficients by the name a run uses. Handbooks differ by a factor of two for threaded half-inch fittings."""


def local_coefficient(fittings: Mapping[str, int]) -> float:
    """Sum of the K of some fittings, by how many there are of each. [-]"""
    return sum(FITTINGS[name].k * count for name, count in fittings.items())
