"""Outlets along a run: evenly spaced or each at a place of its own, on the pipe or on small tubes."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Annotated, Any, Self

import numpy as np
from numpy.typing import NDArray
from pydantic import RootModel, model_validator
from pydantic_core import PydanticCustomError

from service.parts.choice import EmitterChoice, PipeChoice
from service.parts.models import Emitter
from service.schemas.chosen import Chosen
from service.schemas.slopes import ROUNDING, too_steep
from service.units.lists import Items
from service.units.model import Maybe, Model
from service.units.quantity import Count, Height, Length, OutletFlow, Plain
from service.units.refusal import Refusal, refuse
from service.units.sentence import Measured, Sentence

PerPlace = Annotated[int, Plain(1, 100, whole=True)]
"""Outlets at one place. [-]"""


class Tube(Model):
    """The small tube between pipe and outlet, one to an outlet."""

    pipe: PipeChoice
    """Catalogue id of the tubing, or the tubing written out."""

    length: Length
    """Length of the tube."""

    rise: Height = 0.0
    """How much higher the outlet lies than the pipe."""

    @model_validator(mode="after")
    def _no_steeper_than_upright(self) -> Self:
        refuse("Tube", too_steep(("rise",), self.rise, self.length))
        return self


@dataclass(frozen=True, slots=True)
class OutletKind:
    """What stands at a place: outlets that are alike in every way."""

    emitter: Emitter
    setting: float | None  # flow an adjustable outlet is set to, at its part's pressure [m³/s]
    tube: Tube | None
    per_place: int


@dataclass(frozen=True, slots=True)
class OutletPlaces:
    """The places with outlets along one run, as columns, in the direction of the pipe."""

    at: NDArray[np.float64]  # (n,) from the start of the run, rising, equal where outlets share a place [m]
    kind: NDArray[np.intp]  # (n,) index into kinds
    kinds: tuple[OutletKind, ...]


class _Outlets(Model):
    """What both ways of placing outlets have in common."""

    emitter: EmitterChoice
    """Catalogue id of the emitter, or the emitter written out."""

    per_place: PerPlace = 1
    """Outlets at one place."""

    tube: Maybe[Tube] = None
    """Small tube that each outlet hangs on."""

    setting: Maybe[OutletFlow] = None
    """Flow that an adjustable outlet is set to, at its part's pressure."""

    @model_validator(mode="after")
    def _setting_fits(self) -> Self:
        refuse("Outlets", self._unsettable())
        return self

    def _unsettable(self) -> list[Refusal]:
        if self.setting is None:
            return []
        if self.emitter.adjustable is None:
            return [Refusal(("setting",), "This emitter cannot be adjusted.", "no setting here")]
        low, high = self.emitter.adjustable
        if low * (1 - ROUNDING) <= self.setting <= high * (1 + ROUNDING):
            return []
        facts = {
            name: Measured(flow, "outlet_flow")
            for name, flow in (("given", self.setting), ("low", low), ("high", high))
        }
        told = Sentence("{given} is outside what this emitter can be set to.", facts)
        return [Refusal(("setting",), told, Sentence("{low} to {high}", facts))]

    @property
    def kind(self) -> OutletKind:
        """What stands at a place."""
        return OutletKind(self.emitter, self.setting, self.tube, self.per_place)


class EvenOutlets(_Outlets):
    """Outlets at equal spacing."""

    spacing: Length
    """Distance from one place to the next."""

    first_at: Maybe[Length] = None
    """Distance of the first place from the start of the run. Half a spacing if left out."""

    count: Maybe[Count] = None
    """How many places. All that fit if left out."""

    @property
    def first(self) -> float:
        """The first place. [m]"""
        return self.spacing / 2 if self.first_at is None else self.first_at

    def fitting(self, length: float) -> int:
        """How many places fit on `length` [m] of pipe."""
        room = (length - self.first) / self.spacing
        # A last place that misses the end by rounding of units alone stands at the end.
        return max(math.floor(room + (1 + room) * ROUNDING) + 1, 0)

    def places(self, length: float) -> int:
        """How many places there are on `length` [m] of pipe; they may be more than fit."""
        return self.fitting(length) if self.count is None else self.count

    def along(self, length: float) -> OutletPlaces:
        """The places on `length` [m] of pipe."""
        at = np.minimum(self.first + self.spacing * np.arange(self.places(length)), length)
        return OutletPlaces(at, np.zeros(len(at), dtype=np.intp), (self.kind,))

    def outlets(self, length: float) -> int:
        """How many outlets, all places together."""
        return self.places(length) * self.per_place


class PlacedOutlet(_Outlets):
    """Outlets at one place."""

    at: Length
    """Distance of the place from the start of the run."""


class PlacedOutlets(RootModel[Annotated[tuple[PlacedOutlet, ...], Items(1, 100_000)]]):
    """Outlets each at a place of its own, in any order."""

    model_config = {"frozen": True}

    def along(self, length: float) -> OutletPlaces:
        """The places on `length` [m] of pipe."""
        index: dict[OutletKind, int] = {}
        kind = np.array([index.setdefault(place.kind, len(index)) for place in self.root], dtype=np.intp)
        at = np.array([place.at for place in self.root])
        order = np.argsort(at, kind="stable")
        return OutletPlaces(np.minimum(at[order], length), kind[order], tuple(index))

    def outlets(self, length: float) -> int:  # noqa: ARG002 - same question as of even outlets
        """How many outlets, all places together."""
        return sum(place.per_place for place in self.root)


def _read(written: Any) -> EvenOutlets | PlacedOutlets:
    if isinstance(written, list):
        return PlacedOutlets.model_validate(written)
    if isinstance(written, dict):
        return EvenOutlets.model_validate(written)
    raise PydanticCustomError(
        "outlets",
        "Outlets are an object or a list.",
        {"accepted": "an object with emitter and spacing, or a list of places with at and emitter"},
    )


OutletsChoice = Annotated[
    EvenOutlets | PlacedOutlets,
    Chosen(read=_read, forms=EvenOutlets | PlacedOutlets, made=(EvenOutlets, PlacedOutlets)),
]
"""Outlets evenly spaced (an object) or each at its own place (a list)."""
