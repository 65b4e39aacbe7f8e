"""The whole check of a zone: solved, judged and advised."""

from __future__ import annotations

from collections.abc import Sequence

from service import __version__
from service.schemas.answers import (
    CheckAnswer,
    CriticalOutlet,
    Method,
    OutletReading,
    WaterUsed,
)
from service.schemas.query import Assumption
from service.schemas.zone import Zone
from service.units.dimensions import System, labels
from service.zones.assumed import assumed, filled_in
from service.zones.budget import loss_budget
from service.zones.cautions import cautions
from service.zones.criteria import limits_of
from service.zones.filtration import filter_block
from service.zones.findings.case import Case
from service.zones.findings.judge import judge, verdict
from service.zones.instances import Limits
from service.zones.outlet_bands import OutletBands
from service.zones.regulator import regulator_block
from service.zones.runs import ends_of_line, run_answers
from service.zones.solved import solve_zone
from service.zones.state import State, first_least
from service.zones.supply_left import supply_block
from service.zones.thresholds import find_thresholds


def check(zone: Zone, size: Limits | None = None, filled: Sequence[Assumption] = ()) -> CheckAnswer:
    """Whether the zone works, and why; `filled` is what a query for it left open.

    Raises
    ------
    ZoneFaults : what is wrong with the zone as a whole
    NotConverged : no accepted answer
    """
    solved = solve_zone(zone, size or Limits())
    limits = limits_of(zone.options.criteria)
    thresholds = find_thresholds(solved, limits)
    bands = OutletBands.of(solved.pipework)
    case = Case(solved, bands, limits)
    state, detail = solved.headline, zone.options.detail
    findings = judge(case)
    ends = ends_of_line(state)
    return CheckAnswer(
        name=zone.name or "zone",
        units=labels(zone.units or System.US),
        version=__version__,
        method=method(state, friction=zone.options.friction, filter_state=zone.options.filter_state),
        assumed=[*filled_in(filled), *assumed(solved, thresholds)],
        verdict=verdict(findings),
        flow=state.flow,
        zone_inlet_pressure=state.inlet_pressure,
        end_of_line_pressure=min((end.pressure for end in ends), default=None),
        lowest_outlet=reading(state, first_least(state.outlet_pressure)),
        highest_outlet=reading(state, first_least(-state.outlet_pressure)),
        critical_outlet=critical(state, bands, case.critical),
        end_of_line=ends,
        uniformity=case.uniformity,
        loss_budget=loss_budget(
            solved.assembly, state, clean=zone.options.filter_state == "clean", group=case.critical
        ),
        runs=None if detail == "summary" else run_answers(state, profiles=detail == "outlets"),
        supply=supply_block(solved, thresholds, limits),
        regulator=regulator_block(solved, thresholds, limits),
        filter=filter_block(case.filtering),
        findings=findings,
        cautions=cautions(case, findings),
    )


def method(state: State, *, friction: str, filter_state: str) -> Method:
    """How the figures of a state came about."""
    water = state.pipework.water
    return Method(
        friction=friction,
        water=WaterUsed(temperature=water.temperature),
        filter_state=filter_state,
        converged=True,
        iterations=state.solution.steps,
        residual=state.solution.energy_residual * water.specific_weight,
    )


def reading(state: State, group: int) -> OutletReading:
    """Pressure and flow of one outlet."""
    pipework = state.pipework
    return OutletReading(
        run=pipework.address(int(pipework.outlet_run[group])),
        at=float(pipework.outlet_at[group]),
        pressure=float(state.outlet_pressure[group]),
        flow=float(state.outlet_flow[group]),
    )


def critical(state: State, bands: OutletBands, group: int) -> CriticalOutlet:
    """The outlet with the least to spare."""
    minimum = float(bands.minimum[group])
    found = reading(state, group)
    return CriticalOutlet(**found.model_dump(), minimum=minimum, margin=found.pressure - minimum)
