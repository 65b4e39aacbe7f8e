"""What pictures of a zone are drawn from beside its check: every pipe traced, the response to supply pressure."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from service.schemas.answer import Answer
from service.schemas.answers import LONGEST, CriticalOutlet, Method, OutletReading
from service.schemas.head_answers import Thresholds
from service.schemas.readings import Count, Flow, Length, Pressure, Word
from service.schemas.wire import Said, Table
from service.units.nothing_null import Perhaps


class TracedPlace(Answer):
    """One place along a pipe."""

    at: Length
    elevation: Length
    pressure: Pressure
    flow: Flow
    """In the pipe just upstream."""


class TracedPlaces(Table):
    """Places as columns."""

    Row = TracedPlace


class Joint(Answer):
    """Where the far end of a pipe joins another one."""

    pipe: Count
    at: Length


class TracedPipe(Answer):
    """One run instance: where it leaves from, and the pressure and flow along it."""

    run: Word
    """Its address."""
    parent: Perhaps[Count] = None
    """Place in the list of the pipe it leaves from; the zone inlet if left out."""
    from_at: Length
    length: Length
    outlets: Count
    joins: Perhaps[Joint] = None
    places: TracedPlaces


class WorkingBand(Answer):
    """The pressures at which one kind of outlet works as made."""

    kind: Said
    minimum: Pressure
    maximum: Pressure


class Trace(Answer):
    """Every pipe of a zone."""

    name: Word
    units: dict[str, Word]
    version: Word
    method: Method
    state: Word
    """What the figures hold for, in a few words."""
    inlet_pressure: Pressure
    flow: Flow
    critical_outlet: CriticalOutlet
    behind_tube: bool
    """Whether that outlet hangs on a small tube, which makes its pressure another than that in the pipe."""
    band: WorkingBand
    """Of the critical outlet."""
    pipes: Annotated[list[TracedPipe], Field(max_length=LONGEST)]


class ResponseRow(Answer):
    """The zone at one supply pressure."""

    supply_pressure: Pressure
    """No-flow pressure of the supply at its gauge."""
    flow: Flow
    """With the filter due for cleaning, as the lowest pressure."""
    lowest_pressure: Pressure
    """At the outlet with the least, the filter due for cleaning."""
    highest_pressure: Pressure
    """At the outlet with the most, the filter clean."""


class ResponseRows(Table):
    """A ladder of supply pressures as columns."""

    Row = ResponseRow


class SupplyResponse(Answer):
    """What the outlets get as the pressure of the supply rises, its drop with flow kept."""

    name: Word
    units: dict[str, Word]
    version: Word
    supply_pressure: Pressure
    flow: Flow
    lowest_outlet: OutletReading
    """At the supply as it is, the filter due for cleaning."""
    band: Perhaps[WorkingBand] = None
    """Left out where outlets of different bands share the zone."""
    set_pressure: Perhaps[Pressure] = None
    """Of the regulator in `with_regulator`."""
    suggested: bool
    """Whether that regulator is one suggested, the head having none."""
    thresholds: Thresholds
    with_regulator: Perhaps[ResponseRows] = None
    without_regulator: ResponseRows
