"""Wire, trench and sleeves of a zone."""

from __future__ import annotations

from collections.abc import Sequence

from service.parts.sundry import sundry
from service.parts.trade_sizes import thread_for
from service.schemas.runs import Run
from service.schemas.takeoff import Installation
from service.takeoff.pipework import joints_within
from service.takeoff.tally import Tally
from service.takeoff.ways import EndToEnd

CONDUCTORS = 2
SPLICES = 2
"""Wires from a valve to the controller, and splices where they meet those of the valve. Common practice, no source."""


def count_site(installation: Installation, runs: Sequence[Run], wired: float | None, tally: Tally) -> None:
    """Count what the installation of a zone states; its valves are `wired` over that way to the controller [m]."""
    if wired is not None:
        _count_wire(wired, round(tally.work["valve"]), tally)
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
    within = joints_within(distance, wire.packages) * CONDUCTORS * valves
    tally.add(splice, "wire_joint", within)
    tally.joined[wire.line] = EndToEnd(splice)
    tally.within[wire.line] += within
