"""Zones of a flower plot to ask about: one that works, in parts that a test may exchange."""

from __future__ import annotations

from typing import Any

from service.schemas.answers import CheckAnswer
from service.schemas.zone import Zone
from service.units.dimensions import System, from_si
from service.zones.check import check

Json = dict[str, Any]

TESTED = {"static_pressure": 64, "flow_test": {"flow": 8, "residual_pressure": 51}}
PREVENTER = {"device": "backflow_preventer", "kind": "reduced_pressure", "height": 1, "loss": {"fixed": 8}}
VALVE = {"device": "valve", "loss": {"cv": 9}, "flow_range": [0.25, 12]}
FILTER = {"device": "filter", "mesh": 200, "loss": {"point": {"flow": 8, "loss": 4}}, "dirty_allowance": 3}
REGULATOR = {
    "device": "regulator",
    "set_pressure": 25,
    "flow_range": [0.5, 12],
    "loss": {"point": {"flow": 7, "loss": 5}},
}
HEAD = [PREVENTER, VALVE, FILTER, REGULATOR]

STEADY = {"flow": 1, "pressure_range": [8, 50], "variation": 0.03, "passage": 0.05, "connection_length": 0.3}
"""A compensating emitter that states all it can."""

LOOSE = {"flow": 1, "at_pressure": 20, "exponent": 0.5, "pressure_range": [8, 50], "variation": 0.03, "passage": 0.05}
"""One whose flow follows the pressure."""


def bed(**changed: Any) -> Json:
    """A lateral of rigid pipe, so that nothing is to be said of tubing."""
    return {
        "id": "bed",
        "pipe": "pvc-sch40-0.75in",
        "length": 60,
        "outlets": {"emitter": STEADY, "spacing": 2},
        **changed,
    }


def outlets(emitter: Any, spacing: float = 2, **more: Any) -> Json:
    return {"emitter": emitter, "spacing": spacing, **more}


def plot(*runs: Json, supply: Any = None, head: Any = None, water: Any = None, **options: Any) -> Json:
    """A zone that works, with nothing at all to find, but for what the caller exchanges."""
    return {
        "units": "us",
        "water": water or {"source": "municipal", "temperature": 68},
        "supply": supply or TESTED,
        "head": HEAD if head is None else head,
        "runs": list(runs) or [bed()],
        "options": options,
    }


def ask(zone: Json) -> CheckAnswer:
    return check(Zone.model_validate(zone))


def psi(pressure: float) -> float:
    return from_si(pressure, "pressure", System.US)


def feet(length: float) -> float:
    return from_si(length, "length", System.US)


def gpm(flow: float) -> float:
    return from_si(flow, "flow", System.US)


def gph(flow: float) -> float:
    return from_si(flow, "outlet_flow", System.US)
