"""What the caller may choose: friction law, detail, state of the filter, criteria."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from service.units.model import Maybe, Model
from service.units.quantity import Duration, Plain, Pressure, Velocity

Friction = Literal["darcy_weisbach", "hazen_williams"]
Detail = Literal["summary", "runs", "outlets"]
FilterState = Literal["due", "clean"]

Percent = Annotated[float, Plain(0, 100)]
"""A share in percent."""


class Criteria(Model):
    """Limits that are the caller's to choose. One left out keeps its default; the answer lists those overridden."""

    flow_variation: Maybe[Percent] = None
    """Flow variation within one kind of outlet above which the check cautions, in percent."""

    flow_variation_limit: Maybe[Percent] = None
    """Flow variation above which the zone fails, in percent."""

    emission_uniformity: Maybe[Percent] = None
    """Emission uniformity below which the check cautions, in percent."""

    pressure_margin: Maybe[Pressure] = None
    """Pressure that the critical outlet should have to spare."""

    velocity: Maybe[Velocity] = None
    """Fastest water in a pipe."""

    flushing_velocity: Maybe[Velocity] = None
    """Slowest water at an end opened for flushing."""

    meter_flow_share: Maybe[Percent] = None
    """Share of a meter's safe maximum flow that a zone may take, in percent."""

    meter_loss_share: Maybe[Percent] = None
    """Share of the static pressure that a meter may lose, in percent."""

    filter_opening_share: Maybe[Percent] = None
    """Opening of the filter in percent of the smallest passage, where the part names none."""


class LateralOptions(Model):
    """Choices for one lateral."""

    friction: Friction = "darcy_weisbach"
    """Law of pipe friction."""


class Options(LateralOptions):
    """Choices for a zone."""

    detail: Detail = "runs"
    """How far the answer goes into detail."""

    filter_state: FilterState = "due"
    """Whether the headline figures are those of a filter due for cleaning or of a clean one."""

    run_time: Maybe[Duration] = None
    """How long the zone runs at a time."""

    criteria: Criteria = Field(default_factory=Criteria)
    """Limits to use in place of the defaults."""
