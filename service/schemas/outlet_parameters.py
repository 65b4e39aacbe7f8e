"""Query parameters that describe evenly spaced outlets."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar

from pydantic import Field

from service.parts.emitter import Exponent
from service.schemas.outlets import PerPlace
from service.schemas.query import EmitterId, Where, given
from service.units.model import Maybe, QueryModel
from service.units.quantity import Count, Length, OutletFlow, PressureAboveZero
from service.units.refusal import Refusal
from service.units.sentence import Measured, Sentence

OWN_LAW = ("at_pressure", "exponent", "min_pressure", "max_pressure")
"""Parameters that go with `outlet_flow` alone; a catalogue emitter has its own."""


class OutletParameters(QueryModel):
    """Equal outlets at equal spacing: an `emitter` of the catalogue, or an `outlet_flow` with its law."""

    crowding: ClassVar[str] = "spacing"  # parameter that makes too many outlets

    spacing: Annotated[Length, Field(examples=[1])]
    """Distance from one place with outlets to the next."""

    first_at: Maybe[Length] = None
    """Distance of the first place from the start of the lateral. Half a spacing if left out."""

    count: Maybe[Count] = None
    """Places on one lateral. All that fit if left out."""

    per_place: Maybe[PerPlace] = None
    """Outlets at one place. One if left out."""

    emitter: Annotated[Maybe[EmitterId], Field(examples=["inline-compensating-0.6gph"])] = None
    """Catalogue id of the emitter; in place of `outlet_flow`."""

    outlet_flow: Maybe[OutletFlow] = None
    """Flow of one outlet: at `at_pressure`, or from `min_pressure` to `max_pressure`."""

    at_pressure: Maybe[PressureAboveZero] = None
    """Pressure at which the outlet gives its flow; goes with `exponent`."""

    exponent: Maybe[Exponent] = None
    """Exponent by which its flow grows with pressure."""

    min_pressure: Maybe[PressureAboveZero] = None
    """Least pressure at which it works as made; without `exponent`, that of a compensating outlet."""

    max_pressure: Maybe[PressureAboveZero] = None
    """Greatest pressure at which it works as made."""

    def parameter_at(self, where: Where) -> str:
        """The parameter to mend for a fault at this place in the body that the query is short for."""
        last = str(where[-1]) if where else ""
        return last if last in type(self).model_fields else self.crowding

    def even_outlets(self) -> dict[str, Any]:
        """The outlets along one lateral as fields of a body, if `outlet_faults` has none."""
        return given(
            emitter=self.emitter or self._written_out(),
            spacing=self.spacing,
            first_at=self.first_at,
            count=self.count,
            per_place=self.per_place,
        )

    def outlet_faults(self) -> list[Refusal]:
        """What keeps the parameters from describing outlets."""
        if (self.emitter is None) == (self.outlet_flow is None):
            told = "Nothing says what the outlets are." if self.emitter is None else "The outlets are described twice."
            return [Refusal(("emitter",), told, "one of emitter, outlet_flow")]
        if self.emitter is not None:
            told = "A catalogue emitter has a law of its own."
            law = [name for name in OWN_LAW if getattr(self, name) is not None]
            return [Refusal((name,), told, f"no {name} beside emitter") for name in law]
        return [*self._halves(), *self._upside_down()]

    def _written_out(self) -> dict[str, Any]:
        working = None if self.min_pressure is None else (self.min_pressure, self.max_pressure)
        return given(
            flow=self.outlet_flow, at_pressure=self.at_pressure, exponent=self.exponent, pressure_range=working
        )

    def _halves(self) -> list[Refusal]:
        refusals = []
        for one, other in (OWN_LAW[:2], OWN_LAW[2:]):
            for here, missing in ((one, other), (other, one)):
                if getattr(self, here) is not None and getattr(self, missing) is None:
                    refusals.append(Refusal((missing,), f"It goes with {here}.", f"{missing} beside {here}"))
        if all(getattr(self, name) is None for name in OWN_LAW):
            told = "Nothing says how the flow of an outlet depends on pressure."
            accepted = "beside it at_pressure and exponent, or min_pressure and max_pressure"
            refusals.append(Refusal(("outlet_flow",), told, accepted))
        return refusals

    def _upside_down(self) -> list[Refusal]:
        if self.min_pressure is None or self.max_pressure is None or self.max_pressure > self.min_pressure:
            return []
        least = {"least": Measured(self.min_pressure, "pressure")}
        told = Sentence("The greatest pressure is not above the least, {least}.", least)
        return [Refusal(("max_pressure",), told, Sentence("above {least}", least))]
