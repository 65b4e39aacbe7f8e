"""What advice adds to a check of 300 outlets: a ratio within one run."""

import json
import time
from collections.abc import Callable

import pytest

from service.hydraulics.solve import solve
from service.schemas.zone import Zone
from service.zones.assembly import Scenario, assemble, behind
from service.zones.criteria import limits_of
from service.zones.filtering import Filtering
from service.zones.filtration import filter_block
from service.zones.findings.case import Case
from service.zones.findings.judge import judge
from service.zones.instances import Limits, expand
from service.zones.outlet_bands import OutletBands
from service.zones.pipework import Pipework, lay
from service.zones.regulator import regulator_block
from service.zones.runs import run_answers
from service.zones.solved import Solved, solve_zone
from service.zones.state import State
from service.zones.supply_left import supply_block
from service.zones.thresholds import find_thresholds
from tests.edge.processes import ROOT

pytestmark = pytest.mark.speed

MOST = 2.0
"""Time of supply, regulator and filter advice over that of the check without it. [-]"""

ROUNDS = 30


def best(work: Callable[[], object]) -> float:
    """Least time of several rounds: the machine's business is not the code's. [s]"""
    times = []
    for _ in range(ROUNDS):
        begun = time.perf_counter()
        work()
        times.append(time.perf_counter() - begun)
    return min(times)


def without_advice(zone: Zone) -> Solved:
    """The zone laid and solved in the states that a check without advice speaks of."""
    pipework = lay(
        expand(zone.runs, Limits()),
        temperature=zone.water.temperature,
        warmest=zone.water.warmest,
        friction=zone.options.friction,
    )
    assembly = assemble(zone, pipework.water)
    due, clean = states(pipework, [assembly.curve(clean=clean) for clean in (False, True)])
    return Solved(zone, pipework, assembly, due=due, clean=clean, without=due, held=None, held_clean=None)


def for_advice(solved: Solved) -> None:
    """The states solved that advice alone speaks of; in a check they share a stack with the others."""
    assembly = solved.assembly
    if assembly.regulator is not None:
        without = assembly.without_regulators().curve(clean=False)
        states(solved.pipework, [without, *(assembly.beyond_regulator(clean=clean) for clean in (False, True))])


def states(pipework: Pipework, scenarios: list[Scenario]) -> list[State]:
    solution = solve(pipework.network, behind(scenarios, pipework.water), scenarios=len(scenarios))
    return [State(pipework, solution, row) for row in range(len(scenarios))]


@pytest.mark.parametrize("name", ["dahlia-rows", "rose-bank", "drip-grid-on-a-slope"])
def test_advice_costs_at_most_twice_a_check_without_it(name):
    body = json.loads((ROOT / "openapi_examples" / f"{name}.request.json").read_text())
    if name == "dahlia-rows":
        next(run for run in body["runs"] if run["id"] == "row")["length"] = 38  # 304 outlets
    zone = Zone.model_validate(body)
    limits = limits_of(zone.options.criteria)
    solved = solve_zone(zone, Limits())

    def plain() -> None:
        state = without_advice(zone)
        judge(Case(state, OutletBands.of(state.pipework), limits))
        run_answers(state.headline, profiles=False)

    def advice() -> None:
        for_advice(solved)
        thresholds = find_thresholds(solved, limits)
        regulator_block(solved, thresholds, limits)
        supply_block(solved, thresholds, limits)
        filter_block(Filtering.of(solved, limits))

    without, more = best(plain), best(advice)
    print(f"{name}: {1e3 * without:.1f} ms without advice, which adds {1e3 * more:.1f} ms, {more / without:.2f} times")
    assert more <= MOST * without
