"""Runs of pipe as rows of places and links, before it is known which instance of each lies where."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from service.hydraulics.arrays import Bools, Floats, Ints
from service.schemas.outlets import OutletKind, OutletPlaces
from service.schemas.runs import Line
from service.zones.junctions import SAME_PLACE, place_of


@dataclass(frozen=True, slots=True)
class Stretch:
    """What all instances of a run have in common that meet other runs at the same places."""

    at: Floats  # (k + 1,) places along the run, its start and its end among them [m]
    height: Floats  # (k + 1,) above its start [m]
    is_junction: Bools  # (k + 1,)
    length: Floats  # (k,) of the links, equivalent lengths of connections included [m]
    slots: Ints  # (g,) place of each group of outlets
    chains: list[int]  # links between one junction and the next, or the dead end

    @property
    def dead_end(self) -> bool:
        """Whether its far end joins nothing."""
        return not self.is_junction[-1]


@dataclass(frozen=True, slots=True)
class Course:
    """A run with the places of its own: outlets, bends of the ground, the end."""

    line: Line
    standing: OutletPlaces
    places: Ints  # (k,) rising, the end last, in units of `SAME_PLACE`
    outlet_place: Ints  # (g,)
    connection: Floats  # (g,) equivalent length of the connections of one group [m]

    @classmethod
    def of(cls, line: Line, standing: OutletPlaces, kinds: tuple[OutletKind, ...]) -> Course:
        """The course of a run, the kinds of its outlets numbered as in `kinds`."""
        outlet_place = np.minimum(_places(standing.at), place_of(line.length))
        lengths = np.array([kind.emitter.connection_length * kind.per_place for kind in kinds])
        own = np.concatenate((outlet_place, _places(line.knots[0][1:])))
        return cls(
            line=line,
            standing=standing,
            places=np.unique(own[own > 0]),
            outlet_place=outlet_place,
            connection=lengths[standing.kind],
        )

    def stretch(self, met: Sequence[int]) -> Stretch:
        """The run with junctions at these places, in units of `SAME_PLACE`, beside the one at its start."""
        places = np.union1d(self.places, np.array(met)) if met else self.places
        at = np.concatenate(([0.0], places * SAME_PLACE))
        at[-1] = self.line.length
        junctions = [0, *(np.searchsorted(places, met) + 1).tolist()]
        is_junction = np.zeros(len(at), dtype=np.bool_)
        is_junction[junctions] = True
        outlets_at = np.searchsorted(places, self.outlet_place)
        bounds = junctions if is_junction[-1] else [*junctions, len(places)]
        return Stretch(
            at=at,
            height=self.line.height(at),
            is_junction=is_junction,
            length=np.diff(at) + np.bincount(outlets_at, weights=self.connection, minlength=len(places)),
            slots=outlets_at + 1,
            chains=[end - start for start, end in pairwise(bounds)],
        )


def _places(at: Floats) -> Ints:
    return np.rint(at / SAME_PLACE).astype(np.intp)
