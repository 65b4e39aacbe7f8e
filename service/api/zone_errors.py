"""Faults of a zone as a whole, in the words and units of whoever sent it."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import Protocol

from service.api.pointers import pointer
from service.api.problems import FieldError, Refusal
from service.units.dimensions import System
from service.zones.faults import Where, ZoneFault, ZoneFaults

Locate = Callable[[ZoneFault], str]


class ShortForm(Protocol):
    """A query that stands for a body, and knows which of its parameters a field of the body came from."""

    @property
    def units(self) -> System:
        """The caller's units."""

    def parameter_at(self, where: Where) -> str:
        """The parameter to mend for a fault at this place in the body."""


def refusal_of_zone(
    faults: Sequence[ZoneFault], system: System, place: Locate = lambda fault: fault.pointer
) -> Refusal:
    """The refusal that lists every fault; of their own type where all are of one kind."""
    errors = [
        FieldError(pointer=place(fault), detail=fault.detail.said(system), accepted=fault.accepted.said(system))
        for fault in faults
    ]
    kinds = {fault.slug for fault in faults}
    slug = kinds.pop() if len(kinds) == 1 else "zone-faults"
    detail = errors[0].detail if len(errors) == 1 else f"The zone has {len(errors)} faults."
    return Refusal(slug, detail, errors=errors)


@contextmanager
def told_at_parameters(query: ShortForm) -> Iterator[None]:
    """Faults of the body that a query stands for, told at the parameters that a caller would mend."""
    try:
        yield
    except ZoneFaults as refused:

        def place(fault: ZoneFault) -> str:
            return pointer("query", [query.parameter_at(fault.where)])

        raise refusal_of_zone(refused.faults, query.units, place) from None
