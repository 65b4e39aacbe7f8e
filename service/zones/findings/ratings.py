"""Rules about what parts bear: pressure in use with a clean filter, and with the flow shut off beyond them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from service.schemas.answers import Finding
from service.units.sentence import Sentence
from service.zones.criteria import DERATING_SOURCE, PART_DATA
from service.zones.findings.case import Case, length, pressure, say
from service.zones.overload import PipesAndOutlets, overload_at_set_pressure
from service.zones.places import outlet_place
from service.zones.thresholds import set_pressure

ROUNDING = 0.5
"""Excess that is rounding. [Pa]"""


@dataclass(frozen=True, slots=True)
class _Stress:
    """What a part sees and what it stands. [Pa]"""

    part: Sentence | str
    working: float
    still: float  # with the flow shut off; what lets water out never stands so
    rating: float

    def findings(self, where: str, code: str, source: str) -> Iterator[Finding]:
        """One finding: in use if it is too much then already, else shut off."""
        seen, when = self.working, "in use"
        if self.working <= self.rating + ROUNDING:
            seen, code, when = self.still, "shut-off-pressure-high", "with the flow shut off"
        if seen <= self.rating + ROUNDING:
            return
        yield say(
            code,
            where,
            "The {part} sees {value} {when}, above its rating of {limit}. "
            "Regulate ahead of it or use one of a higher rating.",
            {"part": self.part, "value": pressure(seen), "when": when, "limit": pressure(self.rating)},
            value=pressure(seen),
            limit=pressure(self.rating),
            source=source,
        )


def devices_within_rating(case: Case) -> Iterator[Finding]:
    """No device of the head, and neither meter nor service line, sees more than its rating."""
    assembly = case.solved.assembly
    for part in assembly.parts:
        stress = _Stress(part.name, 0.0, part.rating + assembly.no_flow - part.most, part.rating)
        yield from stress.findings(part.name, "device-pressure-high", PART_DATA)
    working = assembly.pressures(case.solved.clean.flow, clean=True)
    still = assembly.shut_off_pressures()
    for stage, in_use, shut_off in zip(assembly.stages, working, still, strict=False):
        stress = _Stress(Sentence("{name}", {"name": stage.name}), in_use, shut_off, stage.rating)
        yield from stress.findings(stage.name, "device-pressure-high", PART_DATA)


def pipes_within_rating(case: Case) -> Iterator[Finding]:
    """No pipe sees more than its rating when the water is warmest. One finding a run, its worst place."""
    pipework = case.solved.pipework
    plan = pipework.plan
    working = case.solved.clean.node_pressure
    inlet = case.solved.assembly.shut_off_pressures()[-1]
    still = inlet - pipework.network.elevation * pipework.water.specific_weight
    for number, run in enumerate(plan.runs):
        rating = pipework.rating(run.pipe)
        if not np.isfinite(rating):
            continue
        instances = plan.instances_of[number]
        nodes = pipework.node[pipework.node_start[instances.start] : pipework.node_start[instances.stop]]
        shut_off = still[nodes] if run.outlet_count == 0 else np.zeros(len(nodes))
        in_use = working[nodes]
        worst = int(np.argmax(in_use if in_use.max() > rating + ROUNDING else shut_off))
        at = int(nodes[worst])
        slot = pipework.node_start[instances.start] + worst
        instance = int(np.searchsorted(pipework.node_start, slot, side="right")) - 1
        name = Sentence("pipe at {at}", {"at": length(float(pipework.node_at[slot]))})
        stress = _Stress(name, float(working[at]), float(shut_off[worst]), rating)
        yield from stress.findings(pipework.address(instance), "pipe-pressure-high", DERATING_SOURCE)


def tubes_within_rating(case: Case) -> Iterator[Finding]:
    """No small tube sees more than its rating; water leaves it, so that it never stands shut off. The worst is told."""
    pipework = case.solved.pipework
    beyond = PipesAndOutlets.of(pipework, case.bands.stated_maximum)
    over = beyond.over(case.solved.clean)[2]
    worst = int(np.argmax(over))
    rating = float(beyond.tube_rating[worst])
    if not np.isfinite(rating):
        return
    name = Sentence("small tube of the {outlet}", {"outlet": outlet_place(pipework, worst)})
    stress = _Stress(name, rating + float(over[worst]), 0.0, rating)
    where = pipework.address(int(pipework.outlet_run[worst]))
    yield from stress.findings(where, "pipe-pressure-high", DERATING_SOURCE)


def regulator_set_low_enough(case: Case) -> Iterator[Finding]:
    """The head's regulator, holding, keeps everything beyond it within its stated maximum."""
    assembly, place = case.solved.assembly, case.solved.assembly.regulator
    beyond = PipesAndOutlets.of(case.solved.pipework, case.bands.stated_maximum)
    worst = overload_at_set_pressure(assembly, case.solved.held_clean, beyond)
    if worst is None or place is None:
        return
    yield say(
        "regulator-set-high",
        assembly.stages[place].name,
        "The {where} is set at {value}, and while it holds the {part} sees {over} more than it bears. Take one set "
        "lower.",
        {"value": pressure(set_pressure(assembly)), "part": worst.part, "over": pressure(worst.over)},
        value=pressure(set_pressure(assembly)),
        source=PART_DATA,
    )
