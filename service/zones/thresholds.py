"""Supply pressures at which a zone begins to work, to need a regulator, and to break something."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from service.schemas.head_answers import Threshold, Thresholds
from service.units.sentence import Measured, Sentence
from service.zones.assembly import Assembly
from service.zones.criteria import GREATEST_SUPPLY, RULE_OF_THUMB_PRESSURE, Limits
from service.zones.crossings import Crossing, EveryOutletFed, NoSuction, Target, find_crossings
from service.zones.outlet_bands import OutletBands
from service.zones.overload import MOST_NAMED, Named, Overload, PipesAndOutlets, WholeZone, overload_at_set_pressure
from service.zones.pipework import Pipework
from service.zones.set_pressures import (
    Suiting,
    Tolerated,
    Unlisted,
    own_regulator,
    suggestion,
    suiting,
    tolerated,
    unlisted,
)
from service.zones.solved import Solved
from service.zones.state import State


@dataclass(frozen=True, slots=True)
class SupplyThresholds:
    """The thresholds of a zone with one regulator, and what they rest on."""

    fed: Crossing | None  # zone inlet from which every outlet is fed
    overloaded: Crossing | None  # zone inlet above which some part's stated maximum is passed, without regulators
    tolerated: Tolerated | None
    suits: tuple[Suiting, ...]
    suggested: Suiting | None
    unlisted: Unlisted | None  # what to ask for, where some set pressure is tolerated and none suggested
    standing: Suiting | None  # the head's regulator, where some set pressure is tolerated
    own: Thresholds  # with the head's regulator, or the suggested one where it has none
    at_suggestion: Thresholds  # with the suggested one
    own_overload: Overload | None  # what the head's regulator, holding, puts most above a stated maximum
    own_lack: Crossing | None  # what it takes to keep air out, where the head's regulator, holding, leaves less

    @property
    def own_suits(self) -> bool:
        """Whether the head's regulator suits some supply; of no use where there is none."""
        return self.own_overload is None and self.own_lack is None and self.own.works_with_regulator is not None

    def deciding(self, assembly: Assembly) -> Thresholds:
        """Those that the advice goes by: the head's own, unless its regulator suits no supply."""
        return self.own if assembly.regulator is None or self.own_suits else self.at_suggestion


def find_thresholds(solved: Solved, limits: Limits) -> SupplyThresholds:
    """Every threshold of a zone, each found on the model to well below 0.05 psi."""
    assembly = solved.assembly
    stated, fed, primed, overloaded, tops = _crossings(solved)
    fed = _within_reach(assembly, fed)
    range_ = tolerated(solved.pipework, fed, primed, tops)
    suits = suiting(solved, range_)
    standing = own_regulator(solved, range_)
    suggested = suggestion(solved, suits, standing, limits)
    common = _Common(solved, fed, overloaded)
    own = None if assembly.regulator is None else common.with_regulator(assembly, solved.held)
    if own is not None and suggested is not None and suggested.own:
        at_suggestion = own
    else:
        at_suggestion = common.with_regulator(*_with_suggestion(solved, suggested))
    return SupplyThresholds(
        fed=fed,
        overloaded=overloaded,
        tolerated=range_,
        suits=suits,
        suggested=suggested,
        unlisted=None if range_ is None or suggested is not None else unlisted(solved, range_),
        standing=standing,
        own=own or at_suggestion,
        at_suggestion=at_suggestion,
        own_overload=overload_at_set_pressure(assembly, solved.held_clean, stated),
        own_lack=primed if primed and solved.held and solved.held.inlet_pressure < primed.pressure else None,
    )


def greatest_supply(assembly: Assembly) -> float:
    """No-flow pressure up to which a lowest one is told: that of any supply, this one included. [Pa]"""
    return max(GREATEST_SUPPLY, assembly.no_flow)


def _within_reach(assembly: Assembly, fed: Crossing | None) -> Crossing | None:
    """Where a zone is fed, None if no supply gets it there."""
    if fed is None:
        return None
    needed = assembly.without_regulators().needed(fed.pressure, fed.flow, clean=False)
    return None if needed is None or needed > greatest_supply(assembly) else fed


