"""Names of pipes on a sketch, each beside or behind its pipe where nothing else is drawn. All lengths in points."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from service.render.pictures.lettering import fitted, text_width

Floats = NDArray[np.float64]

TYPE = 7.0
"""Size of the type."""

HIGH = 9.0
"""Height of a name with the space around it."""

LONGEST = 90.0
"""Width beyond which a name is cut."""

MOST_NAMES = 80
"""Names that are tried. [-] Of more pipes those that others leave come first, then some of the rest in even steps."""

MARK = 13.0
"""Width of a mark."""

BEHIND_END = (4.0, 12.0)
"""Spaces between the end of a pipe and its name; the second one is clear of a mark at the end."""

BESIDE = 2.0
"""Space between a pipe and a name along it."""

ALONG = (0.5, 0.38, 0.62, 0.25, 0.75, 0.12, 0.88)
"""Where along a pipe its name may stand, over its length. [-]"""


@dataclass(frozen=True, slots=True)
class Pipes:
    """The pipes of a sketch as they are drawn."""

    names: Sequence[str]
    ends: Floats  # (n, 2, 2) where each starts and where it ends
    left: Sequence[bool]  # whether others leave it
    width: Floats  # (n,)


@dataclass(frozen=True, slots=True)
class Name:
    """A name and where its middle stands."""

    text: str
    middle: Floats  # (2,)
    upright: bool  # written from below to above, as its pipe runs

    @property
    def box(self) -> Floats:
        """Left, bottom, right, top. (4,)"""
        size = np.array([text_width(self.text, TYPE) + 2, HIGH])
        half = (size[::-1] if self.upright else size) / 2
        return np.concatenate((self.middle - half, self.middle + half))


def placed(pipes: Pipes, marks: Floats, frame: Floats) -> list[Name]:
    """As many names as find room within `frame`, a box, off the pipes, the `marks` (k, 2) and each other."""
    half = pipes.width[:, None] / 2
    boxes = np.vstack(
        (
            np.hstack((pipes.ends.min(axis=1) - half, pipes.ends.max(axis=1) + half)),
            np.hstack((marks - MARK / 2, marks + MARK / 2)),
        )
    )
    found = []
    for number in _tried(pipes.left):
        for name in _places(pipes, number):
            box = name.box
            inside = (box[:2] >= frame[:2]).all() and (box[2:] <= frame[2:]).all()
            if inside and not ((box[:2] < boxes[:, 2:]) & (boxes[:, :2] < box[2:])).all(axis=1).any():
                boxes = np.vstack((boxes, box))
                found.append(name)
                break
    return found


def _tried(left: Sequence[bool]) -> Iterator[int]:
    parents = [number for number, other in enumerate(left) if other][: MOST_NAMES // 2]
    rest = [number for number, other in enumerate(left) if not other]
    yield from parents
    most = MOST_NAMES - len(parents)
    yield from rest if len(rest) <= most else (rest[place] for place in np.linspace(0, len(rest) - 1, most).astype(int))


def _places(pipes: Pipes, number: int) -> Iterator[Name]:
    """Where the name of a pipe may stand, the best place first: behind a pipe that ends free, else along it."""
    text = fitted(pipes.names[number], LONGEST, TYPE)
    start, end = pipes.ends[number]
    along = end - start
    length = float(np.abs(along).max())
    heading = along / length if length else np.array([1.0, 0.0])
    upright = bool(abs(heading[1]) > abs(heading[0]))
    if not pipes.left[number]:
        wide = text_width(text, TYPE) + 2
        for space in BEHIND_END:
            yield Name(text, end + heading * (space + wide / 2), upright)
    aside = np.array([-1.0, 0.0]) if upright else np.array([0.0, 1.0])
    off = aside * (pipes.width[number] + HIGH + BESIDE) / 2
    for share in ALONG:
        yield Name(text, start + share * along + off, upright)
        yield Name(text, start + share * along - off, upright)
