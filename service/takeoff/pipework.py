"""Pipe, tubing and fittings of a zone, counted from its runs."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Sequence
from functools import cache

from service.parts.item import Item
from service.parts.listed import KINDS_WITH_STAKES, dripline_item, pipe_item
from service.parts.sundry import sundry
from service.schemas.outlets import EvenOutlets, OutletKind
from service.schemas.runs import Run
from service.schemas.slopes import ROUNDING
from service.schemas.takeoff_allowances import Allowances
from service.takeoff.joints import count_joints
from service.takeoff.loops import loops
from service.takeoff.meetings import End, Meeting, Part, hanging, joint, meeting
from service.takeoff.tally import Inside, Tally
from service.takeoff.ways import EndToEnd, Way, adapter, fitting, thread, way_of
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
    dead = Counter(
        ways[instance.run]
        for number, instance in enumerate(plan.instances)
        if place_of(plan.runs[instance.run].length) not in junctions.along(number)
    )
    dead += _count_hanging(met, tally)
    _count_loops(plan, junctions, met, allowances, tally)
    for each, times in Counter(map(meeting, met.values())).items():
        _count_meeting(each, times, tally)
    for way, times in dead.items():
        _count_dead_ends(way, times, allowances, tally)


def is_dripline(run: Run, kind: OutletKind) -> bool:
    """Whether the outlets of a run come inside its tubing: spaced evenly, one by one, and made for it."""
    inside = kind.emitter.line_source or (kind.emitter.id is None and run.pipe.kind == "dripline")
    return inside and isinstance(run.outlets, EvenOutlets) and kind.per_place == 1 and kind.tube is None


def run_item(run: Run) -> Item:
    """The pipe of a run as it is bought."""
    if isinstance(run.outlets, EvenOutlets) and is_dripline(run, run.outlets.kind):
        return dripline_item(run.pipe, run.outlets.emitter, run.outlets.spacing)
    return pipe_item(run.pipe)


def joints_within(length: float, lengths: Sequence[float]) -> int:
    """Joints in a length [m] of what is sold in these lengths [m], at the least."""
    return math.ceil(length / max(lengths) * (1 - ROUNDING)) - 1 if lengths else 0


def hang(tally: Tally, pipe: Way, tube: Way, times: int) -> None:
    """Count what small tubes hang in the wall of a pipe by."""
    if pipe.punched:
        tally.work["hole"] += times
        tally.add(sundry("barbed-connector", tube.size), "hole", times)
    else:
        count_saddles(tally, pipe, "drilled_hole", times)
        tally.add(adapter(TAP, tube), "saddle_tube", times)
        count_joints(tally, tube, times)


def count_saddles(tally: Tally, pipe: Way, rule: str, times: int) -> None:
    """Count saddles on rigid pipe, and the thread of what is screwed into each."""
    tally.add(sundry("outlet-saddle", pipe.size), rule, times)
    count_joints(tally, TAP, times)


def count_tap(tally: Tally, way: Way, rule: str, times: int = 1) -> None:
    """Count taps for a gauge on pipe. A small tube has no room for one."""
    if way.hangs:
        return
    if way.punched:
        tally.add(sundry("pressure-tap-barbed"), rule, times)
        tally.work["hole"] += times
    else:
        count_saddles(tally, way, rule, times)
        tally.add(sundry("pressure-tap", TAP.size), rule, times)


def _count_run(run: Run, way: Way, copies: int, tally: Tally) -> None:
    item = run_item(run)
    inside = item.id != pipe_item(run.pipe).id
    tally.add(item, "emitters_inside" if inside else "along", run.length * copies)
    if run.pipe.id is None:
        tally.described[item.line].add(run.pipe)
    tally.kinds[item.line] = run.pipe.kind
    tally.work[f"{run.pipe.kind}_length"] += run.length * copies
    joined = tally.joined[item.line] = EndToEnd(fitting("coupling", way), way)
    within = joints_within(run.length, run.pipe.lengths) * copies
    tally.within[item.line] += within
    tally.add(joined.coupling, "length_joint", within)
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


def _count_hanging(met: dict[int, list[End]], tally: Tally) -> Counter[Way]:
    """Take small tubes out of the meetings and count what they hang in; the pipes whose ends are left alone there."""
    alone: Counter[Way] = Counter()
    if not any(end.way.hangs for ends in met.values() for end in ends):
        return alone
    for junction, ends in met.items():
        tubes = hanging(meeting(ends))
        if not tubes:
            continue
        rest = meeting(end for end in ends if end not in tubes)
        pipe = next(end.way for end in rest if end.part is not Part.FED_BY)
        for tube, times in Counter(end.way for end in tubes).items():
            hang(tally, pipe, tube, times)
        met[junction] = list(rest)
        if rest[0].part is Part.ENDS and len(rest) == 1:
            alone[pipe] += 1
    return alone


def _count_loops(
    plan: Plan, junctions: Junctions, met: dict[int, list[End]], allowances: Allowances, tally: Tally
) -> None:
    flush, relief = sundry("flush-valve", RELIEF.size), sundry("air-relief-valve", RELIEF.size)
    for loop in loops(plan, junctions, lambda junction: sum(end.count for end in met[junction])):
        valves = [(loop.lowest, flush, "loop_flush"), *((spot, relief, "loop_air") for spot in loop.aired)]
        for spot, valve, rule in valves:
            tally.add(valve, rule)
            if spot.within is not None:
                instance, at = spot.within
                run = plan.instances[instance].run
                met[spot.junction] = [End(Part.PASSES, way_of(plan.runs[run].pipe))]
                tally.inside[Inside(valve.line, run, at)] += 1
            met[spot.junction].append(End(Part.HANGS, RELIEF))
        tally.work["end"] += 1
        if allowances.pressure_taps == "ends":
            count_tap(tally, met[loop.lowest.junction][0].way, "end_tap")


def _count_meeting(met: Meeting, times: int, tally: Tally) -> None:
    made = joint(met)
    for item, rule in made.pieces:
        tally.add(item, rule, times)
    for way in made.ends:
        count_joints(tally, way, times)


def _count_dead_ends(way: Way, times: int, allowances: Allowances, tally: Tally) -> None:
    tally.add(fitting("flush-cap", way), "line_end", times)
    count_joints(tally, way, times)
    tally.work["end"] += times
    if allowances.pressure_taps == "ends":
        count_tap(tally, way, "end_tap", times)
