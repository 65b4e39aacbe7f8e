"""Closed loops of a zone: where each has its lowest and its highest junction."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from service.units.dimensions import FOOT
from service.zones.instances import Plan
from service.zones.junctions import SAME_PLACE, Junctions

SLOPED = FOOT
"""Climb within a loop from which its highest place wants air relief. [m] Common practice, no source."""

LEVEL = 1e-3
"""Heights closer than this are one height. [m]"""


@dataclass(frozen=True, slots=True)
class Loop:
    """Pipes that water can run round, however many meshes they have."""

    lowest: int  # junction
    highest: int
    climb: float  # from lowest to highest [m]


def loops(plan: Plan, junctions: Junctions, meeting: Callable[[int], int]) -> list[Loop]:
    """The loops of a zone; `meeting` tells how many ends of pipe meet at a junction.

    Of junctions at one height that counts where the fewest ends meet, for a valve is to have room there, and of those
    the last laid, which lies farthest from the inlet.
    """
    if all(instance.closes_to is None for instance in plan.instances):
        return []
    links, height = _links(plan, junctions)
    found = []
    for members in _rings(links):
        level = {junction: round(height[junction] / LEVEL) for junction in members}
        lowest = min(members, key=lambda junction: (level[junction], meeting(junction), -junction))
        highest = max(members, key=lambda junction: (level[junction], -meeting(junction), junction))
        found.append(Loop(lowest, highest, height[highest] - height[lowest]))
    return found


def _links(plan: Plan, junctions: Junctions) -> tuple[list[tuple[int, int]], dict[int, float]]:
    """Pipe between each two junctions, and the height of every junction. [m]"""
    links: list[tuple[int, int]] = []
    height = {0: 0.0}
    for number, instance in enumerate(plan.instances):
        places = sorted(junctions.along(number).items())
        height.setdefault(junctions.start(instance), instance.start_elevation)
        heights = plan.elevation(number, np.array([place * SAME_PLACE for place, _ in places])).tolist()
        height.update((junction, level) for (_, junction), level in zip(places, heights, strict=True))
        links += pairwise((junctions.start(instance), *(junction for _, junction in places)))
    return links, height


def _rings(links: Sequence[tuple[int, int]]) -> Iterator[set[int]]:
    """Junctions that hang together even if any one link is cut, in groups."""
    at: defaultdict[int, list[tuple[int, int]]] = defaultdict(list)  # other end and link, by junction
    for link, (one, other) in enumerate(links):
        at[one].append((other, link))
        at[other].append((one, link))
    cut = _bridges(at)
    seen: set[int] = set()
    for start, links_there in at.items():
        ring = _reached(start, at, cut, seen)
        if len(ring) > 1 or any(other == start and link not in cut for other, link in links_there):
            yield ring


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
