"""One lateral fed at a known pressure."""

from __future__ import annotations

from pydantic import Field

from service.schemas.options import LateralOptions
from service.schemas.runs import Line, Run
from service.schemas.water import LateralWater
from service.units.model import UnitModel
from service.units.quantity import PressureAboveZero
from service.units.sentence import Measured, Sentence
from service.units.text import RunId


class LateralRun(Line):
    """The run of a lateral."""

    id: RunId = "lateral"
    """What the answer calls it."""

    def as_run(self) -> Run:
        """The same run as one of a zone, starting at its inlet."""
        return Run.model_construct(self.model_fields_set, **dict(self))


class Lateral(UnitModel):
    """A lateral and the pressure at its inlet."""

    inlet_pressure: PressureAboveZero
    """Pressure at the start of the run while water flows."""

    run: LateralRun
    """The pipe with its outlets."""

    water: LateralWater = Field(default_factory=LateralWater)
    """The water."""

    options: LateralOptions = Field(default_factory=LateralOptions)
    """Choices, each with a default."""

    @property
    def title(self) -> str:
        """What stands over the lateral on paper: what the caller calls it, or its length and pipe."""
        run = self.run
        if run.name is not None or "id" in run.model_fields_set:
            return run.name or run.id
        facts: dict[str, Measured | str] = {"length": Measured(run.length, "length")}
        if run.pipe.id is not None:
            return Sentence("{length} of {pipe}", {**facts, "pipe": run.pipe.id}).said(self.units)
        bore = Measured(run.pipe.inside_diameter, "diameter")
        return Sentence("{length} of pipe, {bore} inside", {**facts, "bore": bore}).said(self.units)
