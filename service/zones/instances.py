"""Runs with their copies made out: which pipes a zone has, where each starts, and where loops close.

Everything about the zone as a graph is checked here, and all its faults are told at once. Counts are known before
anything is laid out, so that a short body cannot ask for a large answer.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from service.schemas.outlets import OutletKind, OutletPlaces
from service.schemas.runs import ClosesTo, Run
from service.schemas.slopes import ROUNDING
from service.units.dimensions import FOOT
from service.zones.faults import (
    CopiesTooDeep,
    LoopHeights,
    LoopUnclear,
    NoOutlets,
    TooManyOutlets,
    TooManyRuns,
    Where,
    ZoneFault,
    ZoneFaults,
)
from service.zones.kinship import Kinship
from service.zones.room import closing, closing_apart, leaving, standing

Floats = NDArray[np.float64]

HEIGHT_TOLERANCE = 0.1 * FOOT
"""How far heights may differ where a loop closes. [m] Common practice, no source: what a hand level resolves."""

LONGEST_ADDRESS = 150
"""Characters of the address of a run. [-] Answers name runs by it in short texts."""

Path = tuple[tuple[int, int], ...]
"""The copied runs on the way to an instance and itself if copied, each with the number of its copy."""


@dataclass(frozen=True, slots=True)
class Limits:
    """How large a zone may be."""

    run_instances: int = 2000
    outlets: int = 100_000


@dataclass(frozen=True, slots=True)
class RunInstance:
    """One pipe of the zone."""

    address: str
    run: int  # index into the runs of the plan
    parent: int | None  # instance it leaves from; None at the zone inlet
    from_at: float  # where along the parent; 0 at the inlet [m]
    start_elevation: float  # above the zone inlet [m]
    closes_to: tuple[int, float] | None  # instance that its far end joins, and where along it [m]


@dataclass(frozen=True, slots=True)
class Plan:
    """All pipes of a zone, parents before children, the instances of one run side by side."""

    runs: tuple[Run, ...]
    instances: tuple[RunInstance, ...]
    instances_of: tuple[range, ...]  # by run: indices of its instances
    places: tuple[OutletPlaces, ...]  # by run: where its outlets stand, kinds numbered as in `kinds`
    kinds: tuple[OutletKind, ...]  # every kind of outlet in the zone, once

    def run(self, instance: int) -> Run:
        """The run that an instance is one of."""
        return self.runs[self.instances[instance].run]

    def first_address(self, run: int) -> str:
        """Address of the first instance of a run, which stands for all where they do not differ."""
        return self.instances[self.instances_of[run].start].address

    def elevation(self, instance: int, at: Floats | float) -> Floats:
        """Height above the zone inlet of places along an instance. (n,) [m]"""
        return self.instances[instance].start_elevation + self.run(instance).height(at)


def in_zone(run: int) -> Where:
    """Path of a run in the body of a zone."""
    return ("runs", run)


def expand(runs: Sequence[Run], limits: Limits = Limits(), where: Callable[[int], Where] = in_zone) -> Plan:
    """Every pipe that these runs stand for; `where` is the path of a run in the caller's body.

    Raises
    ------
    ZoneFaults : everything that is wrong with the runs as a whole.
    """
    kin = Kinship.of(runs, where)
    misplaced = {run: list(_misplaced(kin, run)) for run in range(len(runs))}
    too_large = [*_too_large(kin, limits), *_too_deep(kin)]
    found = [*kin.faults, *(fault for faults in misplaced.values() for fault in faults), *too_large]
    if all(run.outlets is None for run in runs):
        found.append(NoOutlets(where(0)[:1]))
    if too_large:
        raise ZoneFaults(found)
    layout = _Layout(kin)
    layout.run_pipes()
    misled = {run for run, faults in misplaced.items() if faults}
    found += layout.close_loops(sound=lambda run: misled.isdisjoint(kin.ancestry(run)))
    if found:
        raise ZoneFaults(found)
    places = [run.outlet_places() for run in runs]
    kinds = tuple(dict.fromkeys(kind for along in places for kind in along.kinds))
    return Plan(
        runs=tuple(runs),
        instances=tuple(layout.instances),
        instances_of=tuple(layout.instances_of[run] for run in range(len(runs))),
        places=tuple(_numbered(along, kinds) for along in places),
        kinds=kinds,
    )


def _misplaced(kin: Kinship, index: int) -> Iterator[ZoneFault]:
    run, where = kin.runs[index], kin.where(index)
    parent = kin.parent[index]
    if parent is not None:
        yield from leaving(where, run, kin.runs[parent])
    if run.closes_to is not None and run.closes_to.run in kin.by_id:
        yield from closing(where, run, run.closes_to, kin.runs[kin.by_id[run.closes_to.run]])
    yield from standing(where, run)


def _too_large(kin: Kinship, limits: Limits) -> Iterator[ZoneFault]:
    kinds = (
        (TooManyRuns, limits.run_instances, dict(kin.count)),
        (TooManyOutlets, limits.outlets, {run: kin.runs[run].outlet_count * kin.count[run] for run in kin.order}),
    )
    for fault, limit, counts in kinds:
        count = sum(counts.values())
        if count > limit:
            most = max(counts, key=counts.__getitem__)
            yield fault(kin.where(most), count=count, largest=counts[most], limit=limit)


def _too_deep(kin: Kinship) -> Iterator[ZoneFault]:
    for run in kin.order:
        length = kin.address_length(run)
        if length > LONGEST_ADDRESS:
            yield CopiesTooDeep(kin.where(run), characters=length, limit=LONGEST_ADDRESS)
            return  # all runs beyond it are too deep as well


def _numbered(along: OutletPlaces, kinds: tuple[OutletKind, ...]) -> OutletPlaces:
    """The places of one run with the kinds numbered as in `kinds`."""
    number = {kind: index for index, kind in enumerate(kinds)}
    kind = np.array([number[kind] for kind in along.kinds], dtype=np.intp)[along.kind]
    return OutletPlaces(along.at, kind, kinds)


class _Layout:
    """The instances of the runs that are reached, and which of them close to which."""

    def __init__(self, kin: Kinship) -> None:
        self.kin = kin
        self.instances: list[RunInstance] = []
        self.instances_of: dict[int, range] = {}
        self._paths: list[Path] = []  # by instance

    def run_pipes(self) -> None:
        """Set out every instance, parents before children."""
        for run in self.kin.order:
            parent, start = self.kin.parent[run], len(self.instances)
            for up in [None] if parent is None else self.instances_of[parent]:
                for copy in range(1, self.kin.runs[run].count + 1):
                    self._run_pipe(run, up, copy)
            self.instances_of[run] = range(start, len(self.instances))

    def _run_pipe(self, index: int, up: int | None, copy: int) -> None:
        run = self.kin.runs[index]
        path: Path = () if up is None else self._paths[up]
        before = [f"{self.kin.runs[above].id}:{number}" for above, number in path]
        at = elevation = 0.0
        if up is not None:
            parent = self.kin.runs[self.instances[up].run]
            at = parent.length if run.from_at is None else run.from_at
            at = min(at + (copy - 1) * (run.copies.apart if run.copies else 0.0), parent.length)
            elevation = self.instances[up].start_elevation + float(parent.height(at))
        own = run.id if run.copies is None else f"{run.id}:{copy}"
        self.instances.append(RunInstance("/".join([*before, own]), index, up, at, elevation, closes_to=None))
        self._paths.append(path if run.copies is None else (*path, (index, copy)))

    def close_loops(self, sound: Callable[[int], bool]) -> Iterator[ZoneFault]:
        """Join far ends to other instances; yields what keeps them from joining.

        Heights are compared where all that leads to both pipes is `sound`: a place beyond a pipe has no height.
        """
        for run in self.kin.order:
            closes_to, target = self.kin.runs[run].closes_to, self.kin.target(run)
            if closes_to is None or target is None or target == run:
                continue
            joins = self._joins(run, closes_to, target)
            if isinstance(joins, ZoneFault):
                yield joins
                continue
            for source, join in joins.items():
                self.instances[source] = replace(self.instances[source], closes_to=join)
            if sound(run) and sound(target):
                yield from self._unmet(run, joins)

    def _joins(self, run: int, closes_to: ClosesTo, target: int) -> dict[int, tuple[int, float]] | ZoneFault:
        """What each instance of a run joins, and where: of several, the one that shares most of its address."""
        sharing: dict[Path, list[int]] = defaultdict(list)
        for other in self.instances_of[target]:
            for shared in range(len(self._paths[other]) + 1):
                sharing[self._paths[other][:shared]].append(other)
        joins = {}
        for number, source in enumerate(self.instances_of[run]):
            path = self._paths[source]
            near = next(sharing[path[:n]] for n in range(len(path), -1, -1) if path[:n] in sharing)
            if len(near) > 1:
                several = [self.instances[other].address for other in near]
                address = self.instances[source].address
                return LoopUnclear(self.kin.where(run), target=closes_to.run, source=address, several=several)
            copy = number % self.kin.runs[run].count
            at = closes_to.at + copy * closing_apart(self.kin.runs[run])
            joins[source] = near[0], min(max(at, 0.0), self.kin.runs[target].length)
        return joins

    def _unmet(self, run: int, joins: dict[int, tuple[int, float]]) -> Iterator[ZoneFault]:
        """The worst difference in height between the far ends of a run's instances and what they join."""
        gaps = []
        for source, (target, at) in joins.items():
            one, other = self.instances[source], self.instances[target]
            end = one.start_elevation + self.kin.runs[run].climb
            height = other.start_elevation + float(self.kin.runs[other.run].height(at))
            gaps.append((abs(end - height), end, height, one.address, other.address))
        gap, end, height, source_address, target_address = max(gaps)
        if gap > HEIGHT_TOLERANCE * (1 + ROUNDING):
            yield LoopHeights(self.kin.where(run), source=source_address, end=end, target=target_address, height=height)
