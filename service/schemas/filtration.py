"""What to ask filter advice with: the water, the flow, and what the filter is to protect."""

from __future__ import annotations

from typing import Self

from pydantic import Field, model_validator

from service.parts.choice import EmitterChoice
from service.schemas.water import Water
from service.units.model import Maybe, UnitModel
from service.units.quantity import FlowAboveZero, Passage
from service.units.refusal import Refusal, refused
from service.units.sentence import Measured, Sentence


class Filtration(UnitModel):
    """A flow of water through a filter, and the emitters or the passage behind it: one of the two."""

    water: Water = Field(default_factory=Water)
    """The water, with laboratory values where there are any."""

    flow: FlowAboveZero
    """Flow through the filter."""

    passage: Maybe[Passage] = None
    """Smallest passage behind the filter."""

    emitter: Maybe[EmitterChoice] = None
    """Catalogue id of the emitter behind the filter, or the emitter written out."""

    @model_validator(mode="after")
    def _protects_one_thing(self) -> Self:
        if (self.passage is None) == (self.emitter is None):
            told = "Two things are named to protect." if self.passage else "Nothing says what the filter is to protect."
            raise refused("Filtration", Refusal((), told, "exactly one of passage, emitter"))
        return self

    @property
    def title(self) -> str:
        """What stands over the advice on paper: the flow and where it comes from."""
        facts: dict[str, Measured | str] = {
            "flow": Measured(self.flow, "flow"),
            "source": self.water.source.replace("_", " "),
        }
        return Sentence("Filter for {flow} of water: {source}", facts).said(self.units)
