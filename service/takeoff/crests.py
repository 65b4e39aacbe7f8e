"""Where a profile turns up or down, and how far its crests stand out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import takewhile

Profile = Sequence[tuple[float, float]]
"""Places along a pipe and their heights. (n,) [m]"""


def turning_points(profile: Profile) -> list[int]:
    """Rows between the ends where the profile is highest or lowest of its neighbourhood; of a level stretch the first.

    >>> turning_points([(0, 0), (5, 2), (9, 2), (12, 1), (20, 4), (30, 6)])
    [1, 3]
    """
    found = []
    came, level = 0.0, 0  # the last change of height, and where it ended
    for row in range(1, len(profile)):
        rise = profile[row][1] - profile[row - 1][1]
        if rise and came * rise < 0:
            found.append(level)
        if rise:
            came, level = rise, row
    return found


def prominence(profile: Profile, row: int) -> float:
    """How far the profile falls on both sides of a row before it comes as high again, or ends. [m]

    >>> prominence([(0, 0), (5, 6), (9, 4), (12, 5), (20, 3), (30, 9)], 3)
    1
    """
    height = profile[row][1]

    def fall(beside: Iterable[tuple[float, float]], *, level_ends: bool) -> float:
        lower = takewhile(lambda point: point[1] < height or (point[1] == height and not level_ends), beside)
        return height - min((point[1] for point in lower), default=height)

    return min(fall(reversed(profile[:row]), level_ends=True), fall(profile[row + 1 :], level_ends=False))
