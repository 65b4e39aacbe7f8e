"""Whether there is room along each run for what is to stand on it, leave from it and close to it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from service.schemas.outlets import EvenOutlets, PlacedOutlets
from service.schemas.runs import ClosesTo, Run, RunCopies
from service.schemas.slopes import ROUNDING
from service.units.sentence import Measured, Sentence
from service.zones.faults import (
    CopiesWithoutPlace,
    LoopOntoItself,
    LoopPastEnd,
    OutletPastEnd,
    RunPastParent,
    Where,
    ZoneFault,
)


def ends_within(place: float, length: float) -> bool:
    """Whether a place [m] lies on a run of this length [m], but for the rounding of units."""
    return -ROUNDING * length <= place <= length * (1 + ROUNDING)


def leaving(where: Where, run: Run, parent: Run) -> Iterator[ZoneFault]:
    """Faults of where a run and its copies leave their parent."""
    if run.from_at is None:
        if run.copies is not None:
            yield CopiesWithoutPlace(where)
        return
    copies = run.copies or RunCopies.model_construct(count=1, apart=0.0)
    last = run.from_at + (copies.count - 1) * copies.apart
    if not ends_within(last, parent.length):
        yield RunPastParent(
            where,
            first=run.from_at,
            last=last,
            length=parent.length,
            fitting=_fitting(run.from_at, copies.apart, parent.length),
        )


def closing(where: Where, run: Run, closes_to: ClosesTo, target: Run) -> Iterator[ZoneFault]:
    """Faults of where the far ends of a run and its copies join the run that they close to."""
    if closes_to.run == run.id:
        yield LoopOntoItself(where)
        return
    last = closes_to.at + (run.count - 1) * closing_apart(run)
    for place in (closes_to.at, last):
        if not ends_within(place, target.length):
            yield LoopPastEnd(where, at=place, length=target.length, alone=run.copies is None)
            return


def closing_apart(run: Run) -> float:
    """Distance along the run that is closed to from one copy's end to the next. [m]"""
    if run.closes_to is not None and run.closes_to.apart is not None:
        return run.closes_to.apart
    return 0.0 if run.copies is None else run.copies.apart


def standing(where: Where, run: Run) -> Iterator[ZoneFault]:
    """Faults of where the outlets of a run stand."""
    if isinstance(run.outlets, EvenOutlets):
        yield from _evenly(where, run.outlets, run.length)
    if isinstance(run.outlets, PlacedOutlets):
        for index, place in enumerate(run.outlets.root):
            if not ends_within(place.at, run.length):
                yield OutletPastEnd(
                    (*where, "outlets", index, "at"), at=place.at, length=run.length, accepted=_up_to(run.length)
                )


def _evenly(where: Where, outlets: EvenOutlets, length: float) -> Iterator[ZoneFault]:
    fitting = outlets.fitting(length)
    if fitting == 0:
        field, most = ("spacing", 2 * length) if outlets.first_at is None else ("first_at", length)
        yield OutletPastEnd((*where, "outlets", field), at=outlets.first, length=length, accepted=_up_to(most))
    elif outlets.places(length) > fitting:
        last = outlets.first + (outlets.places(length) - 1) * outlets.spacing
        fewer = Sentence("at most {fitting} places so far apart", {"fitting": fitting})
        yield OutletPastEnd((*where, "outlets", "count"), at=last, length=length, accepted=fewer)


def _fitting(first: float, apart: float, length: float) -> int:
    """How many places at equal distances lie on a run of this length."""
    if not ends_within(first, length):
        return 0
    return math.floor((length * (1 + ROUNDING) - first) / apart) + 1


def _up_to(length: float) -> Sentence:
    return Sentence("above 0, at most {length}", {"length": Measured(length, "length")})
