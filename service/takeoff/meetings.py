"""Where ends of pipe meet, and the fittings that join them there."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import IntEnum
from functools import lru_cache
from itertools import pairwise

from service.parts.item import Item
from service.takeoff.ways import Way, alike, change, fitting, steps


class Part(IntEnum):
    """What a pipe does where it meets others, in the order in which fittings are chosen."""

    FED_BY = 0  # the head
    PASSES = 1  # goes through, which makes two ends
    ENDS = 2  # a run that others go on from
    LEAVES = 3  # a run that starts here
    JOINS = 4  # the far end of a run that closes to another
    HANGS = 5  # a valve on the pipework


@dataclass(frozen=True, slots=True, order=True)
class End:
    """One pipe at a meeting."""

    part: Part
    way: Way
    aside: bool = False  # whether it is set apart along the other pipe and so stands across it

    @property
    def count(self) -> int:
        """How many ends of fittings it takes."""
        return 2 if self.part is Part.PASSES else 1


Meeting = tuple[End, ...]
"""The pipes that meet at one place, the one that feeds the others first."""


@dataclass(frozen=True, slots=True)
class Joint:
    """What joins one meeting."""

    pieces: tuple[tuple[Item, str], ...]  # fitting and rule, one entry for each piece
    ends: tuple[Way, ...]  # every end of every fitting: a joint each


def meeting(ends: Iterable[End]) -> Meeting:
    """The meeting of these ends."""
    return tuple(sorted(ends, key=lambda end: end.part))


def hanging(met: Meeting) -> Meeting:
    """Those of a meeting that are no part of it: small tubes, each in a hole of its own beside the fittings.

    There must be a larger pipe for them to hang in.
    """
    tubes = tuple(end for end in met if end.way.hangs and end.part in {Part.LEAVES, Part.JOINS})
    return tubes if any(not end.way.hangs and end.part in _PIPES for end in met) else ()


_PIPES = frozenset({Part.PASSES, Part.ENDS, Part.LEAVES, Part.JOINS})


@lru_cache(maxsize=4096)
def joint(met: Meeting) -> Joint:
    """The fittings of a meeting. Most meetings of a zone are alike, so each kind is worked out once."""
    if len(met) == 1:
        return Joint((), ())  # a pipe that nothing meets but small tubes
    legs = [end.way for end in met for _ in range(end.count)]
    return _of_two(*met) if len(legs) == 2 else _of_many(legs, main=_main(met, legs), passed=_passed(met))


def _of_two(first: End, second: End) -> Joint:
    here, there = first.way, second.way
    pieces, ends = [], []
    if second.aside or alike(here, there):
        kind, rule = ("elbow", "turn") if second.aside else ("coupling", "straight")
        pieces.append((fitting(kind, here), rule))
        ends += [here, there if alike(here, there) else here]
    for one, other in pairwise(steps(here, there)):
        pieces.append(change(one, other))
        ends += [one, other]
    return Joint(tuple(pieces), tuple(ends))


def _of_many(legs: Sequence[Way], *, main: Way, passed: bool) -> Joint:
    """Bodies of crosses and tees in the size of the main, and what fits the other pipes to them."""
    crosses, tees = divmod(len(legs) - 2, 2)
    ways = [steps(main, leg) for leg in legs]
    branches = _branches(ways, main) if crosses + tees == 1 else []
    body = "cross" if crosses else "tee"
    rule = {1: "branch" if passed else "meeting", 2: "crossing"}.get(2 * crosses + tees, "manifold")
    if branches:
        pieces = [(fitting(f"reducing-{body}", main, ways[branches[0]][1]), rule)]
    else:
        pieces = [(fitting("cross", main), rule)] * crosses + [(fitting("tee", main), rule)] * tees
    ends = [main, main] * (crosses + tees - 1)
    for place, way in enumerate(ways):
        onward = way[1:] if place in branches else way
        ends.append(onward[0])
        for one, other in pairwise(onward):
            pieces.append(change(one, other))
            ends += [one, other]
    return Joint(tuple(pieces), tuple(ends))


def _branches(ways: Sequence[Sequence[Way]], main: Way) -> list[int]:
    """Legs whose first step is to one other size: a reducing tee (one leg) or a reducing cross (two) takes it."""
    wanted = len(ways) - 2
    other = [place for place, way in enumerate(ways) if len(way) > 1 and way[1].joining == main.joining]
    for place in other:
        same = [each for each in other if ways[each][1].size == ways[place][1].size]
        if len(same) >= wanted:
            return same[:wanted]
    return []


def _main(met: Meeting, legs: Sequence[Way]) -> Way:
    """The pipe that the fitting is chosen for: the widest of those joined as one that passes, else as most are."""
    commonest = Counter(leg.joining for leg in legs).most_common(1)[0][0]  # of equals the first, which feeds the others
    joining = next((end.way.joining for end in met if end.part is Part.PASSES), commonest)
    return max((leg for leg in legs if leg.joining == joining), key=lambda leg: leg.bore)


def _passed(met: Meeting) -> bool:
    return any(end.part is Part.PASSES for end in met)
