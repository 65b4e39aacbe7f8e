"""Pipe, tubing and dripline."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal, Self

from pydantic import Field, model_validator

from service.parts.materials import WALLS, Material, default_hazen_williams_c
from service.parts.part import Part
from service.units.model import Maybe, Model
from service.units.quantity import Diameter, Length, Plain, PressureRating, Roughness
from service.units.refusal import Refusal, refuse
from service.units.sentence import Measured, Sentence
from service.units.text import Name

HazenWilliamsC = Annotated[float, Plain(60, 170)]
"""Hazen-Williams coefficient, from old iron to the smoothest plastic. [-]"""

ROUGHEST = 0.05
"""Roughness over bore up to which friction formulas hold: the Moody chart ends there. [-]"""

PipeKind = Literal["pipe", "tubing", "dripline", "small_tubing"]
"""What trade calls it: rigid or pressure pipe, drip tubing, tubing with emitters inside, quarter-inch and smaller."""

Joining = Literal["solvent_weld", "threaded", "compression", "barbed", "soldered"]
"""How lengths of it and fittings are joined."""

LengthForm = Literal["stick", "coil"]
"""Whether it comes straight or wound up."""


class WrittenPipe(Model):
    """Pipe as a caller may write it out: what its hydraulics need."""

    inside_diameter: Diameter
    """Inside diameter."""

    material: Material
    """What it is made of; decides roughness and Hazen-Williams C where they are not given."""

    stated_roughness: Maybe[Roughness] = Field(default=None, alias="roughness")
    """Absolute roughness. That of the material if left out."""

    stated_c: Maybe[HazenWilliamsC] = Field(default=None, alias="hazen_williams_c")
    """Hazen-Williams coefficient. That of the material and bore if left out."""

    max_pressure: Maybe[PressureRating] = None
    """Highest pressure it is rated for, with cold water."""

    @model_validator(mode="after")
    def _is_no_rougher_than_a_pipe(self) -> Self:
        limit = Measured(ROUGHEST * self.inside_diameter, "roughness")
        told = Sentence("The wall is rougher than {limit}, a twentieth of the bore.", {"limit": limit})
        rough = self.roughness > limit.value
        refuse("Pipe", [Refusal(("roughness",), told, Sentence("at most {limit}", {"limit": limit}))] if rough else [])
        return self

    @property
    def roughness(self) -> float:
        """Absolute roughness, stated or of the material. [m]"""
        return WALLS[self.material].roughness if self.stated_roughness is None else self.stated_roughness

    @property
    def hazen_williams_c(self) -> float:
        """Hazen-Williams coefficient, stated or of material and bore. [-]"""
        return default_hazen_williams_c(self.material, self.inside_diameter) if self.stated_c is None else self.stated_c


class Pipe(Part, WrittenPipe):
    """Pipe of the catalogue, or one that was written out."""

    kind_of_part: ClassVar[str] = "pipe"

    kind: PipeKind = "pipe"
    """What trade calls it."""

    nominal: Maybe[Name] = None
    """Trade size, as `0.75in`: fittings are chosen by it."""

    outside_diameter: Maybe[Diameter] = None
    """Outside diameter."""

    joining: Maybe[Joining] = None
    """How it is joined."""

    form: Maybe[LengthForm] = None
    """Whether it is sold straight or wound up."""

    lengths: Annotated[tuple[Length, ...], Field(max_length=20)] = ()
    """Lengths it is sold in."""

    def in_full(self) -> Self:
        """The pipe with its roughness and Hazen-Williams C stated."""
        return self.model_copy(update={"stated_roughness": self.roughness, "stated_c": self.hazen_williams_c})

    @model_validator(mode="after")
    def _has_a_wall(self) -> Self:
        outside = self.outside_diameter
        if outside is not None and outside <= self.inside_diameter:
            inside = {"inside": Measured(self.inside_diameter, "diameter")}
            told = Sentence("The outside is no wider than the {inside} inside.", inside)
            refuse("Pipe", [Refusal(("outside_diameter",), told, Sentence("above {inside}", inside))])
        return self