def _crossings(
    solved: Solved,
) -> tuple[PipesAndOutlets, Crossing | None, Crossing | None, Crossing | None, list[Crossing | None]]:
    """What a zone stands, and where it is fed, draws no air in, is overloaded without regulators, and so past the head.

    The last is told with assumed maxima counted and, if that differs, without.
    """
    pipework, bare = solved.pipework, solved.assembly.without_regulators()
    bands = OutletBands.of(pipework)
    stated = PipesAndOutlets.of(pipework, bands.stated_maximum)
    either = PipesAndOutlets.of(pipework, bands.maximum)
    whole = WholeZone(stated, bare)
    all_stated, no_ratings = bool(bands.stated.all()), not any(np.isfinite(stage.rating) for stage in bare.stages)
    fed = EveryOutletFed(pipework, bands.minimum, bands.stated)
    wanted: dict[str, Target] = {"fed": fed}
    if NoSuction.wanted(pipework, bands.minimum):
        wanted["primed"] = NoSuction(pipework)
    if whole.limited:
        wanted["whole"] = whole
    if not (all_stated and no_ratings) and either.limited:
        wanted["either"] = either
    if not all_stated and not no_ratings and stated.limited:
        wanted["stated"] = stated
    found = dict(zip(wanted, find_crossings(pipework, list(wanted.values()), solved.without), strict=True))
    overloaded = found.get("whole")
    beyond = overloaded if no_ratings else found.get("stated")
    tops = [overloaded] if all_stated and no_ratings else [found.get("either"), *([] if all_stated else [beyond])]
    return stated, found["fed"], found.get("primed"), overloaded, tops


@dataclass(frozen=True, slots=True)
class _Common:
    """What does not depend on the regulator, from which each set of thresholds is made."""

    solved: Solved
    fed: Crossing | None
    overloaded: Crossing | None

    def with_regulator(self, assembly: Assembly | None, held: State | None) -> Thresholds:
        """The thresholds with a regulator that, while it holds, leaves the zone in a state."""
        fed, over, bare = self.fed, self.overloaded, self.solved.assembly.without_regulators()
        works = holds = None
        if assembly is not None and held is not None and fed is not None:
            works = _threshold(assembly.needed(fed.pressure, fed.flow, clean=False), fed.decided_by)
            holds = None if works is None else _holds(assembly, held, works)
        return Thresholds(
            lowest_without_regulator=fed
            and _threshold(bare.needed(fed.pressure, fed.flow, clean=False), fed.decided_by),
            works_with_regulator=works,
            lowest_with_regulator=holds,
            highest_without_regulator=over
            and _threshold(bare.needed(over.pressure, over.flow, clean=True), over.decided_by),
            highest_shut_off=_shut_off(self.solved.assembly, self.solved.pipework),
            common_practice=Threshold(
                pressure=RULE_OF_THUMB_PRESSURE, decided_by=[Sentence("rule of thumb: common practice, no source")]
            ),
        )


def _threshold(pressure: float | None, decided_by: Sequence[Sentence]) -> Threshold | None:
    return None if pressure is None else Threshold(pressure=max(pressure, 0.0), decided_by=list(decided_by))


def _holds(assembly: Assembly, held: State, works: Threshold) -> Threshold | None:
    """From where the last regulator holds and every outlet is fed."""
    holding = assembly.needed(held.inlet_pressure, held.flow, clean=False, held=True)
    if holding is None:
        return None
    if holding < works.pressure:
        return works
    facts = {"set": Measured(set_pressure(assembly), "pressure")}
    return Threshold(pressure=holding, decided_by=[Sentence("regulator holding {set}", facts)])


def set_pressure(assembly: Assembly) -> float:
    """Set pressure of the last regulator, infinite without one. [Pa]"""
    place = assembly.regulator
    return np.inf if place is None else assembly.stages[place].set_pressure


def _shut_off(assembly: Assembly, pipework: Pipework) -> Threshold | None:
    """No-flow pressure at which something stands at its rating with a valve shut beyond it, the regulators taken out.

    Meter and service line count here alone: running, they never see more.
    """
    weight = pipework.water.specific_weight
    found: Named = [(part.most, Sentence(part.name)) for part in assembly.parts]
    found += [
        (stage.rating + assembly.lift, Sentence("{part}", {"part": stage.name}))
        for stage in assembly.stages
        if np.isfinite(stage.rating) and not stage.regulates
    ]
    found += [
        (rating + assembly.lift + lowest * weight, Sentence("pipe of {run}", {"run": pipework.address(run)}))
        for run, rating, lowest in pipework.dry_runs
    ]
    if not found:
        return None
    least = min(pressure for pressure, _ in found)
    return _threshold(least, [name for pressure, name in found if pressure <= least + 1.0][:MOST_NAMED])


def _with_suggestion(solved: Solved, suggested: Suiting | None) -> tuple[Assembly | None, State | None]:
    if suggested is None:
        return None, None
    return solved.assembly.with_last(suggested.device), suggested.state
