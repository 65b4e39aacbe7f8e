"""What is said about the supply and the head of a zone: what is left, which regulator, which filter."""

from enum import StrEnum
from typing import Annotated

from pydantic import Field

from service.schemas.answer import Answer
from service.schemas.readings import Count, Duration, Flow, Number, Opening, Pressure, Temperature, Volume, Word
from service.schemas.wire import Measure, Said
from service.units.nothing_null import Perhaps

Reasons = Annotated[list[Said], Field(max_length=50)]
"""Plain sentences, each with its number and its limit."""


class FlowLimit(Answer):
    """How much another zone could draw at the same time before one thing gives out."""

    what: Word
    """outlets, flow_test, meter, service_line or pump_curve."""
    flow: Flow
    """Flow left for the other zone."""
    why: Said


class SupplyAnswer(Answer):
    """What the supply gives this zone, and what it has left."""

    kind: Word
    """main, tank or pump."""
    pressure: Pressure
    """No-flow pressure at its gauge."""
    pressure_left: Pressure
    """Where the head begins, at the flow of the zone."""
    flow: Flow
    flow_left: Perhaps[Flow] = None
    """Flow that another zone on the same supply could draw at the same time; left out where nothing told limits it."""
    limits: Annotated[list[FlowLimit], Field(max_length=10)]
    """What limits that flow, the tightest first."""
    reasons: Reasons


class Threshold(Answer):
    """A supply pressure at which something changes."""

    pressure: Pressure
    decided_by: Annotated[list[Said], Field(max_length=100)]
    """The outlets or parts that decide it, ties listed."""


class Thresholds(Answer):
    """No-flow pressures of the supply at which something changes; one that does not exist is left out."""

    lowest_without_regulator: Perhaps[Threshold] = None
    """From here every outlet gets its minimum with no regulator, the filter due for cleaning."""
    works_with_regulator: Perhaps[Threshold] = None
    """From here every outlet gets its minimum with the regulator, holding or not."""
    lowest_with_regulator: Perhaps[Threshold] = None
    """From here the regulator also holds its set pressure."""
    highest_without_regulator: Perhaps[Threshold] = None
    """Above this some part sees more than its stated maximum, the filter clean."""
    highest_shut_off: Perhaps[Threshold] = None
    """Above this something sees more than its rating with the flow shut off beyond it."""
    common_practice: Threshold
    """The rule of thumb of the trade (common practice, no source)."""


class Advice(StrEnum):
    """What to do about a regulator."""

    REQUIRED = "required"
    RECOMMENDED = "recommended"
    OPTIONAL = "optional"
    LEAVE_OUT = "leave_out"
    REWORK_ZONE = "rework_zone"


class TolerableSetPressures(Answer):
    """Set pressures of a regulator, placed last in the head, that the zone tolerates."""

    least: Pressure
    """Below this some outlet lacks its minimum, or some place of pipe draws air in."""
    most: Perhaps[Pressure] = None
    """Above this something beyond the regulator sees more than it bears; left out where nothing states a maximum."""


class SuitingRegulator(Answer):
    """A regulator that suits the zone."""

    part: Word
    """Its catalogue id, or what the head calls it."""
    set_pressure: Pressure
    least_flow: Perhaps[Flow] = None
    most_flow: Perhaps[Flow] = None
    margin_below: Pressure
    """Of the zone inlet above the least that the zone tolerates."""
    margin_above: Perhaps[Pressure] = None
    """Of the zone inlet below the first overload."""
    holds_from: Perhaps[Pressure] = None
    """No-flow pressure of the supply from which it holds, the filter due for cleaning."""


class RegulatorAnswer(Answer):
    """Whether this zone on this supply wants a regulator, and which."""

    advice: Advice
    state: Word
    """holding, not_holding, or absent."""
    thresholds: Thresholds
    supply_pressure: Pressure
    """No-flow pressure of the supply at its gauge."""
    flow: Flow
    """Of the zone as it stands, and of those that share its regulator; with no regulator in the head, without one."""
    flow_left: Perhaps[Flow] = None
    """Flow that zones sharing the head's regulator could still draw through it while it holds."""
    tolerates: Perhaps[TolerableSetPressures] = None
    suits: Annotated[list[SuitingRegulator], Field(max_length=200)]
    """Catalogue regulators whose set pressure and flow range suit the zone."""
    suggested_set_pressure: Perhaps[Pressure] = None
    suggestion: Perhaps[SuitingRegulator] = None
    """The one to take, if one is taken: the head's own, or one of those that suit; a reason says why there is none."""
    reasons: Reasons


class SuitingFilter(Answer):
    """A filter body that suits water, outlets and flow."""

    part: Word
    type: Word
    opening: Perhaps[Opening] = None
    clean_loss: Perhaps[Pressure] = None
    dirty_loss: Perhaps[Pressure] = None


class BetweenCleanings(Answer):
    """Roughly how long a filter lasts from one cleaning to the next."""

    volume: Volume
    duration: Duration
    """Running at the zone's flow."""
    why: Said


class Published(Answer):
    """The class that one published table puts a value in."""

    hazard: Word
    """slight, moderate or severe."""
    moderate_from: Measure
    severe_above: Measure
    source: Word


class Constituent(Answer):
    """How likely one thing in the water is to clog outlets."""

    constituent: Word
    value: Measure
    dimension: Perhaps[Word] = None
    """Of value and limits: `units` names its unit. Left out for pH and for bacteria, which are per millilitre."""
    hazard: Word
    """By the strictest of the tables."""
    tables: Annotated[list[Published], Field(max_length=5)]


class Scaling(Answer):
    """Whether carbonate scale falls out in the pipes, by the Langelier index."""

    index: Number
    """pH less the pH of saturation; above nought the water tends to scale."""
    saturation_ph: Number
    temperature: Temperature
    """Warmest in the pipes."""
    tends_to: Word
    """scale or dissolve."""


class Treatment(Answer):
    """A family of treatments. Which one and how much is for a licensed applicator and local code."""

    against: Word
    family: Said


class FilterAnswer(Answer):
    """Which filter this water and these outlets need."""

    advice: Word
    """fit, keep, add (another in a row with the head's), replace."""
    type: Word
    mesh: Perhaps[Count] = None
    opening: Opening
    """Widest opening that protects the outlets."""
    flow: Flow
    clean_loss: Perhaps[Pressure] = None
    """Of the head's filters, or of the suggested ones, at that flow."""
    dirty_loss: Perhaps[Pressure] = None
    clean_when: Said
    between_cleanings: Perhaps[BetweenCleanings] = None
    suggested: Annotated[list[Word], Field(max_length=3)]
    """Catalogue filters to take, in the order in which water meets them."""
    suits: Annotated[list[SuitingFilter], Field(max_length=100)]
    placement: Said
    clogging_hazard: Word
    """slight, moderate, severe, or unknown without a water analysis."""
    constituents: Annotated[list[Constituent], Field(max_length=10)]
    scaling: Perhaps[Scaling] = None
    treatments: Annotated[list[Treatment], Field(max_length=10)]
    reasons: Reasons
