"""How places of a zone are called in answers."""

from __future__ import annotations

import numpy as np

from service.hydraulics.arrays import Floats
from service.units.sentence import Measured, Sentence
from service.zones.pipework import Pipework


def outlet_place(pipework: Pipework, group: int) -> Sentence:
    """An outlet by its run and its distance along it."""
    run, at = int(pipework.outlet_run[group]), float(pipework.outlet_at[group])
    return Sentence("outlet at {at} of {run}", {"at": Measured(at, "length"), "run": pipework.address(run)})


def outlet_heights(pipework: Pipework) -> Floats:
    """How high outlets stand above the zone inlet, those on tubes at the end of theirs. (g,) [m]"""
    outlets = pipework.network.outlets
    heights: Floats = pipework.network.elevation[outlets.node]
    if outlets.tubes is not None:
        heights[outlets.tubes.outlet] += outlets.tubes.rise
    return heights


def node_run(pipework: Pipework, node: int) -> tuple[int, float]:
    """A run that a node lies on and the distance along it, the first that names it."""
    slot = int(np.flatnonzero(pipework.node == node)[0])
    run = int(np.searchsorted(pipework.node_start, slot, side="right")) - 1
    return run, float(pipework.node_at[slot])
