"""Which run leaves from which: ids resolved, runs in an order in which parents come first."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from difflib import get_close_matches

from service.schemas.runs import Run
from service.zones.faults import DuplicateRun, RunCircle, UnknownRun, Where, ZoneFault

MOST_LIKENED = 20
"""Unknown ids for which the nearest known ones are looked up. [-] It takes time, and nobody mistypes so many."""

MOST_COUNTED = 10**9
"""Instances at which counting stops. [-] Copies of copies soon have more digits than anyone would read."""


@dataclass(frozen=True, slots=True)
class Kinship:
    """The runs of a zone and how they hang together, as far as they do."""

    runs: Sequence[Run]
    where: Callable[[int], Where]  # path of a run in the caller's body
    by_id: dict[str, int]
    parent: list[int | None]  # by run; None for the zone inlet, and where the id is unknown
    order: list[int]  # runs that are reached from the zone inlet, parents before children
    count: dict[int, int]  # instances of each run that is reached, at most MOST_COUNTED
    before: dict[int, int]  # characters before the address of what leaves from each of those: its copied ancestors
    faults: list[ZoneFault]

    @classmethod
    def of(cls, runs: Sequence[Run], where: Callable[[int], Where]) -> Kinship:
        """Kinship of these runs, with all that keeps some of them from having any."""
        by_id: dict[str, int] = {}
        for index, run in enumerate(runs):
            by_id.setdefault(run.id, index)
        parent = [None if run.from_ is None else by_id.get(run.from_) for run in runs]
        kin = cls(runs, where, by_id, parent, order=[], count={}, before={}, faults=[])
        kin.faults.extend(kin._doubles())
        kin.faults.extend(kin._strangers())
        kin._line_up()
        return kin

    def ancestry(self, run: int) -> Iterator[int]:
        """A run that is reached, its parent, and so on up to the zone inlet."""
        at: int | None = run
        while at is not None:
            yield at
            at = self.parent[at]

    def address_length(self, run: int) -> int:
        """Characters of the longest address of an instance of a run that is reached."""
        return self.before[run] - 1 if self.runs[run].copies is not None else self.before[run] + len(self.runs[run].id)

    def target(self, run: int) -> int | None:
        """The run that a run closes to, if there is one and it is reached."""
        closing = self.runs[run].closes_to
        target = None if closing is None else self.by_id.get(closing.run)
        return target if target in self.count else None

    def _doubles(self) -> Iterator[ZoneFault]:
        for index, run in enumerate(self.runs):
            if self.by_id[run.id] != index:
                yield DuplicateRun(self.where(index), name=run.id)

    def _strangers(self) -> Iterator[ZoneFault]:
        found = 0
        for index, run in enumerate(self.runs):
            named = {("from",): run.from_, ("closes_to", "run"): run.closes_to.run if run.closes_to else None}
            for field, name in named.items():
                if name is not None and name not in self.by_id:
                    found += 1
                    nearest = get_close_matches(name, self.by_id, n=3) if found <= MOST_LIKENED else []
                    yield UnknownRun((*self.where(index), *field), name=name, nearest=nearest)

    def _line_up(self) -> None:
        """Walk up from each run once; a walk that meets itself has found a circle."""
        reached: dict[int, bool] = {}
        for start in range(len(self.runs)):
            walk: list[int] = []
            walked: set[int] = set()
            at: int | None = start
            while at is not None and at not in reached and at not in walked:
                walk.append(at)
                walked.add(at)
                at = self.parent[at]
            if at in walked:
                circle = walk[walk.index(at) :]
                self.faults.append(RunCircle(self.where(circle[0]), circle=[self.runs[run].id for run in circle]))
            for run in reversed(walk):
                parent = self.parent[run]
                reached[run] = self.runs[run].from_ is None if parent is None else reached.get(parent, False)
                if reached[run]:
                    self._settle(run)

    def _settle(self, index: int) -> None:
        """Take a run into the order, its parent being in it already."""
        run, parent = self.runs[index], self.parent[index]
        self.order.append(index)
        self.count[index] = min(run.count * (1 if parent is None else self.count[parent]), MOST_COUNTED)
        own = 0 if run.copies is None else len(f"{run.id}:{run.count}/")
        self.before[index] = own + (0 if parent is None else self.before[parent])
