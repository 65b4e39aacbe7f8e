"""How fast a kind of outlet waters the ground it stands for."""

from __future__ import annotations

import numpy as np

from service.schemas.outlets import EvenOutlets
from service.schemas.runs import Run
from service.zones.kinds import Kind
from service.zones.pipework import Pipework


def watered_area(pipework: Pipework, kind: Kind) -> float | None:
    """Ground that the outlets of a kind water; None where it is unknown for any of them. [m²]"""
    plan = pipework.plan
    instances, places = np.unique(pipework.outlet_run[kind.groups], return_counts=True)
    areas = [_area_of_a_place(plan.run(instance)) for instance in instances.tolist()]
    known = [area for area in areas if area is not None]
    return float(np.dot(known, places)) if len(known) == len(areas) else None


def _area_of_a_place(run: Run) -> float | None:
    """Spacing along the line times the distance from one line to the next: known where both are even. [m²]"""
    if run.copies is None or run.copies.count == 1 or not isinstance(run.outlets, EvenOutlets):
        return None
    return run.outlets.spacing * run.copies.apart or None
