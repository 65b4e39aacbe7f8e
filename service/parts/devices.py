"""Parts of the head: meter, backflow preventer, valve, filter, regulator."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal, Self

from pydantic import StrictBool, model_validator

from service.parts.loss import Loss
from service.parts.mesh import opening_of
from service.parts.part import Part
from service.parts.ranges import FlowRange
from service.units.model import Maybe, Model
from service.units.quantity import FlowAboveZero, Opening, Plain, Pressure, PressureAboveZero, PressureRating
from service.units.refusal import Refusal, refuse
from service.units.text import Name

Mesh = Annotated[int, Plain(10, 1000, whole=True)]
"""Sieve number of a screen: openings to the inch. [-]"""

BackflowKind = Literal[
    "atmospheric_vacuum_breaker", "pressure_vacuum_breaker", "double_check", "reduced_pressure", "air_gap"
]

FilterType = Literal["screen", "disc", "media", "separator"]


class DeviceFigures(Model):
    """What any device between supply and pipes may say of itself, in the catalogue or in a zone."""

    may_fall: ClassVar[bool] = False  # whether a table of losses may fall with flow

    loss: Maybe[Loss] = None
    """Pressure it loses, a filter when clean; none if left out."""

    flow_range: Maybe[FlowRange] = None
    """`[least, most]` flow it is made for."""

    max_pressure: Maybe[PressureRating] = None
    """Highest pressure it is rated for."""

    @model_validator(mode="after")
    def _loss_grows(self) -> Self:
        if self.loss is not None and not self.may_fall:
            refuse(type(self).__name__, self.loss.falling(("loss",)))
        return self


class DevicePart(Part, DeviceFigures):
    """A device of the catalogue."""

    nominal: Name
    """Trade size, as `0.75in`."""


class Meter(DevicePart):
    """A water meter."""

    kind_of_part: ClassVar[str] = "meter"

    safe_max_flow: FlowAboveZero
    """Most flow it bears for short times."""

    continuous_flow: FlowAboveZero
    """Most flow it bears for hours on end."""

    @model_validator(mode="after")
    def _lasts_less_than_it_bears(self) -> Self:
        over = self.continuous_flow > self.safe_max_flow
        told = "It cannot run for hours at more than it bears for minutes."
        refuse("Meter", [Refusal(("continuous_flow",), told, "at most safe_max_flow")] if over else [])
        return self


class BackflowPreventer(DevicePart):
    """A backflow preventer."""

    kind_of_part: ClassVar[str] = "backflow_preventer"
    may_fall: ClassVar[bool] = True  # some open wider as the flow grows

    kind: BackflowKind
    """How it keeps water from flowing back."""


class Valve(DevicePart):
    """A control valve."""

    kind_of_part: ClassVar[str] = "valve"

    anti_siphon: StrictBool = False
    """Whether it holds an atmospheric vacuum breaker."""


class Filter(DevicePart):
    """A filter."""

    kind_of_part: ClassVar[str] = "filter"

    type: FilterType
    """How it holds particles back."""

    mesh: Maybe[Mesh] = None
    """Sieve number of its screen, or the equivalent of its discs or media."""

    opening: Maybe[Opening] = None
    """Size of particle that it holds back."""

    dirty_allowance: Pressure = 0.0
    """Pressure lost on top of its clean loss when it is due for cleaning."""

    @property
    def fineness(self) -> float | None:
        """Size of particle that it holds back, stated or by its mesh. [m]"""
        if self.opening is not None or self.mesh is None:
            return self.opening
        return opening_of(self.mesh)

    def in_full(self) -> Self:
        """The filter with its opening stated."""
        return self.model_copy(update={"opening": self.fineness})


class Regulator(DevicePart):
    """A pressure regulator with a fixed setting."""

    kind_of_part: ClassVar[str] = "regulator"

    set_pressure: PressureAboveZero
    """Pressure it holds at its outlet."""
