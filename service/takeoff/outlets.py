"""Outlets of a zone, the holes they are set into, and the small tubes they hang on."""

from __future__ import annotations

import numpy as np

from service.parts.listed import emitter_item, pipe_item
from service.parts.sundry import sundry
from service.schemas.outlets import OutletKind
from service.schemas.runs import Run
from service.schemas.takeoff_allowances import Allowances
from service.takeoff.pipework import is_dripline
from service.takeoff.tally import Tally
from service.takeoff.ways import way_of
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
    tally.add(emitter_item(kind.emitter), "outlet", count)
    pipe = way_of(run.pipe)
    if not pipe.punched:
        tally.add(sundry("outlet-saddle", pipe.size), "drilled_hole", count)
    else:
        tally.work["hole"] += count
        if kind.tube is not None:
            tally.add(sundry("barbed-connector", way_of(kind.tube.pipe).size), "hole", count)
    if kind.tube is not None:
        item = pipe_item(kind.tube.pipe)
        tally.add(item, "small_tube", kind.tube.length * count)
        tally.kinds.setdefault(item.id, "small_tubing")
        tally.work["small_tubing_length"] += kind.tube.length * count
        if allowances.outlet_stakes:
            tally.add(sundry("outlet-stake", way_of(kind.tube.pipe).size), "outlet_stake", count)
            tally.work["stake"] += count
