"""Where the pipes of a zone lie on a sketch: each turns off at a right angle from the one it leaves.

Distances are true where that lets every pipe lie clear of the others; if not, pipes are spread apart, so that a sketch
may be read but not measured.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

EAST, NORTH = np.array([1.0, 0.0]), np.array([0.0, 1.0])

TOUCH = 1e-6
"""Overlap, over the size of the whole, that counts as touching only. [-]"""

APART = 0.05
"""Space between pipes that are spread apart, over the longest pipe. [-]"""


@dataclass(slots=True)
class Course:
    """One pipe on the sketch: straight, from its start on, with the places on it stretched where pipes are spread."""

    along: tuple[Floats, Floats]  # distance along the pipe, and how far from its start that is drawn
    start: Floats  # (2,)
    heading: Floats  # (2,) unit vector

    def at(self, distance: Floats | float) -> Floats:
        """Where places along the pipe are drawn. (n, 2)"""
        drawn = np.interp(distance, *self.along)
        points: Floats = self.start + np.multiply.outer(drawn, self.heading)
        return points

    def corners(self, distances: Floats) -> tuple[Floats, Floats]:
        """Points of the whole course in order, those at `distances` among them (n, 2), and their distances (n,)."""
        drawn = np.union1d(np.interp(distances, *self.along), self.along[1])
        points: Floats = self.start + np.multiply.outer(drawn, self.heading)
        return points, np.interp(drawn, self.along[1], self.along[0])


@dataclass(slots=True)
class _Box:
    """How far a pipe with all that leaves it reaches from its start."""

    ahead: float = 0.0  # the way it heads
    behind: float = 0.0
    near: float = 0.0  # east of a pipe that heads north or south, north of one that heads east or west
    far: float = 0.0  # to the other side


@dataclass(slots=True)
class _Pipe:
    length: float
    from_at: float
    outlets: bool
    parent: int | None
    leaving: list[int]
    flipped: bool = False  # it leaves to the far side
    straight: bool = False  # it goes on in the direction of its parent
    backwards: bool = False  # it heads south or west


def courses_of(pipes: Sequence[Mapping[str, Any]]) -> tuple[list[Course], bool]:
    """The course of each pipe of a trace, and whether distances are true."""
    sketch = _Sketch(pipes)
    true = sketch.laid(spread=False)
    if not crossing(true):
        return true, True
    return sketch.laid(spread=True), False


class _Sketch:
    def __init__(self, pipes: Sequence[Mapping[str, Any]]) -> None:
        self.pipes = [
            _Pipe(pipe["length"], pipe["from_at"], pipe["outlets"] > 0, pipe.get("parent"), []) for pipe in pipes
        ]
        self.first = [number for number, pipe in enumerate(self.pipes) if pipe.parent is None]
        for number, pipe in enumerate(self.pipes):
            if pipe.parent is not None:
                self.pipes[pipe.parent].leaving.append(number)
        self.gap = APART * max(pipe.length for pipe in self.pipes)
        for group in (self.first, *(pipe.leaving for pipe in self.pipes)):
            self._choose_sides(group)
        for pipe in self.pipes:
            goes_on = pipe.straight and pipe.parent is not None
            pipe.backwards = self.pipes[pipe.parent or 0].backwards if goes_on else pipe.flipped

    def _choose_sides(self, leaving: list[int]) -> None:
        """Of several pipes that leave one place, every other one goes to the other side.

        A single one with outlets that goes on from the end of another with outlets makes one line with it.
        """
        at_place: dict[float, list[int]] = defaultdict(list)
        for number in leaving:
            at_place[self.pipes[number].from_at].append(number)
        for at, numbers in at_place.items():
            for turn, number in enumerate(numbers):
                self.pipes[number].flipped = turn % 2 == 1
            pipe = self.pipes[numbers[0]]
            if len(numbers) == 1 and pipe.parent is not None:
                parent = self.pipes[pipe.parent]
                pipe.straight = pipe.outlets and parent.outlets and at >= parent.length

    def laid(self, *, spread: bool) -> list[Course]:
        """The courses, true or spread."""
        along: list[tuple[Floats, Floats]] = [(np.zeros(1), np.zeros(1))] * len(self.pipes)
        boxes = [_Box()] * len(self.pipes)
        for number in range(len(self.pipes) - 1, -1, -1):  # what leaves a pipe stands behind it in the list
            pipe = self.pipes[number]
            along[number], boxes[number] = self._stretched(pipe, boxes, spread=spread)
        inlet = _Pipe(0.0, 0.0, outlets=False, parent=None, leaving=self.first)
        at_inlet, _ = self._stretched(inlet, boxes, spread=spread and len(self.first) > 2)
        courses: list[Course] = []
        places = {number: place for place, number in enumerate(self._in_order(self.first), 1)}
        for pipe in self.pipes:
            places |= {number: place for place, number in enumerate(self._in_order(pipe.leaving), 1)}
        for number, pipe in enumerate(self.pipes):
            sign = -1.0 if pipe.backwards else 1.0
            if pipe.parent is None:
                start, heading = NORTH * at_inlet[1][places[number]], sign * EAST
            else:
                parent = courses[pipe.parent]
                start = parent.start + parent.heading * along[pipe.parent][1][places[number]]
                heading = parent.heading if pipe.straight else sign * np.abs(parent.heading[::-1])
            courses.append(Course(along[number], start, heading))
        return courses

    def _in_order(self, leaving: Sequence[int]) -> list[int]:
        return sorted(leaving, key=lambda number: self.pipes[number].from_at)

    def _stretched(self, pipe: _Pipe, boxes: Sequence[_Box], *, spread: bool) -> tuple[tuple[Floats, Floats], _Box]:
        """Distances along a pipe and where they are drawn: its start, each place where something leaves, its end."""
        distances, drawn = [0.0], [0.0]
        row = _Row(self.gap if spread else None, backwards=pipe.backwards)
        for number in self._in_order(pipe.leaving):
            leaving = self.pipes[number]
            distance = min(leaving.from_at, pipe.length)
            at = row.placed(leaving, boxes[number], drawn[-1] + distance - distances[-1])
            distances.append(distance)
            drawn.append(at)
        end = drawn[-1] + pipe.length - distances[-1]
        row.box.ahead = max(row.box.ahead, end)
        return (np.array([*distances, pipe.length]), np.array([*drawn, end])), row.box


class _Row:
    """What leaves a pipe, from its start on: where each begins, and the room that all together take."""

    def __init__(self, gap: float | None, *, backwards: bool) -> None:
        """`gap` is the least space between neighbours, None where they may lie as they do."""
        self.gap = gap
        self.backwards = backwards
        self.box = _Box()
        # The start of a pipe lies on its parent, which nothing else may.
        self.free = {False: 0.0, True: 0.0}  # from where on there is room, by the side: far or not

    def placed(self, pipe: _Pipe, own: _Box, at: float) -> float:
        """Where along the row a pipe with its box begins: at its place, or as far beyond as it needs to."""
        if pipe.straight:
            sides: tuple[bool, ...] = (False, True)
            before, beyond = own.behind, own.ahead
            ahead, behind = own.near, own.far
        else:
            before, beyond = (own.near, own.far) if self.backwards else (own.far, own.near)
            sides = (False, True) if own.behind > 0 else (pipe.flipped,)
            ahead, behind = (own.behind, own.ahead) if pipe.flipped else (own.ahead, own.behind)
        if self.gap is not None and not (pipe.straight and before == 0):
            at = max(at, *(self.free[side] + before + self.gap for side in sides))
        for side in sides:
            self.free[side] = at + beyond
        box = self.box
        box.near, box.far = max(box.near, ahead), max(box.far, behind)
        box.ahead, box.behind = max(box.ahead, at + beyond), max(box.behind, before - at)
        return at


def crossing(courses: Sequence[Course]) -> bool:
    """Whether some courses cross, or lie upon one another; where they only touch, they do not."""
    ends = np.array([(course.start, course.at(course.along[0][-1])) for course in courses])
    low, high = ends.min(axis=1), ends.max(axis=1)
    slack = TOUCH * float((high.max(axis=0) - low.min(axis=0)).max())
    level = np.abs(np.array([course.heading[1] for course in courses])) < 0.5
    a_low, a_high, b_low, b_high = low[level], high[level], low[~level], high[~level]
    inside_x = (a_low[:, None, 0] + slack < b_low[None, :, 0]) & (b_low[None, :, 0] < a_high[:, None, 0] - slack)
    inside_y = (b_low[None, :, 1] + slack < a_low[:, None, 1]) & (a_low[:, None, 1] < b_high[None, :, 1] - slack)
    if bool((inside_x & inside_y).any()):
        return True
    return _upon(a_low, a_high, 0, slack) or _upon(b_low, b_high, 1, slack)


def _upon(low: Floats, high: Floats, axis: int, slack: float) -> bool:
    """Whether two parallel courses lie upon one another: neighbours on the same line that overlap."""
    order = np.lexsort((low[:, axis], np.round(low[:, 1 - axis] / max(slack, 1e-12))))
    low, high = low[order], high[order]
    same = np.abs(np.diff(low[:, 1 - axis])) <= slack
    return bool((same & (high[:-1, axis] > low[1:, axis] + slack)).any())
