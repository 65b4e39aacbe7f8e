"""One fault of each kind that a zone can have, for the page that explains the kind."""

from service.takeoff.faults import JobTooLarge, NoPrices, TooDear
from service.units.dimensions import FOOT
from service.units.sentence import Measured, Sentence
from service.zones.faults import (
    CopiesTooDeep,
    CopiesWithoutPlace,
    DuplicateRun,
    LoopHeights,
    LoopOntoItself,
    LoopPastEnd,
    LoopUnclear,
    NoOutlets,
    OutletPastEnd,
    RunCircle,
    RunPastParent,
    TooManyOutlets,
    TooManyRuns,
    UnknownRun,
    ZoneFault,
)

FAULT_EXAMPLES: tuple[ZoneFault, ...] = (
    UnknownRun(("runs", 2, "from"), name="heder", nearest=["header"]),
    DuplicateRun(("runs", 3), name="row"),
    RunCircle(("runs", 1), circle=["header", "row"]),
    RunPastParent(("runs", 2), first=0.0, last=15 * FOOT, length=12 * FOOT, fitting=5),
    CopiesWithoutPlace(("runs", 2)),
    CopiesTooDeep(("runs", 7), characters=186, limit=150),
    OutletPastEnd(
        ("runs", 2, "outlets", 1, "at"),
        at=42 * FOOT,
        length=40 * FOOT,
        accepted=Sentence("above 0 to {length}", {"length": Measured(40 * FOOT, "length")}),
    ),
    LoopOntoItself(("runs", 2)),
    LoopUnclear(("runs", 3), target="row", source="drain", several=["row:1", "row:2", "row:3"]),
    LoopPastEnd(("runs", 3), at=24 * FOOT, length=21 * FOOT, alone=True),
    LoopHeights(("runs", 3), source="row:1", end=3 * FOOT, target="drain", height=1 * FOOT),
    NoOutlets(("runs",)),
    TooManyRuns(("runs", 2), count=2400, largest=2390, limit=2000),
    TooManyOutlets(("runs", 2), count=160_000, largest=160_000, limit=100_000),
    NoPrices("labour"),
    TooDear(limit="10,000,000,000,000 USD"),
    JobTooLarge(("zones", 140), what="runs, copies counted", count=201_520, limit=200_000),
)
