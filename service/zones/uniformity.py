"""How evenly the outlets of each kind water."""

from __future__ import annotations

import numpy as np

from service.hydraulics.arrays import Floats
from service.parts.models import Emitter
from service.schemas.answers import KindUniformity, Uniformity
from service.zones.criteria import STATISTICAL_CLASSES
from service.zones.kinds import Kind
from service.zones.state import State

LOW_QUARTER = 1.27
"""Mean of the lowest quarter of a normal distribution, in standard deviations below its mean. [-] Keller & Karmeli
1974; exactly 1.2711."""


def flow_variation(flow: Floats) -> float:
    """(qmax - qmin) / qmax of outlet flows. [-] Nothing flowing anywhere varies by all of it."""
    most = float(flow.max())
    return 1.0 - float(flow.min()) / most if most > 0 else 1.0


def uniformity(state: State) -> Uniformity:
    """Uniformity of each kind of outlet, in the order of the zone's `emitter_kinds`, and of the worst."""
    kinds = [_of_kind(state, kind) for kind in state.pipework.emitter_kinds]
    worst = max(kinds, key=lambda kind: kind.flow_variation)
    return Uniformity(**{name: getattr(worst, name) for name in KindUniformity.model_fields}, by_kind=kinds)


def _of_kind(state: State, kind: Kind) -> KindUniformity:
    """Figures of one kind, each outlet counted once.

    Emission uniformity after Keller & Karmeli (1974), EU = 100 (1 - 1.27 Cv / √n) qmin / qavg with n outlets a place;
    statistical uniformity after Bralts, 100 (1 - V) with the manufacturing variation joined to the hydraulic one;
    Christiansen's coefficient (1942), 100 (1 - mean deviation / mean); low-quarter distribution uniformity.
    """
    flow = state.outlet_flow[kind.groups]
    count = state.pipework.network.outlets.count[kind.groups]
    emitter = kind.emitter
    mean = float(np.average(flow, weights=count))
    figures = dict.fromkeys(("emission", "statistical", "christiansen", "low_quarter"), 0.0)
    if mean > 0.0:
        made = emitter.variation or 0.0
        as_made = evenness_as_made(emitter, float(count.min()))
        hydraulic = float(np.sqrt(np.average(np.square(flow - mean), weights=count))) / mean
        figures = {
            "emission": as_made * _share(float(flow.min()), mean),
            "statistical": 1.0 - float(np.hypot(hydraulic, made)),
            "christiansen": 1.0 - float(np.average(np.abs(flow - mean), weights=count)) / mean,
            "low_quarter": _share(low_quarter(flow, count), mean),
        }
    return KindUniformity(
        kind=kind.name,
        count=int(count.sum()),
        flow_variation=100 * flow_variation(flow),
        emission_uniformity=100 * figures["emission"],
        statistical_uniformity=100 * figures["statistical"],
        christiansen=100 * figures["christiansen"],
        low_quarter=100 * figures["low_quarter"],
        hydraulic_only=emitter.variation is None,
        class_=_class(figures["statistical"]),
    )


def evenness_as_made(emitter: Emitter, together: float) -> float:
    """Emission uniformity of so many outlets to a plant, all under the same pressure. [-]"""
    return 1.0 - LOW_QUARTER * (emitter.variation or 0.0) / float(np.sqrt(together))


def _share(low: float, mean: float) -> float:
    """A low flow over the mean, which equal flows pass by a last digit of rounding. [-]"""
    return min(low / mean, 1.0)


def _class(statistical: float) -> str:
    return next((word for least, word in STATISTICAL_CLASSES if statistical >= least), "unacceptable")


def low_quarter(flow: Floats, count: Floats) -> float:
    """Mean flow of the quarter of all outlets that gives least. [m³/s]"""
    order = np.argsort(flow)
    taken = np.clip(0.25 * count.sum() - np.cumsum(count[order]) + count[order], 0.0, count[order])
    return float(taken @ flow[order] / taken.sum())
