"""Supply pressures at which a zone begins to work, to need a regulator, and to break something."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from service.hydraulics.arrays import Bools, Floats
from service.hydraulics.devices import NO_LOSS
from service.parts.catalogue import catalogue_in_use
from service.parts.models import Regulator
from service.schemas.answers import Threshold, Thresholds
from service.schemas.devices import HeadRegulator
from service.units.sentence import Measured, Sentence
from service.zones.assembly import Assembly, loss_curve
from service.zones.criteria import RULE_OF_THUMB_PRESSURE, Limits
from service.zones.crossings import (
    Crossing,
    EveryOutletFed,
    SomethingOverloaded,
    Target,
    find_crossings,
    flows_at,
)
from service.zones.pipework import Pipework, pressure_rating
from service.zones.solved import Solved
from service.zones.state import State


@dataclass(frozen=True, slots=True)
class OutletBands:
    """Working pressures of each outlet group. (g,) [Pa]"""

    minimum: Floats
    maximum: Floats
    stated: Bools  # whether the part states them

    @classmethod
    def of(cls, pipework: Pipework) -> OutletBands:
        """The bands of a zone's outlets."""
        kinds = pipework.plan.kinds
        low, high = (
            np.array([kind.emitter.pressure_range[end] for kind in kinds])[pipework.outlet_kind] for end in (0, 1)
        )
        stated = np.array([kind.emitter.range_stated for kind in kinds])[pipework.outlet_kind]
        return cls(low, high, stated)


@dataclass(frozen=True, slots=True)
class SetPressure:
    """A regulator of the catalogue that suits the zone, and the zone behind it while it holds."""

    part: Regulator
    state: State
    margin_below: float  # of the outlets, above what they need [Pa]
    margin_above: float  # below the first overload [Pa]


@dataclass(frozen=True, slots=True)
class SupplyThresholds:
    """The thresholds of a zone with one regulator, and what they rest on."""

    fed: Crossing | None  # zone inlet from which every outlet is fed
    overloaded: Crossing | None  # zone inlet above which a stated maximum is passed
    tolerates: tuple[float, float] | None  # zone-inlet pressures that suit, assumed maxima counted [Pa]
    suits: tuple[SetPressure, ...]
    suggested: SetPressure | None
    own: Thresholds  # with the head's regulator, or the suggested one where it has none
    at_suggestion: Thresholds  # with the suggested one
    own_suits: bool  # whether the head's regulator suits some supply
    missing: tuple[Sentence, ...]  # why a threshold is left out


def find_thresholds(solved: Solved, limits: Limits) -> SupplyThresholds:
    """Every threshold of a zone, each found on the model to well below 0.05 psi."""
    pipework, assembly = solved.pipework, solved.assembly
    bands = OutletBands.of(pipework)
    bare = assembly.without_regulators()
    stated_maximum = np.where(bands.stated, bands.maximum, np.inf)
    stated = SomethingOverloaded(pipework, bare, stated_maximum)
    either = SomethingOverloaded(pipework, bare, bands.maximum)
    targets: list[Target] = [EveryOutletFed(pipework, bands.minimum, bands.stated), stated, either]
    wanted = [True, stated.limited, not bands.stated.all()]
    found = iter(find_crossings(pipework, [t for t, w in zip(targets, wanted, strict=True) if w], solved.without))
    fed, overloaded, assumed = (next(found) if want else None for want in wanted)
    top = min((crossing.pressure for crossing in (overloaded, assumed) if crossing is not None), default=np.inf)
    tolerates = (max(fed.pressure, 0.0), top) if fed is not None and fed.pressure < top else None
    suits = _suiting(solved, tolerates)
    suggested = _suggest(suits, limits)
    common = _Thresholds(solved, fed, overloaded)
    at_suggestion = common.with_regulator(*_with_suggestion(solved, suggested))
    own = at_suggestion
    own_suits = True
    if assembly.regulator is not None:
        own = common.with_regulator(assembly, solved.held)
        over = overloaded is not None and solved.held_clean is not None
        too_high = over and solved.held_clean.inlet_pressure > overloaded.pressure  # type: ignore[union-attr]
        own_suits = own.works_with_regulator is not None and not too_high
    return SupplyThresholds(
        fed=fed,
        overloaded=overloaded,
        tolerates=tolerates,
        suits=suits,
        suggested=suggested,
        own=own,
        at_suggestion=at_suggestion,
        own_suits=own_suits,
        missing=tuple(_missing(own, solved, fed, suggested)),
    )


@dataclass(frozen=True, slots=True)
class _Thresholds:
    """What does not depend on the regulator, from which each set of thresholds is made."""

    solved: Solved
    fed: Crossing | None
    overloaded: Crossing | None

    def with_regulator(self, assembly: Assembly | None, held: State | None) -> Thresholds:
        """The thresholds with a regulator that, while it holds, leaves the zone in a state."""
        fed, bare = self.fed, self.solved.assembly.without_regulators()
        works = holds = None
        if assembly is not None and held is not None and fed is not None:
            works = _threshold(assembly.needed(fed.pressure, fed.flow, clean=False), fed.decided_by)
            holding = assembly.needed(held.inlet_pressure, held.flow, clean=False, held=True)
            if works is not None and holding is not None:
                regulator = Sentence("regulator holding {set}", {"set": _pressure(_set_pressure(assembly))})
                decided = [regulator] if holding >= works.pressure else works.decided_by
                holds = Threshold(pressure=max(holding, works.pressure), decided_by=decided)
        over = self.overloaded
        return Thresholds(
            lowest_without_regulator=fed
            and _threshold(bare.needed(fed.pressure, fed.flow, clean=False), fed.decided_by),
            works_with_regulator=works,
            lowest_with_regulator=holds,
            highest_without_regulator=over
            and _threshold(bare.needed(over.pressure, over.flow, clean=True), over.decided_by),
            highest_shut_off=_shut_off(self.solved),
            common_practice=Threshold(
                pressure=RULE_OF_THUMB_PRESSURE, decided_by=[Sentence("rule of thumb: common practice, no source", {})]
            ),
        )


