"""Runs: every main, header and lateral of a zone, where it leaves from, and where it may close to."""

from __future__ import annotations

from functools import cached_property
from typing import Annotated, Self

import numpy as np
from numpy.typing import NDArray
from pydantic import Field, model_validator

from service.parts.choice import PipeChoice
from service.schemas.fittings import Fittings
from service.schemas.ground import Ground, disorder
from service.schemas.outlets import OutletPlaces, OutletsChoice
from service.schemas.slopes import too_steep
from service.units.model import Maybe, Model
from service.units.quantity import Distance, Height, Length, Plain
from service.units.refusal import Refusal, refuse
from service.units.text import Name, RunId

Floats = NDArray[np.float64]

Copies = Annotated[int, Plain(1, 100_000, whole=True)]
"""How many equal runs. [-]"""


class RunCopies(Model):
    """Equal runs at equal distances along the parent."""

    count: Copies
    """How many runs, the first one included."""

    apart: Distance
    """Distance along the parent from one to the next. 0 where all leave at one place."""


class ClosesTo(Model):
    """Where the far end of a run joins another run and so makes a loop."""

    run: RunId
    """Id of the run that it joins."""

    at: Distance
    """Place along that run."""

    apart: Maybe[Height] = None
    """Distance along that run from one copy to the next, negative where they go backwards. As `copies` if left out."""


class Line(Model):
    """A length of pipe with the ground under it and what stands on it."""

    name: Maybe[Name] = None
    """What to call it in answers."""

    pipe: PipeChoice
    """Catalogue id of the pipe, or the pipe written out."""

    length: Length
    """Length along the pipe."""

    rise: Maybe[Height] = None
    """How much higher its end lies than its start, the slope even between. Level if this and `ground` are left out."""

    ground: Maybe[Ground] = None
    """Points `[distance, height]` along the pipe, from `[0, 0]` to its length; in place of `rise`."""

    fittings: Fittings = Field(default_factory=dict)
    """How many fittings of each kind it has."""

    outlets: Maybe[OutletsChoice] = None
    """Its outlets: evenly spaced (an object) or each at its place (a list)."""

    @model_validator(mode="after")
    def _lies_on_the_ground(self) -> Self:
        refuse(type(self).__name__, self._afloat())
        return self

    def _afloat(self) -> list[Refusal]:
        if self.rise is not None and self.ground is not None:
            return [Refusal(("rise",), "Rise and ground both tell how the run lies.", "one of rise, ground")]
        if self.ground is not None:
            return disorder(self.ground, self.length)
        return too_steep(("rise",), self.rise or 0.0, self.length)

    @cached_property
    def knots(self) -> tuple[Floats, Floats]:
        """Distances along the pipe and heights above its start between which the slope is even. (n,), (n,) [m]"""
        points = np.array(self.ground if self.ground is not None else [(0.0, 0.0), (self.length, self.rise or 0.0)])
        points[-1, 0] = self.length
        return points[:, 0], points[:, 1]

    @cached_property
    def slopes(self) -> Floats:
        """Slope of the ground from each of these places to the next. (n - 1,) [-]"""
        distances, heights = self.knots
        slopes: Floats = np.diff(heights) / np.diff(distances)
        return slopes

    @property
    def climb(self) -> float:
        """How much higher the end lies than the start. [m]"""
        return float(self.knots[1][-1])

    def height(self, at: Floats | float) -> Floats:
        """Height above the start at places along the pipe. (n,) [m]"""
        heights: Floats = np.asarray(np.interp(at, *self.knots))
        return heights

    @property
    def outlet_count(self) -> int:
        """How many outlets stand on it, known without placing them."""
        return 0 if self.outlets is None else self.outlets.outlets(self.length)

    def outlet_places(self) -> OutletPlaces:
        """Where its outlets stand."""
        if self.outlets is None:
            return OutletPlaces(np.zeros(0), np.zeros(0, dtype=np.intp), ())
        return self.outlets.along(self.length)


class Run(Line):
    """A run: it leaves from the zone inlet or from another run, and its end is closed unless it closes to a run."""

    id: RunId
    """Its name in addresses, unlike any other run's."""

    from_: Maybe[RunId] = Field(None, alias="from")
    """Id of the run it leaves from. The zone inlet if left out."""

    from_at: Maybe[Distance] = None
    """Place along that run where it, or its first copy, leaves. The far end if left out."""

    copies: Maybe[RunCopies] = None
    """Equal runs along the parent."""

    closes_to: Maybe[ClosesTo] = None
    """Where its far end joins another run."""

    @model_validator(mode="after")
    def _nothing_without_a_use(self) -> Self:
        refusals = []
        if self.from_ is None and self.from_at is not None:
            told = "The run starts at the zone inlet, which is one place."
            refusals.append(Refusal(("from_at",), told, "from beside it, or no from_at"))
        if self.from_ is None and self.copies is not None and self.copies.apart > 0:
            told = "Runs from the zone inlet start at one place; draw a header to set them apart."
            refusals.append(Refusal(("copies", "apart"), told, "0, or from with the id of a header"))
        if self.copies is None and self.closes_to is not None and self.closes_to.apart is not None:
            told = "Only copies can close at places apart."
            refusals.append(Refusal(("closes_to", "apart"), told, "copies beside it, or no apart"))
        refuse("Run", refusals)
        return self

    @property
    def count(self) -> int:
        """How many equal runs stand for it on each parent."""
        return 1 if self.copies is None else self.copies.count
