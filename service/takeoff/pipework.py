"""Pipe, tubing and fittings of a zone, counted from its runs."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from functools import cache

from service.parts.item import Item
from service.parts.listed import KINDS_WITH_STAKES, dripline_item, pipe_item
from service.parts.models import Pipe
from service.parts.sundry import sundry
from service.schemas.outlets import EvenOutlets, OutletKind
from service.schemas.runs import Run
from service.schemas.slopes import ROUNDING
from service.schemas.takeoff_allowances import Allowances
from service.takeoff.loops import SLOPED, loops
from service.takeoff.meetings import End, Meeting, Part, joint, meeting
from service.takeoff.tally import Tally
from service.takeoff.ways import Way, fitting, thread, way_of
from service.zones.instances import Plan
from service.zones.junctions import Junctions, place_of

TAP = thread("0.25in")
RELIEF = thread("0.5in")

LISTED = {
    "elbow_90": "elbow", "elbow_90_long": "long-elbow", "elbow_45": "elbow-45", "return_bend": "return-bend",
    "union": "union", "ball_valve": "ball-valve", "gate_valve": "gate-valve", "globe_valve": "globe-valve",
    "angle_valve": "angle-valve", "check_valve": "check-valve",
}  # fmt: skip
"""Fittings that a run lists and the takeoff takes over. Tees, couplings and reducers are losses there: the runs
themselves tell where those stand."""


def count_pipework(plan: Plan, *, head: Way, allowances: Allowances, tally: Tally) -> None:
    """Count all pipes of a zone and what joins and closes them; `head` is how the head ends."""
    ways = [way_of(run.pipe) for run in plan.runs]
    for index, run in enumerate(plan.runs):
        copies = len(plan.instances_of[index])
        _count_run(run, ways[index], copies, tally)
        _count_stakes(run, copies, allowances, tally)
    junctions = Junctions(plan)
    met = _ends(plan, junctions, ways)
    met[0].append(End(Part.FED_BY, head))
    _count_loops(plan, junctions, met, allowances, tally)
    for each, times in Counter(map(meeting, met.values())).items():
        _count_meeting(each, times, tally)
    _count_dead_ends(plan, junctions, ways, allowances, tally)


def is_dripline(run: Run, kind: OutletKind) -> bool:
    """Whether the outlets of a run come inside its tubing: spaced evenly, one by one, and made for it."""
    inside = kind.emitter.line_source or (kind.emitter.id is None and run.pipe.kind == "dripline")
    return inside and isinstance(run.outlets, EvenOutlets) and kind.per_place == 1 and kind.tube is None


def run_item(run: Run) -> Item:
    """The pipe of a run as it is bought."""
    if isinstance(run.outlets, EvenOutlets) and is_dripline(run, run.outlets.kind):
        return dripline_item(run.pipe, run.outlets.emitter, run.outlets.spacing)
    return pipe_item(run.pipe)


def joints_within(length: float, pipe: Pipe) -> int:
    """Joints between the lengths that a run [m] is made of, at the least."""
    return math.ceil(length / max(pipe.lengths) * (1 - ROUNDING)) - 1 if pipe.lengths else 0


def count_joints(tally: Tally, way: Way, times: int) -> None:
    """Count the ends of fittings in a way of joining, and the clamps on them."""
    tally.joints[way.joining] += times
    tally.work["joint"] += times
    if way.clamped:
        tally.add(sundry("clamp", way.size), "insert_clamp", times)


def count_tap(tally: Tally, way: Way, rule: str, times: int = 1) -> None:
    """Count taps for a gauge on pipe."""
    if way.punched:
        tally.add(sundry("pressure-tap-barbed"), rule, times)
        tally.work["hole"] += times
    else:
        tally.add(sundry("outlet-saddle", way.size), rule, times)
        tally.add(sundry("pressure-tap", TAP.size), rule, times)
        count_joints(tally, TAP, times)


def _count_run(run: Run, way: Way, copies: int, tally: Tally) -> None:
    item = run_item(run)
    inside = item.id != pipe_item(run.pipe).id
    tally.add(item, "emitters_inside" if inside else "along", run.length * copies)
    tally.kinds[item.id] = run.pipe.kind
    tally.couplings[item.id] = fitting("coupling", way)
    tally.work[f"{run.pipe.kind}_length"] += run.length * copies
    within = joints_within(run.length, run.pipe) * copies
    tally.within[item.id] += within
    tally.add(fitting("coupling", way), "length_joint", within)
    count_joints(tally, way, 2 * within)
    for name, number in run.fittings.items():
        if name in LISTED:
            tally.add(fitting(LISTED[name], way), "listed", number * copies)
            count_joints(tally, way, 2 * number * copies)


def _count_stakes(run: Run, copies: int, allowances: Allowances, tally: Tally) -> None:
    if run.pipe.kind not in KINDS_WITH_STAKES:
        return
    spacing = allowances.stake_spacing(run.pipe.kind)
    if spacing:
        each = math.floor(run.length / spacing * (1 + ROUNDING)) + 1
        tally.add(
            sundry("tubing-stake", way_of(run.pipe).size),
            "tubing_stake" if run.pipe.kind == "tubing" else "dripline_stake",
            each * copies,
        )
        tally.work["stake"] += each * copies


def _ends(plan: Plan, junctions: Junctions, ways: list[Way]) -> defaultdict[int, list[End]]:
    """The pipes that meet at each junction."""

    @cache
    def end(part: Part, run: int) -> End:
        copies = plan.runs[run].copies
        aside = part is Part.JOINS or (part is Part.LEAVES and copies is not None and copies.apart > 0)
        return End(part, ways[run], aside=aside)

    met: defaultdict[int, list[End]] = defaultdict(list)
    for number, instance in enumerate(plan.instances):
        run = instance.run
        met[junctions.start(instance)].append(end(Part.LEAVES, run))
        last = place_of(plan.runs[run].length)
        far = Part.JOINS if instance.closes_to is not None else Part.ENDS
        for place, junction in junctions.along(number).items():
            met[junction].append(end(far if place == last else Part.PASSES, run))
    return met


def _count_loops(
    plan: Plan, junctions: Junctions, met: dict[int, list[End]], allowances: Allowances, tally: Tally
) -> None:
    for loop in loops(plan, junctions, lambda junction: sum(end.count for end in met[junction])):
        pipe = met[loop.lowest][0].way
        tally.add(sundry("flush-valve", RELIEF.size), "loop_flush")
        met[loop.lowest].append(End(Part.HANGS, RELIEF))
        tally.work["end"] += 1
        if allowances.pressure_taps == "ends":
            count_tap(tally, pipe, "end_tap")
        if loop.climb > SLOPED:
            tally.add(sundry("air-relief-valve", RELIEF.size), "loop_air")
            met[loop.highest].append(End(Part.HANGS, RELIEF))


def _count_meeting(met: Meeting, times: int, tally: Tally) -> None:
    made = joint(met)
    for item, rule in made.pieces:
        tally.add(item, rule, times)
    for way in made.ends:
        count_joints(tally, way, times)


def _count_dead_ends(plan: Plan, junctions: Junctions, ways: list[Way], allowances: Allowances, tally: Tally) -> None:
    dead = Counter(
        instance.run
        for number, instance in enumerate(plan.instances)
        if place_of(plan.runs[instance.run].length) not in junctions.along(number)
    )
    for run, times in dead.items():
        tally.add(fitting("flush-cap", ways[run]), "line_end", times)
        count_joints(tally, ways[run], times)
        tally.work["end"] += times
        if allowances.pressure_taps == "ends":
            count_tap(tally, ways[run], "end_tap", times)
