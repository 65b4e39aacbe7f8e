"""Emitters: everything that lets water out on purpose, from porous tubing to drip sprays."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal, Self, cast

from pydantic import Field, StrictBool, model_validator

from service.parts.part import Part
from service.parts.ranges import PressureRange, SettingRange
from service.units.model import Maybe, Model
from service.units.quantity import ConnectionLength, Opening, OutletFlow, Passage, Plain, Pressure, PressureAboveZero
from service.units.refusal import Refusal, refuse
from service.units.sentence import Measured, Sentence

Exponent = Annotated[float, Plain(0.05, 1.2)]
"""Exponent of an emitter's power law: 0.5 for an orifice or a turbulent path, 1 for laminar flow. [-]"""

Variation = Annotated[float, Plain(0, 1)]
"""Coefficient of manufacturing variation Cv: standard deviation of flow over its mean, of new emitters. [-]"""

EmitterKind = Literal["compensating", "turbulent", "orifice", "vortex", "long_path", "microtube", "porous", "spray"]
"""How an emitter takes the pressure away."""

WORKING_LOW, WORKING_HIGH = 0.5, 2.0
"""Working range assumed for a power-law emitter that states none, as a share of its rated pressure. [-]

Common practice, no source.
"""

MOST_CLOSING = 0.99
"""Share of the least working pressure that a closing pressure must stay below. [-] From shut to its full flow an outlet
needs some pressure: a jump has no steady state, and none that is made comes near this."""


class WrittenEmitter(Model):
    """Emitter as a caller may write it out.

    Power law: `flow` at `at_pressure`, growing with the `exponent` of pressure. Compensating: `flow` anywhere in
    `pressure_range`, and no exponent.
    """

    flow: OutletFlow
    """Flow of one emitter: at `at_pressure`, or all through the `pressure_range`."""

    at_pressure: Maybe[PressureAboveZero] = None
    """Pressure at which a power-law emitter gives its flow."""

    exponent: Maybe[Exponent] = None
    """Exponent of the power law."""

    stated_range: Maybe[PressureRange] = Field(default=None, alias="pressure_range")
    """`[least, most]` pressure at which it works as made. A power-law emitter may leave it out."""

    closing_pressure: Maybe[Pressure] = None
    """Pressure at which a compensating emitter shuts, so that its line stays full; less than 99 % of the least that it
    works at. 0 for one that never does."""

    passage: Maybe[Passage] = None
    """Smallest way through it."""

    filter_opening: Maybe[Opening] = None
    """Filter opening its maker asks for."""

    variation: Maybe[Variation] = None
    """Coefficient of manufacturing variation."""

    connection_length: ConnectionLength = 0.0
    """Length of the run's pipe that loses as much as its barb or body."""

    @model_validator(mode="after")
    def _has_one_law(self) -> Self:
        refuse("Emitter", [*self._law(), *self._closing()])
        return self

    @property
    def compensating(self) -> bool:
        """Whether it gives the same flow all through its working range."""
        return self.exponent is None

    @property
    def range_stated(self) -> bool:
        """Whether its working range is its own, not assumed."""
        return self.stated_range is not None

    @property
    def pressure_range(self) -> tuple[float, float]:
        """Least and most working pressure; half to twice the rated pressure where none is stated. [Pa]"""
        if self.stated_range is not None:
            return self.stated_range
        rated = cast("float", self.at_pressure)  # the one law that may do without a range is rated at a pressure
        return WORKING_LOW * rated, WORKING_HIGH * rated

    def _law(self) -> list[Refusal]:
        if self.exponent is not None and self.at_pressure is None:
            return [Refusal(("at_pressure",), "Nothing says at which pressure the flow is given.", "a pressure")]
        if self.exponent is None and self.at_pressure is not None:
            told = "A flow at one pressure needs the exponent by which it grows."
            return [Refusal(("exponent",), told, "from 0.05 to 1.2; for a compensating emitter, no at_pressure")]
        if self.exponent is None and self.stated_range is None:
            told = "Nothing says how the flow depends on pressure."
            return [Refusal((), told, "at_pressure and exponent, or pressure_range of a compensating emitter")]
        return []

    def _closing(self) -> list[Refusal]:
        if self.closing_pressure is None:
            return []
        if self.exponent is not None:
            told = "Only a compensating emitter shuts at a pressure of its own."
            return [Refusal(("closing_pressure",), told, "no closing_pressure beside an exponent")]
        if self.stated_range is None or self.closing_pressure < MOST_CLOSING * self.stated_range[0]:
            return []
        least = self.stated_range[0]
        facts = {
            name: Measured(value, "pressure")
            for name, value in (("given", self.closing_pressure), ("least", least), ("most", MOST_CLOSING * least))
        }
        told_where = Sentence(
            "It would shut at {given}, hardly below the {least} from which it works, or above.", facts
        )
        return [Refusal(("closing_pressure",), told_where, Sentence("below {most}", facts))]


class Emitter(Part, WrittenEmitter):
    """Emitter of the catalogue, or one that was written out."""

    kind_of_part: ClassVar[str] = "emitter"

    kind: Maybe[EmitterKind] = None
    """How it takes the pressure away."""

    line_source: StrictBool = False
    """Whether it is part of its tubing (dripline, porous tubing), not set into it one by one."""

    adjustable: Maybe[SettingRange] = None
    """`[least, most]` flow at its rated pressure that it can be set to."""

    def in_full(self) -> Self:
        """The emitter with its working range stated."""
        return self.model_copy(update={"stated_range": self.pressure_range})
