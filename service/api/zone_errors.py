"""Faults of a zone as a whole, in the words and units of whoever sent it."""

from collections.abc import Sequence

from service.api.problems import FieldError, Refusal
from service.units.dimensions import System
from service.zones.faults import ZoneFault


def refusal_of_zone(faults: Sequence[ZoneFault], system: System) -> Refusal:
    """The refusal that lists every fault; of their own type where all are of one kind."""
    errors = [
        FieldError(pointer=fault.pointer, detail=fault.detail.said(system), accepted=fault.accepted.said(system))
        for fault in faults
    ]
    kinds = {fault.slug for fault in faults}
    slug = kinds.pop() if len(kinds) == 1 else "zone-faults"
    detail = errors[0].detail if len(errors) == 1 else f"The zone has {len(errors)} faults."
    return Refusal(slug, detail, errors=errors)
