"""Closed loops of a zone: where each is lowest and highest, and where its runs go over crests."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import count, pairwise

import numpy as np

from service.takeoff.crests import prominence, turning_points
from service.units.dimensions import FOOT
from service.zones.instances import Plan
from service.zones.junctions import SAME_PLACE, Junctions

SLOPED = FOOT
"""Climb within a loop from which its highest place wants air relief, and a crest of its own. [m] Common practice, no
source."""

LEVEL = 1e-3
"""Heights closer than this are one height. [m]"""


@dataclass(frozen=True, slots=True)
class Spot:
    """A place where a valve may stand."""

    junction: int  # a number of its own where it is none
    height: float  # [m]
    within: tuple[int, float] | None = None  # instance and place along it, where runs meet nowhere near [m]
    crest: float = 0.0  # how far the run falls from it on both sides [m]


@dataclass(frozen=True, slots=True)
class Loop:
    """Pipes that water can run round, however many meshes they have."""

    lowest: Spot
    aired: tuple[Spot, ...]  # where air gathers


@dataclass(frozen=True, slots=True)
class _Span:
    """Pipe between two junctions, and the places between where it turns up or down."""

    one: int
    other: int
    turns: Sequence[Spot]


def loops(plan: Plan, junctions: Junctions, meeting: Callable[[int], int]) -> list[Loop]:
    """The loops of a zone; `meeting` tells how many ends of pipe meet at a junction.

    Of places at one height a junction comes before one within a run, that where the fewest ends meet before others,
    for a valve is to have room there, and of those the last laid, which lies farthest from the inlet.
    """
    if all(instance.closes_to is None for instance in plan.instances):
        return []
    spans, heights = _spans(plan, junctions)
    found = []
    for members, around in _rings([(span.one, span.other) for span in spans]):
        spots = [Spot(junction, heights[junction]) for junction in members]
        spots += [turn for link in around for turn in spans[link].turns]

        def room(spot: Spot) -> tuple[bool, int, int]:
            return spot.within is not None, 0 if spot.within else meeting(spot.junction), -spot.junction

        lowest = min(spots, key=lambda spot: (round(spot.height / LEVEL), *room(spot)))
        highest = min(spots, key=lambda spot: (-round(spot.height / LEVEL), *room(spot)))
        aired = {highest: None} if highest.height - lowest.height > SLOPED else {}
        aired |= {spot: None for spot in spots if spot.crest > SLOPED}
        found.append(Loop(lowest, tuple(aired)))
    return found


def _spans(plan: Plan, junctions: Junctions) -> tuple[list[_Span], dict[int, float]]:
    """Pipe between each two junctions, and the height of every junction. [m]"""
    spans: list[_Span] = []
    heights = {0: 0.0}
    own_number = count(len(junctions))
    for number, instance in enumerate(plan.instances):
        along = junctions.along(number)
        places = [0.0, *(place * SAME_PLACE for place in sorted(along))]
        met = [junctions.start(instance), *(along[place] for place in sorted(along))]
        levels = plan.elevation(number, np.array(places)).tolist()
        for junction, level in zip(met, levels, strict=True):
            heights.setdefault(junction, level)
        for (one, other), (start, end) in zip(pairwise(met), pairwise(places), strict=True):
            profile = _profile(plan, number, start, end) if plan.run(number).ground else ()
            turns = [
                Spot(next(own_number), profile[turn][1], (number, profile[turn][0]), prominence(profile, turn))
                for turn in turning_points(profile)
            ]
            spans.append(_Span(one, other, turns))
    return spans, heights


def _profile(plan: Plan, instance: int, start: float, end: float) -> list[tuple[float, float]]:
    """Places from one to another along a pipe and their heights, all knots between included. [m]"""
    knots = plan.run(instance).knots[0]
    at = np.array([start, *knots[(knots > start) & (knots < end)], end])
    return list(zip(at.tolist(), plan.elevation(instance, at).tolist(), strict=True))


def _rings(links: Sequence[tuple[int, int]]) -> Iterator[tuple[set[int], list[int]]]:
    """Junctions that hang together even if any one link is cut, in groups, with the links between them."""
    at: defaultdict[int, list[tuple[int, int]]] = defaultdict(list)  # other end and link, by junction
    for link, (one, other) in enumerate(links):
        at[one].append((other, link))
        at[other].append((one, link))
    cut = _bridges(at)
    seen: set[int] = set()
    for start, links_there in at.items():
        ring = _reached(start, at, cut, seen)
        if len(ring) > 1 or any(other == start and link not in cut for other, link in links_there):
            yield ring, sorted({link for junction in ring for _, link in at[junction]} - cut)


def _reached(start: int, at: dict[int, list[tuple[int, int]]], cut: set[int], seen: set[int]) -> set[int]:
    """Junctions reached from one without crossing a bridge, if it was not seen before."""
    ring: set[int] = set()
    waiting = [] if start in seen else [start]
    while waiting:
        junction = waiting.pop()
        if junction not in seen:
            seen.add(junction)
            ring.add(junction)
            waiting += [other for other, link in at[junction] if link not in cut]
    return ring


def _bridges(at: dict[int, list[tuple[int, int]]]) -> set[int]:
    """Links that no way round avoids: depth first, with the earliest junction that each can get back to (Tarjan)."""
    order: dict[int, int] = {}
    low: dict[int, int] = {}
    bridges: set[int] = set()
    for root, links in at.items():
        if root in order:
            continue
        order[root] = low[root] = len(order)
        stack: list[tuple[int, int, Iterable[tuple[int, int]]]] = [(root, -1, iter(links))]
        while stack:
            junction, came_by, onward = stack[-1]
            step = next(iter(onward), None)
            if step is None:
                stack.pop()
                if stack:
                    above = stack[-1][0]
                    low[above] = min(low[above], low[junction])
                    if low[junction] > order[above]:
                        bridges.add(came_by)
                continue
            other, link = step
            if link == came_by:
                continue
            if other in order:
                low[junction] = min(low[junction], order[other])
            else:
                order[other] = low[other] = len(order)
                stack.append((other, link, iter(at[other])))
    return bridges
