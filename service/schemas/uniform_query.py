"""The query for a zone of equal laterals."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar, Literal, Self

from pydantic import Field, PrivateAttr, TypeAdapter, ValidationError, model_validator
from pydantic_core import PydanticCustomError

from service.parts.devices import Mesh
from service.parts.loss import Cv
from service.schemas.chosen import Chosen
from service.schemas.equal_laterals import equal_laterals
from service.schemas.meters import MeterSize
from service.schemas.options import Friction
from service.schemas.outlet_parameters import OutletParameters
from service.schemas.query import Assumption, PipeId, Where, body_of, given
from service.schemas.runs import Copies
from service.schemas.water import Source
from service.schemas.zone import Zone
from service.units.model import Maybe
from service.units.quantity import Distance, FlowAboveZero, Height, Length, Pressure, PressureAboveZero, Temperature
from service.units.refusal import Refusal, building_in_si, refuse
from service.units.sentence import Measured, Sentence
from service.units.text import Name

BACKFLOW_KIND = "reduced_pressure"
FEED_PIPE = "pvc-sch40-0.75in"
HEADER_PIPE = "pe-0.75in"

SHORTEST, LONGEST = 1e-3, 1e4
"""Least and greatest length of a header. [m]"""

_set_pressure = TypeAdapter[float](PressureAboveZero)


NO_REGULATOR = "none"


def _set_pressure_or_none(written: Any) -> float | str:
    if written == NO_REGULATOR:
        return NO_REGULATOR
    try:
        return _set_pressure.validate_python(written)
    except ValidationError as refused:
        (line,) = refused.errors(include_url=False)
        accepted = f"{line['ctx']['accepted']}, or {NO_REGULATOR}"
        told = {**line["ctx"], "accepted": accepted, "told": line["msg"]}
        raise PydanticCustomError("no_set_pressure", "{told}", told) from None


SetPressure = Annotated[
    float | Literal["none"],
    Chosen(read=_set_pressure_or_none, forms=PressureAboveZero | Literal["none"], made=()),
]
"""Set pressure of a regulator [Pa], or `none`."""


class UniformQuery(OutletParameters):
    """A zone of equal laterals along one header, fed through one pipe from one main."""

    crowding: ClassVar[str] = "laterals"

    name: Maybe[Name] = None
    """What the zone is called."""

    static_pressure: Annotated[Pressure, Field(examples=[64])]
    """Pressure of the main with no flow."""

    test_flow: Maybe[FlowAboveZero] = None
    """Flow drawn during a flow test; goes with `residual_pressure`."""

    residual_pressure: Maybe[Pressure] = None
    """Pressure left during the flow test."""

    meter_size: Maybe[MeterSize] = None
    """Nominal size of the meter, as `0.75in`."""

    source: Maybe[Source] = None
    """Where the water comes from. municipal if left out."""

    temperature: Maybe[Temperature] = None
    """Temperature of the water. 20 °C (68 °F) if left out."""

    backflow_loss: Maybe[Pressure] = None
    """Pressure lost in the backflow preventer. No preventer if left out."""

    valve_cv: Maybe[Cv] = None
    """Flow in gpm at which the valve loses 1 psi, whatever the units. No valve if left out."""

    filter_mesh: Maybe[Mesh] = None
    """Mesh of the filter. No filter if this, `filter_loss` and `dirty_allowance` are left out."""

    filter_loss: Maybe[Pressure] = None
    """Pressure lost in the clean filter."""

    dirty_allowance: Maybe[Pressure] = None
    """Pressure lost on top of that when the filter is due for cleaning."""

    regulator: Maybe[SetPressure] = None
    """Set pressure of the regulator, or `none`. None if left out."""

    feed_pipe: Maybe[PipeId] = None
    """Catalogue id of the pipe from the head to the header. pvc-sch40-0.75in if left out."""

    feed_length: Maybe[Length] = None
    """Length of that pipe. The header starts at the head if left out."""

    feed_rise: Maybe[Height] = None
    """How much higher its far end lies."""

    header_pipe: Maybe[PipeId] = None
    """Catalogue id of the header's pipe. pe-0.75in if left out."""

    apart: Maybe[Distance] = None
    """Distance along the header from one lateral to the next; 0 where all leave at one place."""

    feed_at: Literal["end", "centre"] = "end"
    """Where water enters the header."""

    laterals: Maybe[Copies] = None
    """How many equal laterals. One if left out."""

    lateral_pipe: Annotated[PipeId, Field(examples=["dripline-17mm"])]
    """Catalogue id of the laterals' pipe."""

    lateral_length: Annotated[Length, Field(examples=[80])]
    """Length of one lateral."""

    lateral_rise: Maybe[Height] = None
    """How much higher the far end of a lateral lies."""

    friction: Maybe[Friction] = None
    """Law of pipe friction. darcy_weisbach if left out."""

    _zone: Zone = PrivateAttr()

    @model_validator(mode="after")
    def _build(self) -> Self:
        with building_in_si(self.units):
            refuse("Uniform", [*self._incomplete(), *self.outlet_faults()])
        fields = {
            **given(name=self.name),
            "supply": self._supply(),
            "water": given(source=self.source, temperature=self.temperature),
            "head": self._head(),
            "runs": self._runs(),
            "options": given(friction=self.friction),
        }
        self._zone = body_of(self, Zone, fields, self.parameter_at)
        return self

    def to_zone(self) -> Zone:
        """The body that this query is short for."""
        return self._zone

    def in_detail(self) -> Self:
        """The same query, its answer to tell pressures along the runs."""
        copy = self.model_copy()
        copy._zone = self._zone.in_detail()  # noqa: SLF001 - its own
        return copy

    def parameter_at(self, where: Where) -> str:
        """The parameter to mend for a fault at this place in the zone."""
        if where and where[-1] in {"length", "rise"}:
            of_feed = where[:2] == ("runs", 0) and self.feed_length is not None
            return f"{'feed' if of_feed else 'lateral'}_{where[-1]}"
        return super().parameter_at(where)

    @property
    def assumptions(self) -> tuple[Assumption, ...]:
        """What was filled in on the way to the zone; the zone has defaults of its own."""
        habit = "Not said; common practice, no source."
        filled = [
            (
                "backflow_kind",
                BACKFLOW_KIND,
                "Not asked; this kind need not stand above the outlets.",
                self.backflow_loss is not None,
            ),
            ("feed_pipe", FEED_PIPE, habit, self.feed_length is not None and self.feed_pipe is None),
            ("header_pipe", HEADER_PIPE, habit, self._apart > 0 and self.header_pipe is None),
            ("header", "none", self._without_header(), self._names_header and self._apart == 0),
            ("laterals", "1", "Not said.", self.laterals is None),
            ("regulator", NO_REGULATOR, "Not said.", self.regulator is None),
        ]
        return tuple(Assumption(what, Sentence(value), Sentence(why)) for what, value, why, was in filled if was)

    @property
    def title(self) -> str:
        """What stands over the zone on paper: its name, or its laterals in a few words."""
        if self.name is not None:
            return self.name
        count = self.laterals or 1
        facts: dict[str, Measured | str | int] = {
            "count": count,
            "length": Measured(self.lateral_length, "length"),
            "pipe": self.lateral_pipe.id or self.lateral_pipe.name,
        }
        template = "One lateral, {length} of {pipe}" if count == 1 else "{count} laterals, each {length} of {pipe}"
        return Sentence(template, facts).said(self.units)

    @property
    def _apart(self) -> float:
        """Distance from one lateral to the next; 0 if the header would be too short to be one. [m]"""
        apart = self.apart or 0.0
        return apart if self._spread(apart) >= SHORTEST else 0.0

    @property
    def _names_header(self) -> bool:
        """Whether something is said of a header."""
        return self.header_pipe is not None or bool(self.apart) or self.feed_at != "end"

    def _without_header(self) -> str:
        """Why what is said of a header changes nothing."""
        what = "One lateral needs" if (self.laterals or 1) == 1 else "Laterals that leave at one place need"
        return f"{what} none: header_pipe, apart and feed_at change nothing."

    def _spread(self, apart: float) -> float:
        """From the first lateral to the last along the header. [m]"""
        return ((self.laterals or 1) - 1) * apart

    def _incomplete(self) -> list[Refusal]:
        """What is missing beside a parameter that was given."""
        test, feed = ("test_flow", "residual_pressure"), ("feed_length",)
        needs = {"test_flow": test, "residual_pressure": test, "feed_pipe": feed, "feed_rise": feed}
        missing = {
            other: name
            for name, others in needs.items()
            for other in others
            if getattr(self, name) is not None and getattr(self, other) is None
        }
        refusals = [
            Refusal((other,), f"It goes with {name}.", f"{other} beside {name}") for other, name in missing.items()
        ]
        if self.apart is None and (self.laterals or 1) > 1:
            told = "Nothing says how far apart the laterals leave the header."
            refusals.append(Refusal(("apart",), told, "a distance, 0 where all leave at one place"))
        spread = self._spread(self._apart)
        if spread > LONGEST:
            facts = {"spread": Measured(spread, "length"), "longest": Measured(LONGEST, "length")}
            too_long = Sentence("The header would be {spread} long.", facts)
            refusals.append(Refusal(("apart",), too_long, Sentence("a header of at most {longest}", facts)))
        return refusals

    def _supply(self) -> dict[str, Any]:
        test = given(flow=self.test_flow, residual_pressure=self.residual_pressure)
        return given(static_pressure=self.static_pressure, flow_test=test or None, meter_size=self.meter_size)

    def _head(self) -> list[dict[str, Any]]:
        """The devices that some parameter tells of, in the usual order."""
        fixed = None if self.filter_loss is None else {"fixed": self.filter_loss}
        filter_ = given(mesh=self.filter_mesh, loss=fixed, dirty_allowance=self.dirty_allowance)
        devices = [
            self.backflow_loss is not None
            and {"device": "backflow_preventer", "kind": BACKFLOW_KIND, "loss": {"fixed": self.backflow_loss}},
            self.valve_cv is not None and {"device": "valve", "loss": {"cv": self.valve_cv}},
            bool(filter_) and {"device": "filter", **filter_},
            self.regulator not in {None, NO_REGULATOR} and {"device": "regulator", "set_pressure": self.regulator},
        ]
        return [device for device in devices if device]

    def _runs(self) -> list[dict[str, Any]]:
        feed = given(pipe=self.feed_pipe or FEED_PIPE, length=self.feed_length, rise=self.feed_rise)
        lateral = given(pipe=self.lateral_pipe, length=self.lateral_length, rise=self.lateral_rise)
        return equal_laterals(
            {**lateral, "outlets": self.even_outlets()},
            header={"pipe": self.header_pipe or HEADER_PIPE},
            feed=None if self.feed_length is None else feed,
            count=self.laterals or 1,
            apart=self._apart,
            centre=self.feed_at == "centre",
        )
