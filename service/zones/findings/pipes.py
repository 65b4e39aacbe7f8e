"""Rules about pipe: speed, flushing, lengths, height, air, drainage."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from service.parts.models import Emitter, Pipe
from service.schemas.answers import Finding
from service.schemas.outlets import EvenOutlets
from service.schemas.runs import Run
from service.units.sentence import Measured, Sentence
from service.zones.criteria import (
    CENTRE_FEED_RATIO,
    COMMON_PRACTICE,
    COMPENSATING_DRIPLINE_LENGTH,
    DRAIN_BACK_SHARE,
    DRIPLINE_SPACING,
    FLUSHING_SOURCE,
    HALF_INCH_BORES,
    PHYSICS,
    RUN_TIME,
    SEPARATE_EMITTER_LENGTH,
    SLACK_WORTH_A_WORD,
    STEEP,
    SURFACE_SLACK,
    VELOCITY_SOURCE,
    WARMING,
    WORTH_A_WORD,
)
from service.zones.findings.case import Case, length, pressure, say
from service.zones.pipework import Pipework
from service.zones.places import outlet_heights, outlet_place


def water_not_too_fast(case: Case) -> Iterator[Finding]:
    """Velocity in every pipe. One finding a run, its fastest copy."""
    state, pipework = case.solved.clean, case.solved.pipework
    fastest = np.maximum.reduceat(state.link_velocity, pipework.link_start[:-1])
    for instances in pipework.plan.instances_of:
        run = instances.start + int(np.argmax(fastest[instances.start : instances.stop]))
        if fastest[run] > case.limits.velocity * (1 + 1e-9):
            yield say(
                "velocity-high",
                pipework.address(run),
                "Water runs at {value} in {where}; keep it under {limit}: use the next size up or divide the flow.",
                {"value": _velocity(fastest[run]), "limit": _velocity(case.limits.velocity)},
                value=_velocity(fastest[run]),
                limit=_velocity(case.limits.velocity),
                source=VELOCITY_SOURCE,
            )


def tubes_not_too_fast(case: Case) -> Iterator[Finding]:
    """Velocity in the small tube of every outlet that has one. One finding a run, its fastest tube."""
    state, pipework = case.solved.clean, case.solved.pipework
    if pipework.network.outlets.tubes is None:
        return
    bores = [np.inf if kind.tube is None else kind.tube.pipe.inside_diameter for kind in pipework.plan.kinds]
    velocity = state.outlet_flow / (np.pi / 4 * np.square(bores)[pipework.outlet_kind])
    for instances in pipework.plan.instances_of:
        first, end = np.searchsorted(pipework.outlet_run, (instances.start, instances.stop)).tolist()
        fastest = first + int(np.argmax(velocity[first:end])) if first < end else None
        if fastest is None or velocity[fastest] <= case.limits.velocity * (1 + 1e-9):
            continue
        yield say(
            "velocity-high",
            pipework.address(int(pipework.outlet_run[fastest])),
            "Water runs at {value} in the small tube of the {outlet}; keep it under {limit}: use wider tubing, or two "
            "outlets of half the flow.",
            {
                "value": _velocity(velocity[fastest]),
                "limit": _velocity(case.limits.velocity),
                "outlet": outlet_place(pipework, fastest),
            },
            value=_velocity(velocity[fastest]),
            limit=_velocity(case.limits.velocity),
            source=VELOCITY_SOURCE,
        )


def ends_flush(case: Case) -> Iterator[Finding]:
    """Speed at each end opened in turn, of a zone that gives water. One finding a run, its slowest copy."""
    if case.solved.headline.flow <= 0.0:
        return
    flushing, pipework = case.solved.flushing, case.solved.pipework
    limit = case.limits.flushing_velocity
    slowest: dict[int, tuple[float, int]] = {}
    slow: dict[int, int] = {}
    for run, velocity in zip(flushing.runs.tolist(), flushing.velocity.tolist(), strict=True):
        number = pipework.plan.instances[run].run
        slowest[number] = min(slowest.get(number, (np.inf, run)), (velocity, run))
        slow[number] = slow.get(number, 0) + (velocity < limit)
    for number, (velocity, run) in slowest.items():
        if velocity < limit * (1 - 1e-9):
            yield say(
                "flushing-slow",
                pipework.address(run),
                "With the end of {where} open, water leaves it at {value}; dirt needs {limit}. Shorten or divide the "
                "line, or flush it with more pressure.{alike}",
                {
                    "value": _velocity(velocity),
                    "limit": _velocity(limit),
                    "alike": ""
                    if slow[number] == 1
                    else Sentence(" Too slow of its copies: {n}.", {"n": slow[number]}),
                },
                value=_velocity(velocity),
                limit=_velocity(limit),
                source=FLUSHING_SOURCE,
            )


def laterals_by_rule_of_thumb(case: Case) -> Iterator[Finding]:
    """Lengths that the trade keeps to, beside what was computed."""
    pipework, due = case.solved.pipework, case.solved.due
    ends = due.node_pressure[pipework.ends]
    for number, run in enumerate(pipework.plan.runs):
        limit = _rule_of_thumb_length(run, [pipework.plan.kinds[kind].emitter for kind in _kinds(case, number)])
        if limit is None or run.length <= limit * (1 + 1e-9):
            continue
        instances = pipework.plan.instances_of[number]
        last = instances.start + int(np.argmin(ends[instances.start : instances.stop]))
        yield say(
            "lateral-long",
            pipework.address(last),
            "{where} is {value} long and the rule of thumb says {limit}; computed, its end still has {end}.",
            {"value": length(run.length), "limit": length(limit), "end": pressure(float(ends[last]))},
            value=length(run.length),
            limit=length(limit),
            source=COMMON_PRACTICE,
        )


def _kinds(case: Case, run: int) -> list[int]:
    kinds: list[int] = np.unique(case.solved.pipework.plan.places[run].kind).tolist()
    return kinds


def _rule_of_thumb_length(run: Run, emitters: list[Emitter]) -> float | None:
    if not emitters:
        return None
    if run.pipe.kind == "dripline" or all(emitter.line_source for emitter in emitters):
        even = isinstance(run.outlets, EvenOutlets) and abs(run.outlets.spacing - DRIPLINE_SPACING) < 0.01
        return COMPENSATING_DRIPLINE_LENGTH if even and all(e.compensating for e in emitters) else None
    low, high = HALF_INCH_BORES
    return SEPARATE_EMITTER_LENGTH if low <= run.pipe.inside_diameter <= high and _flexible(run.pipe) else None


def _flexible(pipe: Pipe) -> bool:
    return pipe.kind in {"tubing", "dripline", "small_tubing"} or (pipe.id is None and str(pipe.material) == "pe")


def laterals_alike(case: Case) -> Iterator[Finding]:
    """Laterals of one header should not differ in length by more than a third."""
    plan, open_ended = case.solved.pipework.plan, case.solved.pipework.open_ended
    numbers = {run.id: number for number, run in enumerate(plan.runs)}
    by_header: dict[str, list[Run]] = {}
    for run, instances in zip(plan.runs, plan.instances_of, strict=True):
        if run.outlet_count and run.from_ is not None and open_ended[instances.start]:
            by_header.setdefault(run.from_, []).append(run)
    for header, laterals in by_header.items():
        shortest, longest = (choose(laterals, key=lambda run: run.length) for choose in (min, max))
        if longest.length > shortest.length * CENTRE_FEED_RATIO:
            yield say(
                "centre-feed",
                plan.first_address(numbers[header]),
                "Laterals of {where} run from {shortest} to {longest}; beside the shortest, {limit} is the most that "
                "waters alike. Feed them from the middle so that they match.",
                {
                    "shortest": length(shortest.length),
                    "longest": length(longest.length),
                    "limit": length(shortest.length * CENTRE_FEED_RATIO),
                },
                value=length(longest.length),
                limit=length(shortest.length * CENTRE_FEED_RATIO),
                source=COMMON_PRACTICE,
            )


def uphill(case: Case) -> Iterator[Finding]:
    """What it costs to push water above the zone inlet."""
    pipework = case.solved.pipework
    heights = outlet_heights(pipework)
    top = float(heights.max())
    if top > WORTH_A_WORD * (1 + 1e-9):
        cost = top * pipework.water.specific_weight
        yield say(
            "uphill-feed",
            pipework.address(int(pipework.outlet_run[int(np.argmax(heights))])),
            "The highest outlet stands {rise} above the valve, which costs {value}. Feed from the top where that "
            "is possible.",
            {"rise": length(top), "value": pressure(cost)},
            value=pressure(cost),
            source=PHYSICS,
        )


def air_relief(case: Case) -> Iterator[Finding]:
    """Where air gathers: the highest place of a zone on a slope."""
    pipework = case.solved.pipework
    heights = pipework.network.elevation[pipework.node]
    if float(np.ptp(heights)) <= WORTH_A_WORD * (1 + 1e-9):
        return
    top = int(np.argmax(heights))
    run = int(np.searchsorted(pipework.node_start, top, side="right")) - 1
    yield say(
        "air-relief",
        pipework.address(run),
        "The zone is highest at {at} of {where}, {height} above its lowest place: an air and vacuum relief valve "
        "belongs there, "
        "so that soil is not drawn in when the water is shut off.",
        {"at": length(float(pipework.node_at[top])), "height": length(float(np.ptp(heights)))},
        value=length(float(np.ptp(heights))),
        source=COMMON_PRACTICE,
    )


def slope_placing(case: Case) -> Iterator[Finding]:
    """On a slope, separate emitters stand uphill of the plant."""
    plan = case.solved.pipework.plan
    for number, run in enumerate(plan.runs):
        slope = float(np.abs(run.slopes).max())
        if run.outlets is not None and run.pipe.kind != "dripline" and slope > STEEP:
            yield say(
                "slope-placing",
                plan.first_address(number),
                "{where} lies on a slope of {slope} %: set its emitters on the uphill side of the plants.",
                {"slope": 100 * slope},
                value=100 * slope,
                source=COMMON_PRACTICE,
            )
            return


def drain_back(case: Case) -> Iterator[Finding]:
    """Water that runs out of the low outlets after each run, and the time to fill the pipes again."""
    solved, outlets = case.solved, case.solved.pipework.network.outlets
    # An outlet that closes keeps the pipe above it full, as high as its closing pressure bears the water.
    kept = outlet_heights(solved.pipework) + outlets.laws.closing
    drained = _volume_above(solved.pipework, float(kept.min()))
    if drained <= 0.0 or solved.headline.flow <= 0.0:
        return
    low = np.flatnonzero(kept <= kept.min() + WORTH_A_WORD)
    stated = solved.zone.options.run_time
    run_time = stated or RUN_TIME
    given = float(outlets.count[low] @ solved.headline.outlet_flow[low]) * run_time
    if drained < DRAIN_BACK_SHARE * given:
        return
    filling = Measured(drained / solved.headline.flow, "duration")
    yield say(
        "drain-back",
        "zone",
        "After each run {volume} may drain to the low outlets, which give {given} in a run of {run_time}{assumed}; the "
        "pipes take {filling} to fill again. Check valves, or outlets that close at a higher pressure, keep it in the "
        "pipes; longer runs make less of it.",
        {
            "volume": Measured(drained, "volume"),
            "given": Measured(given, "volume"),
            "filling": filling,
            "run_time": Measured(run_time, "duration"),
            "assumed": "" if stated else " (assumed)",
        },
        value=filling,
        source=COMMON_PRACTICE,
    )


def _volume_above(pipework: Pipework, level: float) -> float:
    """Volume of all pipe above a height. [m³]"""
    start, end = pipework.network.link_ends
    middle = 0.5 * (pipework.network.elevation[start] + pipework.network.elevation[end])
    return float((pipework.link_lengths * pipework.pipes.area)[middle > level + 1e-6].sum())


def surface_tubing(case: Case) -> Iterator[Finding]:
    """Drip tubing lies on the ground: slack, mulch, ends within reach."""
    plan = case.solved.pipework.plan
    lengths = [run.length if run.outlets is not None and _flexible(run.pipe) else 0.0 for run in plan.runs]
    longest = max(lengths)
    slack = longest * SURFACE_SLACK * WARMING
    if slack <= SLACK_WORTH_A_WORD * (1 + 1e-9):
        return
    yield say(
        "surface-tubing",
        plan.first_address(lengths.index(longest)),
        "Lay drip tubing on the ground under mulch with its ends in reach for flushing, clear of young trunks, "
        "and leave "
        "about {slack} of slack in the {length} of {where} for a warm day.",
        {"slack": length(slack), "length": length(longest)},
        value=length(slack),
        source=f"{COMMON_PRACTICE}; expansion of polyethylene from memory",
    )


def _velocity(value: float) -> Measured:
    return Measured(float(value), "velocity")
