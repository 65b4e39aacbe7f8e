"""Wire, trench and sleeves of a zone, and what its joints use up."""

from __future__ import annotations

import math
from collections.abc import Sequence

from service.parts.pipe import Joining
from service.parts.sundry import sundry
from service.parts.trade_sizes import thread_for
from service.schemas.runs import Run
from service.schemas.slopes import ROUNDING
from service.schemas.takeoff import Installation
from service.takeoff.tally import Tally

CONDUCTORS = 2
SPLICES = 2

USED_UP: dict[Joining, tuple[str, ...]] = {
    "solvent_weld": ("solvent-cement", "primer"),
    "threaded": ("thread-tape",),
    "soldered": ("solder-and-flux",),
}
"""What joints use up, by the way of joining."""


def count_site(installation: Installation, runs: Sequence[Run], tally: Tally) -> None:
    """Count what the installation of a zone states."""
    if installation.controller_distance is not None:
        _count_wire(installation.controller_distance, round(tally.work["valve"]), tally)
    if installation.trench_length is not None:
        tally.add(sundry("trench"), "trench", installation.trench_length)
        tally.work["trench_length"] += installation.trench_length
    if installation.sleeve_length is not None:
        widest = max(run.pipe.inside_diameter for run in runs)
        tally.add(sundry("sleeve", thread_for(widest, times=2)), "sleeve", installation.sleeve_length)
        tally.work["sleeve_length"] += installation.sleeve_length


def _count_wire(distance: float, valves: int, tally: Tally) -> None:
    wire, splice = sundry("valve-wire"), sundry("wire-splice")
    tally.add(wire, "wire", CONDUCTORS * valves * distance)
    tally.work["wire_length"] += CONDUCTORS * valves * distance
    tally.add(splice, "valve_splice", SPLICES * valves)
    joints = math.ceil(distance / max(wire.packages) * (1 - ROUNDING)) - 1
    tally.add(splice, "wire_joint", joints * CONDUCTORS * valves)


def count_consumables(tally: Tally) -> None:
    """Count what the joints counted so far use up, in joints."""
    for joining, kinds in USED_UP.items():
        for kind in kinds:
            tally.add(sundry(kind), "joints", tally.joints[joining])
