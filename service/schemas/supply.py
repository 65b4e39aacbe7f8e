"""What feeds the zone: a main, a tank or a pump, and the pipe up to the zone."""

from __future__ import annotations

from itertools import pairwise
from typing import Annotated, Literal, Self

from pydantic import ConfigDict, Field, model_validator

from service.parts.choice import PipeChoice
from service.schemas.fittings import Fittings
from service.schemas.meters import MeterSize
from service.schemas.slopes import too_steep
from service.units.lists import Items
from service.units.model import Maybe, Model
from service.units.quantity import Flow, FlowAboveZero, Height, Length, Pressure
from service.units.refusal import Refusal, refuse
from service.units.sentence import Measured, Sentence

PumpCurve = Annotated[tuple[tuple[Flow, Pressure], ...], Items(2, 100)]
"""Rows of flow and pressure, flow increasing, pressure not."""

FORMS = ("static_pressure", "water_level", "pump_curve")
"""The kinds of supply. A zone has one."""


class FlowTest(Model):
    """What a gauge showed while water was drawn at the connection."""

    flow: FlowAboveZero
    """Flow drawn during the test."""

    residual_pressure: Pressure
    """Pressure left at that flow."""


class ServiceLine(Model):
    """The pipe from the main to the zone's head."""

    pipe: PipeChoice
    """Catalogue id of the pipe, or the pipe written out."""

    length: Length
    """Length along the pipe."""

    rise: Maybe[Height] = None
    """How much higher the zone inlet lies than the main; stands in for the supply's `rise`."""

    fittings: Fittings = Field(default_factory=dict)
    """How many fittings of each kind it has."""

    @model_validator(mode="after")
    def _no_steeper_than_upright(self) -> Self:
        refuse("ServiceLine", too_steep(("rise",), self.rise or 0.0, self.length))
        return self


class Supply(Model):
    """What feeds the zone: exactly one of `static_pressure`, `water_level` and `pump_curve`.

    Pressures are gauge, at the height of the zone inlet; `rise` corrects a gauge that lies elsewhere.
    """

    model_config = ConfigDict(json_schema_extra={"oneOf": [{"required": [form]} for form in FORMS]})

    static_pressure: Maybe[Pressure] = None
    """Pressure of the main with no flow."""

    water_level: Maybe[Height] = None
    """Surface of a tank above the zone inlet."""

    pump_curve: Maybe[PumpCurve] = None
    """Rows `[flow, pressure]` of a pump, flow increasing, pressure never rising."""

    rise: Maybe[Height] = None
    """How much higher the zone inlet lies than the gauge."""

    flow_test: Maybe[FlowTest] = None
    """Flow test at the connection of a main; meter and service line lie inside it."""

    meter_size: Maybe[MeterSize] = None
    """Nominal size of the meter, as `0.75in`."""

    service_line: Maybe[ServiceLine] = None
    """Pipe between main and zone."""

    other_flow: Maybe[Flow] = None
    """Flow that others draw from the same supply at the same time: another zone, the house."""

    @model_validator(mode="after")
    def _one_supply(self) -> Self:
        refuse("Supply", [*self._forms(), *self._test(), *self._rises(), *_disorder(self.pump_curve or ())])
        return self

    @property
    def kind(self) -> Literal["main", "tank", "pump"]:
        """What feeds the zone."""
        if self.static_pressure is not None:
            return "main"
        return "tank" if self.water_level is not None else "pump"

    @property
    def lift(self) -> float:
        """How much higher the zone inlet lies than the gauge, by whichever field says so. [m]"""
        if self.rise is None and self.service_line is not None:
            return self.service_line.rise or 0.0
        return self.rise or 0.0

    def _forms(self) -> list[Refusal]:
        given = [form for form in FORMS if form in self.model_fields_set]
        if len(given) == 1:
            return []
        told = f"These exclude each other: {', '.join(given)}." if given else "Nothing says what feeds the zone."
        return [Refusal((), told, f"exactly one of {', '.join(FORMS)}")]

    def _test(self) -> list[Refusal]:
        if self.flow_test is None:
            return []
        if self.water_level is not None or self.pump_curve is not None:
            return [
                Refusal(("flow_test",), "A flow test tells of a main, not of a tank or a pump.", "no flow_test here")
            ]
        if self.static_pressure is None or self.flow_test.residual_pressure < self.static_pressure:
            return []
        static = Measured(self.static_pressure, "pressure")
        residual = Measured(self.flow_test.residual_pressure, "pressure")
        told = Sentence(
            "The flow test leaves {residual}, no less than the {static} without flow.",
            {"residual": residual, "static": static},
        )
        return [
            Refusal(("flow_test", "residual_pressure"), told, Sentence("a pressure below {static}", {"static": static}))
        ]

    def _rises(self) -> list[Refusal]:
        if self.rise is None or self.service_line is None or self.service_line.rise is None:
            return []
        told = "The height of the zone inlet above the gauge is told twice."
        return [Refusal(("service_line", "rise"), told, "rise of the supply or of its service line, not both")]


def _disorder(curve: PumpCurve) -> list[Refusal]:
    """What is wrong with the order of a pump curve."""
    refusals = []
    for row, ((flow_before, before), (flow, pressure)) in enumerate(pairwise(curve), start=1):
        if flow <= flow_before:
            facts = {"now": Measured(flow, "flow"), "before": Measured(flow_before, "flow")}
            told, accepted = Sentence("{now} comes after {before}.", facts), Sentence("a flow above {before}", facts)
            refusals.append(Refusal(("pump_curve", row, 0), told, accepted))
        if pressure > before:
            facts = {"now": Measured(pressure, "pressure"), "before": Measured(before, "pressure")}
            told = Sentence("{now} at the larger flow is above the {before} before it.", facts)
            refusals.append(Refusal(("pump_curve", row, 1), told, Sentence("at most {before}", facts)))
    return refusals
