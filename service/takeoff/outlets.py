"""Outlets of a zone, the holes they are set into, and the small tubes they hang on."""

from __future__ import annotations

import numpy as np

from service.parts.listed import emitter_item, pipe_item
from service.parts.sundry import sundry
from service.schemas.outlets import OutletKind, Tube
from service.schemas.runs import Run
from service.schemas.takeoff_allowances import Allowances
from service.takeoff.pipework import count_saddles, hang, is_dripline
from service.takeoff.tally import Tally
from service.takeoff.ways import Way, way_of
from service.zones.instances import Plan


def count_outlets(plan: Plan, allowances: Allowances, tally: Tally) -> None:
    """Count every outlet of a zone that does not come inside its tubing."""
    for index, run in enumerate(plan.runs):
        places = np.bincount(plan.places[index].kind, minlength=len(plan.kinds))
        copies = len(plan.instances_of[index])
        for kind, count in zip(plan.kinds, places.tolist(), strict=True):
            if count:
                _count_kind(run, kind, count * kind.per_place * copies, allowances, tally)


def _count_kind(run: Run, kind: OutletKind, count: int, allowances: Allowances, tally: Tally) -> None:
    tally.work["outlet"] += count
    if is_dripline(run, kind):
        return
    tally.work["set_outlet"] += count
    emitter = emitter_item(kind.emitter)
    tally.add(emitter, "outlet", count)
    if kind.emitter.id is None:
        tally.described[emitter.line].add(kind.emitter)
    pipe = way_of(run.pipe)
    if kind.tube is not None:
        _count_tubes(kind.tube, pipe, count, allowances, tally)
    elif pipe.punched:
        tally.work["hole"] += count
    else:
        count_saddles(tally, pipe, "drilled_hole", count)


def _count_tubes(tube: Tube, pipe: Way, count: int, allowances: Allowances, tally: Tally) -> None:
    """Count the small tubes between a pipe and its outlets."""
    way, item = way_of(tube.pipe), pipe_item(tube.pipe)
    hang(tally, pipe, way, count)
    tally.add(item, "small_tube", tube.length * count)
    if tube.pipe.id is None:
        tally.described[item.line].add(tube.pipe)
    tally.kinds.setdefault(item.line, "small_tubing")
    tally.work["small_tubing_length"] += tube.length * count
    if allowances.outlet_stakes:
        tally.add(sundry("outlet-stake", way.size), "outlet_stake", count)
        tally.work["stake"] += count
