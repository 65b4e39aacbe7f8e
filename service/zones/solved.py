"""A zone solved in every hydraulic state that the check speaks of, all in one stack."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property

from service.hydraulics.solve import solve
from service.schemas.zone import Zone
from service.zones.assembly import Assembly, Scenario, assemble, behind
from service.zones.criteria import limits_of
from service.zones.faults import Where
from service.zones.flushing import Flushing, flush
from service.zones.instances import Limits, expand, in_zone
from service.zones.pipework import Pipework, lay
from service.zones.state import State

STACKED_NODES = 250_000
"""Nodes times scenarios in one stacked solve, to bound memory. [-]"""


@dataclass(frozen=True)
class Solved:
    """A zone and its states."""

    zone: Zone
    pipework: Pipework
    assembly: Assembly
    due: State  # filter due for cleaning
    clean: State
    without: State  # no regulator, filter due; `due` itself where there is none
    held: State | None  # the last regulator holding whatever the supply, filter due
    held_clean: State | None

    @property
    def headline(self) -> State:
        """The state that the headline figures belong to."""
        return self.clean if self.zone.options.filter_state == "clean" else self.due

    @cached_property
    def flushing(self) -> Flushing:
        """How fast the ends of its pipes flush."""
        enough = limits_of(self.zone.options.criteria).flushing_velocity
        return flush(self.assembly.curve(clean=False), self.due, enough=enough)


def solve_zone(zone: Zone, limits: Limits, where: Callable[[int], Where] = in_zone) -> Solved:
    """A zone solved; `where` is the path of a run in the caller's body.

    Raises
    ------
    ZoneFaults : what is wrong with the zone as a whole
    NotConverged : no accepted answer
    """
    plan = expand(zone.runs, limits, where)
    water = zone.water
    pipework = lay(plan, temperature=water.temperature, warmest=water.warmest, friction=zone.options.friction)
    assembly = assemble(zone, pipework.water)
    scenarios = {"due": assembly.curve(clean=False)}
    soils = any(stage.clean is not stage.dirty for stage in assembly.stages)
    if soils:
        scenarios["clean"] = assembly.curve(clean=True)
    if assembly.regulator is not None:
        scenarios["without"] = assembly.without_regulators().curve(clean=False)
        scenarios["held"] = assembly.beyond_regulator(clean=False)
        if any(stage.clean is not stage.dirty for stage in assembly.stages[assembly.regulator :]):
            scenarios["held_clean"] = assembly.beyond_regulator(clean=True)
    by_name = dict(zip(scenarios, _solve_scenarios(pipework, list(scenarios.values())), strict=True))
    held = by_name.get("held")
    return Solved(
        zone=zone,
        pipework=pipework,
        assembly=assembly,
        due=by_name["due"],
        clean=by_name.get("clean", by_name["due"]),
        without=by_name.get("without", by_name["due"]),
        held=held,
        held_clean=by_name.get("held_clean", held),
    )


def _solve_scenarios(pipework: Pipework, scenarios: Sequence[Scenario]) -> list[State]:
    """The state of each scenario."""
    source = behind(scenarios, pipework.water)
    solution = solve(pipework.network, source, scenarios=len(scenarios))
    return [State(pipework, solution, row) for row in range(len(scenarios))]