def _threshold(pressure: float | None, decided_by: tuple[Sentence, ...] | list[Sentence]) -> Threshold | None:
    return None if pressure is None else Threshold(pressure=max(pressure, 0.0), decided_by=list(decided_by))


def _set_pressure(assembly: Assembly) -> float:
    place = assembly.regulator
    return np.inf if place is None else assembly.stages[place].set_pressure


def _shut_off(solved: Solved) -> Threshold | None:
    """Source pressure at which a device or an outlet-free run stands at its rating with the flow shut off beyond it."""
    assembly, pipework = solved.assembly, solved.pipework
    found: list[tuple[float, Sentence]] = [
        (stage.rating + assembly.lift, Sentence(stage.name, {}))
        for stage in assembly.stages
        if np.isfinite(stage.rating) and not stage.regulates
    ]
    plan = pipework.plan
    for number, instance in enumerate(plan.instances):
        run = plan.runs[instance.run]
        rating = pressure_rating(run.pipe, pipework.water.temperature)
        if run.outlet_count == 0 and np.isfinite(rating):
            depth = float(pipework.network.elevation[pipework.nodes_of(number)].min()) * pipework.water.specific_weight
            found.append((rating + assembly.lift + depth, Sentence("pipe of {run}", {"run": instance.address})))
    if not found:
        return None
    least = min(pressure for pressure, _ in found)
    return Threshold(pressure=least, decided_by=[name for pressure, name in found if pressure <= least + 1.0][:20])


def _suiting(solved: Solved, tolerates: tuple[float, float] | None) -> tuple[SetPressure, ...]:
    """Regulators of the catalogue whose set pressure and flow range suit the zone."""
    if tolerates is None:
        return ()
    low, high = tolerates
    parts = [part for part in catalogue_in_use().parts("regulator") if isinstance(part, Regulator)]
    settings = sorted({part.set_pressure for part in parts if low <= part.set_pressure <= high})
    if not settings:
        return ()
    solution = flows_at(solved.pipework, np.array(settings), solved.without)
    states = {setting: State(solved.pipework, solution, row) for row, setting in enumerate(settings)}
    return tuple(
        SetPressure(part, states[part.set_pressure], part.set_pressure - low, high - part.set_pressure)
        for part in parts
        if part.set_pressure in states and _flow_suits(part, states[part.set_pressure].flow)
    )


def _flow_suits(part: Regulator, flow: float) -> bool:
    return part.flow_range is None or part.flow_range[0] <= flow <= part.flow_range[1]


def _suggest(suits: tuple[SetPressure, ...], limits: Limits) -> SetPressure | None:
    """The lowest set pressure that leaves the margin at both ends, else the one that stands most nearly between them.

    A lower set pressure holds on a weaker supply, wets more slowly and is kinder to barbed joints.
    """
    if not suits:
        return None
    roomy = [one for one in suits if min(one.margin_below, one.margin_above) >= limits.pressure_margin]
    if roomy:
        return min(roomy, key=lambda one: one.part.set_pressure)
    return max(suits, key=lambda one: min(one.margin_below, one.margin_above))


def _with_suggestion(solved: Solved, suggested: SetPressure | None) -> tuple[Assembly | None, State | None]:
    if suggested is None:
        return None, None
    part = suggested.part
    regulator = HeadRegulator(device="regulator", set_pressure=part.set_pressure)
    loss = NO_LOSS if part.loss is None else loss_curve(part.loss)
    return solved.assembly.without_regulators().with_last(regulator, loss), suggested.state


def _missing(own: Thresholds, solved: Solved, fed: Crossing | None, suggested: SetPressure | None) -> list[Sentence]:
    """Why some thresholds are left out."""
    reasons = []
    regulator = solved.assembly.regulator
    if fed is None:
        reasons.append(
            Sentence("No supply pressure gives every outlet its minimum: friction grows faster than flow.", {})
        )
    elif regulator is not None and own.works_with_regulator is None:
        reasons.append(
            Sentence(
                "Behind a regulator set at {set} no supply pressure gives every outlet its minimum: the zone "
                "inlet needs "
                "{needs}.",
                {"set": _pressure(_set_pressure(solved.assembly)), "needs": _pressure(fed.pressure)},
            )
        )
    elif regulator is None and suggested is None:
        reasons.append(Sentence("No regulator of the catalogue suits both the pressure and the flow of this zone.", {}))
    if own.highest_without_regulator is None:
        reasons.append(Sentence("No part states a greatest pressure, so there is no highest supply pressure.", {}))
    low, high = own.lowest_without_regulator, own.highest_without_regulator
    if low is not None and high is not None and high.pressure < low.pressure:
        reasons.append(
            Sentence(
                "Without a regulator no supply pressure works: the outlets need {low}, but above {high} a part "
                "sees more "
                "than its maximum.",
                {"low": _pressure(low.pressure), "high": _pressure(high.pressure)},
            )
        )
    return reasons


def _pressure(value: float) -> Measured:
    return Measured(value, "pressure")
