"""The query for one lateral."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import Field, PrivateAttr, model_validator

from service.schemas.lateral import Lateral
from service.schemas.options import Friction
from service.schemas.outlet_parameters import OutletParameters
from service.schemas.query import Assumption, PipeId, body_of, given
from service.units.model import Maybe
from service.units.quantity import Diameter, Height, Length, PressureAboveZero, Temperature
from service.units.refusal import Refusal, building_in_si, refuse
from service.units.sentence import Sentence
from service.units.text import Name

ASSUMED_MATERIAL = "pe"
"""Material of a lateral of which the bore alone is known. Common practice, no source: laterals are polyethylene."""


class ProfileQuery(OutletParameters):
    """One lateral from a given inlet pressure."""

    name: Maybe[Name] = None
    """What the lateral is called."""

    inlet_pressure: Annotated[PressureAboveZero, Field(examples=[25])]
    """Pressure at the start of the lateral while water flows."""

    pipe: Annotated[Maybe[PipeId], Field(examples=["tubing-0.5in-600-700"])] = None
    """Catalogue id of the pipe; in place of `inside_diameter`."""

    inside_diameter: Maybe[Diameter] = None
    """Inside diameter of polyethylene pipe."""

    length: Annotated[Length, Field(examples=[80])]
    """Length along the pipe."""

    rise: Maybe[Height] = None
    """How much higher the far end lies. Level if left out."""

    friction: Maybe[Friction] = None
    """Law of pipe friction. darcy_weisbach if left out."""

    temperature: Maybe[Temperature] = None
    """Temperature of the water. 20 °C (68 °F) if left out."""

    _lateral: Lateral = PrivateAttr()
    _assumptions: tuple[Assumption, ...] = PrivateAttr(default=())

    @model_validator(mode="after")
    def _build(self) -> Self:
        with building_in_si(self.units):
            refuse("Profile", [*self._pipe_faults(), *self.outlet_faults()])
        pipe = self.pipe or {"inside_diameter": self.inside_diameter, "material": ASSUMED_MATERIAL}
        fields = {
            "inlet_pressure": self.inlet_pressure,
            "run": given(name=self.name, pipe=pipe, length=self.length, rise=self.rise, outlets=self.even_outlets()),
            "water": given(temperature=self.temperature),
            "options": given(friction=self.friction),
        }
        self._lateral = body_of(self, Lateral, fields, self.parameter_at)
        return self

    def to_lateral(self) -> Lateral:
        """The body that this query is short for."""
        return self._lateral

    @property
    def title(self) -> str:
        """What stands over the lateral on paper."""
        return self._lateral.title

    @property
    def assumptions(self) -> tuple[Assumption, ...]:
        """What was filled in on the way to the body; the body has defaults of its own."""
        if self.pipe is not None:
            return ()
        why = Sentence("Of the pipe only the bore is given; laterals are mostly polyethylene (common practice).")
        return (Assumption("material", Sentence(ASSUMED_MATERIAL), why),)

    def _pipe_faults(self) -> list[Refusal]:
        if (self.pipe is None) != (self.inside_diameter is None):
            return []
        told = "Nothing says what the pipe is." if self.pipe is None else "The pipe is described twice."
        return [Refusal(("pipe",), told, "one of pipe, inside_diameter")]
