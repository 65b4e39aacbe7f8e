"""The water: where it comes from, how warm it is, and what a laboratory found in it."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import model_validator

from service.units.model import Maybe, Model
from service.units.quantity import Concentration, Plain, Temperature
from service.units.refusal import Refusal, refused
from service.units.sentence import Measured, Sentence

Source = Literal["municipal", "well", "sandy_well", "pond", "lake", "stream", "rainwater", "reclaimed", "grey"]

DEFAULT_TEMPERATURE = 20.0
"""Temperature of water nobody measured. [°C] Common practice: the reference temperature of pipe tables."""

Acidity = Annotated[float, Plain(0, 14)]
"""pH. [-]"""

BacterialCount = Annotated[float, Plain(0, 1e9)]
"""Bacteria in water. [1/mL]"""


class LateralWater(Model):
    """Water as far as friction feels it."""

    temperature: Temperature = DEFAULT_TEMPERATURE
    """Temperature of the water in the pipes. 20 °C (68 °F) if left out."""


class Water(LateralWater):
    """The water of a zone. Laboratory values are optional; each one given is judged."""

    source: Source = "municipal"
    """Where the water comes from; decides the type of filter."""

    warmest_temperature: Maybe[Temperature] = None
    """Warmest that it gets in the pipes, as in tubing in the sun; for scale and for the rating of
    pipe that warmth weakens. `temperature` if left out."""

    suspended_solids: Maybe[Concentration] = None
    """Suspended solids."""

    ph: Maybe[Acidity] = None
    """pH."""

    dissolved_solids: Maybe[Concentration] = None
    """Total dissolved solids."""

    manganese: Maybe[Concentration] = None
    """Manganese."""

    iron: Maybe[Concentration] = None
    """Total iron."""

    hydrogen_sulfide: Maybe[Concentration] = None
    """Hydrogen sulfide."""

    bacteria: Maybe[BacterialCount] = None
    """Bacteria per millilitre."""

    calcium_hardness: Maybe[Concentration] = None
    """Calcium hardness as CaCO3."""

    alkalinity: Maybe[Concentration] = None
    """Total alkalinity as CaCO3."""

    @property
    def warmest(self) -> float:
        """Warmest that it gets in the pipes. [°C]"""
        return self.temperature if self.warmest_temperature is None else self.warmest_temperature

    @model_validator(mode="after")
    def _warmest_is_no_colder(self) -> Self:
        if self.warmest < self.temperature:
            facts = {
                "warmest": Measured(self.warmest, "temperature"),
                "usual": Measured(self.temperature, "temperature"),
            }
            told = Sentence("The warmest that it gets, {warmest}, is below its temperature of {usual}.", facts)
            raise refused("Water", Refusal(("warmest_temperature",), told, Sentence("{usual} or more", facts)))
        return self
