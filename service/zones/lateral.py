"""One lateral from a given inlet pressure: a zone without a head, on a supply that never sags."""

from __future__ import annotations

from collections.abc import Sequence

from service import __version__
from service.schemas.answers import LateralAnswer
from service.schemas.lateral import Lateral
from service.schemas.query import Assumption
from service.schemas.supply import Supply
from service.schemas.water import Water
from service.schemas.zone import Zone
from service.units.dimensions import System, labels
from service.zones.assumed import filled_in, of_lateral
from service.zones.check import critical, method, reading
from service.zones.criteria import Limits as Criteria
from service.zones.findings.case import Case
from service.zones.findings.judge import LATERAL_RULES, judge
from service.zones.instances import Limits
from service.zones.outlet_bands import OutletBands
from service.zones.runs import profile, run_answers
from service.zones.solved import Solved, solve_zone
from service.zones.state import first_least


def profile_lateral(lateral: Lateral, size: Limits | None = None, filled: Sequence[Assumption] = ()) -> LateralAnswer:
    """Pressure, flow, velocity and loss along one lateral; `filled` is what its query left open.

    Raises
    ------
    ZoneFaults : no outlets, outlets beyond the end, too many of them
    NotConverged : no accepted answer
    """
    solved = solve_lateral(lateral, size or Limits())
    bands = OutletBands.of(solved.pipework)
    state, pipework = solved.due, solved.pipework
    case = Case(solved, bands, Criteria())
    (run,) = run_answers(state, profiles=False)
    return LateralAnswer(
        name=lateral.run.name or lateral.run.id,
        units=labels(lateral.units or System.US),
        version=__version__,
        method=method(state, friction=lateral.options.friction, filter_state="none"),
        assumed=[
            *filled_in(filled),
            *of_lateral(lateral.water, pipework, lateral.run, lateral.options.friction),
        ],
        inlet_pressure=lateral.inlet_pressure,
        flow=state.flow,
        end_of_line_pressure=run.end_pressure,
        friction_loss=run.friction_loss,
        elevation_change=run.elevation_change,
        velocity=run.velocity,
        volume=run.volume,
        lowest_outlet=reading(state, first_least(state.outlet_pressure)),
        highest_outlet=reading(state, first_least(-state.outlet_pressure)),
        critical_outlet=critical(state, bands, case.critical),
        uniformity=case.uniformity,
        findings=judge(case, LATERAL_RULES),
        profile=profile(state, 0),
    )


def solve_lateral(lateral: Lateral, size: Limits) -> Solved:
    """The lateral solved, its faults told at its run."""
    return solve_zone(_as_zone(lateral), size, where=lambda _run: ("run",))


def _as_zone(lateral: Lateral) -> Zone:
    """The zone that a lateral is, its parts validated already."""
    return Zone(
        supply=Supply(static_pressure=lateral.inlet_pressure),
        water=Water(temperature=lateral.water.temperature),
        runs=(lateral.run.as_run(),),
        options={"friction": lateral.options.friction},
    )
