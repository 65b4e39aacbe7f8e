"""What the outlets get over a ladder of supply pressures, with and without a regulator."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from service import __version__
from service.hydraulics.arrays import Floats
from service.hydraulics.solve import Start, solve
from service.schemas.drawn import ResponseRows, SupplyResponse
from service.schemas.head_answers import Thresholds
from service.schemas.zone import Zone
from service.units.dimensions import System, labels
from service.zones.assembly import Assembly, Scenario, behind
from service.zones.check import reading
from service.zones.criteria import RULE_OF_THUMB_PRESSURE, limits_of
from service.zones.instances import Limits
from service.zones.outlet_bands import OutletBands
from service.zones.pipework import Pipework
from service.zones.solved import STACKED_NODES, Solved, solve_zone
from service.zones.state import State
from service.zones.thresholds import SupplyThresholds, find_thresholds
from service.zones.trace import band

RUNGS = 33
"""Supply pressures of a ladder. [-]"""

FEWEST_RUNGS = 9

EARLY = 0.4
"""Rungs below the first threshold, over those of even steps. [-]"""

MOST_NODES = 1_000_000
"""Nodes times rungs that one ladder solves; beyond it the rungs are fewer. [-]"""

HEADROOM = 1.12
"""How far beyond the last pressure of interest a ladder goes. [-]"""

REACH = 3.0
"""Thresholds beyond this many times the pressure of interest are told but not drawn. [-]"""


def supply_response(zone: Zone, size: Limits | None = None) -> SupplyResponse:
    """Lowest and highest outlet pressure and the flow of a zone, from no supply pressure to beyond its thresholds.

    As for the thresholds, the pressure of the source is varied and its drop with flow kept.

    Raises
    ------
    ZoneFaults : what is wrong with the zone as a whole
    NotConverged : no accepted answer
    """
    solved = solve_zone(zone, size or Limits())
    found = find_thresholds(solved, limits_of(zone.options.criteria))
    regulated = _regulated(solved, found)
    without = solved.assembly.without_regulators()
    assemblies = [without, *([] if regulated is None else [regulated])]
    ladders = ladder(solved.pipework, assemblies, _rungs(solved, found.own))
    lowest = int(np.argmin(solved.due.outlet_pressure))
    return SupplyResponse(
        name=zone.name or "zone",
        units=labels(zone.units or System.US),
        version=__version__,
        supply_pressure=solved.assembly.no_flow,
        flow=solved.due.flow,
        lowest_outlet=reading(solved.due, lowest),
        band=band(solved.pipework, lowest) if _alike(OutletBands.of(solved.pipework)) else None,
        set_pressure=None if regulated is None else min(stage.set_pressure for stage in regulated.stages),
        suggested=solved.assembly.regulator is None and regulated is not None,
        thresholds=found.own,
        without_regulator=ladders[0],
        with_regulator=ladders[1] if len(ladders) > 1 else None,
    )


def ladder(pipework: Pipework, assemblies: Sequence[Assembly], pressures: Floats) -> list[ResponseRows]:
    """Each assembly on sources of these no-flow pressures (s,) [Pa], all in one stack."""
    curves = [
        (number, clean)
        for number, assembly in enumerate(assemblies)
        for clean in (False, True)
        if not clean or _soils(assembly)
    ]
    scenarios = [
        replace(assemblies[number], no_flow=pressure).curve(clean=clean)
        for pressure in pressures.tolist()
        for number, clean in curves
    ]
    extremes = np.array(_extremes(pipework, scenarios)).reshape(len(pressures), len(curves), 3)
    found = {curve: extremes[:, place].T for place, curve in enumerate(curves)}
    rows = []
    for number in range(len(assemblies)):
        flow, lowest, _ = found[number, False]
        highest = found.get((number, True), found[number, False])[2]
        rows.append(
            ResponseRows(supply_pressure=pressures, flow=flow, lowest_pressure=lowest, highest_pressure=highest)
        )
    return rows


def _extremes(pipework: Pipework, scenarios: Sequence[Scenario]) -> list[tuple[float, float, float]]:
    """Flow [m³/s], lowest and highest outlet pressure [Pa] of each scenario; those of about one supply side by side."""
    together = max(STACKED_NODES // pipework.network.nodes, 1)
    found: list[tuple[float, float, float]] = []
    start = None
    for first in range(0, len(scenarios), together):
        part = scenarios[first : first + together]
        source = behind(part, pipework.water)
        solution = solve(pipework.network, source, scenarios=len(part), start=start)
        # What is too large for one stack goes on from the rung before, which is nearer than rest.
        start = Start(*(values[-1:].repeat(together, axis=0) for values in (solution.head, solution.flow)))
        for row in range(len(part)):
            state = State(pipework, solution, row)
            pressure: Floats = state.outlet_pressure
            found.append((state.flow, float(pressure.min()), float(pressure.max())))
    return found


def _regulated(solved: Solved, found: SupplyThresholds) -> Assembly | None:
    """The assembly with its own regulator, or with the suggested one where it has none."""
    if solved.assembly.regulator is not None:
        return solved.assembly
    return None if found.suggested is None else solved.assembly.with_last(found.suggested.device)


def _rungs(solved: Solved, thresholds: Thresholds) -> Floats:
    """No-flow pressures from none to beyond those of interest, and those where curves bend. [Pa]

    Steps are even, but below the first threshold, where flow goes by about the root of pressure, they begin small
    at the supply that lifts water to the zone inlet.
    """
    supply = solved.assembly.no_flow
    starts = (thresholds.lowest_without_regulator, thresholds.works_with_regulator)
    enough = [start.pressure for start in starts if start is not None]
    near = max(supply, *enough, 0.0) or RULE_OF_THUMB_PRESSURE
    told = (getattr(thresholds, name) for name in Thresholds.model_fields)
    drawn = [supply, *(each.pressure for each in told if each is not None and each.pressure <= REACH * near)]
    count = int(np.clip(MOST_NODES // solved.pipework.network.nodes, FEWEST_RUNGS, RUNGS))
    top = HEADROOM * (max(drawn) or near)
    first = min(pressure for pressure in (top, *enough) if pressure > 0.0)
    begins = float(np.clip(solved.assembly.lift, 0.0, first))
    early = begins + (first - begins) * np.linspace(0.0, 1.0, round(EARLY * count)) ** 2
    rungs: Floats = np.union1d(np.linspace(0.0, top, count), np.concatenate((early, drawn)))
    return rungs


def _soils(assembly: Assembly) -> bool:
    return any(stage.clean is not stage.dirty for stage in assembly.stages)


def _alike(bands: OutletBands) -> bool:
    return bool(np.ptp(bands.minimum) == 0.0 and np.ptp(bands.maximum) == 0.0)
