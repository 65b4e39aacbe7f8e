"""What a check answers. SI inside; `to_wire` turns it into the caller's units.

What does not exist is None here and left out of the document; a reason or `assumed` says why.
"""

from enum import StrEnum
from typing import Annotated

from pydantic import ConfigDict, Field

from service.schemas.nothing_null import NothingNull, Perhaps
from service.schemas.readings import (
    Count,
    Flow,
    Length,
    Number,
    Opening,
    OutletFlow,
    Percent,
    Pressure,
    Temperature,
    Velocity,
    Volume,
    Word,
)
from service.schemas.wire import Measure, Said, Table

LONGEST = 4000
"""Most rows of a list that grows with the runs of a zone. [-]"""


class Answer(NothingNull):
    """Base of everything the service answers."""

    model_config = ConfigDict(frozen=True, use_attribute_docstrings=True, populate_by_name=True)


class Severity(StrEnum):
    """What a finding does to the verdict."""

    FAIL = "fail"
    CAUTION = "caution"
    NOTE = "note"


class Verdict(StrEnum):
    """What the findings come to."""

    PASS = "pass"  # noqa: S105 - a verdict, no password
    CAUTION = "caution"
    FAIL = "fail"


class WaterUsed(Answer):
    """The water that was computed with."""

    temperature: Temperature


class Method(Answer):
    """How the figures came about."""

    friction: Word
    """Friction law."""
    water: WaterUsed
    filter_state: Word
    """State of the filter that the headline figures belong to."""
    converged: bool
    """Always true: what does not converge is an error, never an answer."""
    iterations: Count
    residual: Pressure
    """Largest error left in the energy equation of any link."""


class Assumed(Answer):
    """A default that was filled in."""

    what: Word
    """Which field or figure."""
    value: Said
    why: Said


class OutletReading(Answer):
    """Pressure and flow of one outlet."""

    run: Word
    """Address of the run instance."""
    at: Length
    """Distance along the run."""
    pressure: Pressure
    flow: OutletFlow


class CriticalOutlet(OutletReading):
    """The outlet with the least pressure to spare above its minimum."""

    minimum: Pressure
    margin: Pressure
    """Pressure less minimum; below zero, it starves."""


class EndOfLine(Answer):
    """The far end of a run instance that ends open to nothing."""

    run: Word
    pressure: Pressure
    elevation: Length
    """Above the zone inlet."""


class KindUniformity(Answer):
    """How evenly one kind of outlet waters. All figures in percent."""

    kind: Said
    """The part, and its setting where it has one."""
    count: Count
    flow_variation: Percent
    """(largest - least) / largest flow."""
    emission_uniformity: Percent
    statistical_uniformity: Percent
    christiansen: Percent
    low_quarter: Percent
    """Mean of the lowest quarter of flows over the mean of all."""
    hydraulic_only: bool
    """True where the part states no manufacturing variation: then the emission uniformity holds pressure alone."""
    class_: Annotated[Word, Field(alias="class")]
    """Class of the statistical uniformity."""


class Uniformity(KindUniformity):
    """The worst kind of outlet, and each kind."""

    by_kind: Annotated[list[KindUniformity], Field(max_length=LONGEST)]


class BudgetStage(Answer):
    """One step of the way from the supply to the critical outlet."""

    stage: Word
    kind: Word
    """supply, device, regulation, friction, local, tube or elevation."""
    flow: Flow
    loss: Pressure
    """Pressure lost here for good; what a holding regulator takes away is listed here with kind regulation."""
    elevation_change: Pressure
    """Pressure given up to height, below zero where the water falls."""
    pressure_after: Pressure


class ProfileRow(Answer):
    """One place along a run."""

    at: Length
    elevation: Length
    pressure: Pressure
    outlet_flow: Perhaps[OutletFlow] = None
    """Flow of one outlet here, where there is one."""
    flow: Flow
    """In the pipe just upstream."""
    velocity: Velocity
    loss: Pressure
    """Friction and local losses from the start of the run."""


class Profile(Table):
    """A profile as columns."""

    Row = ProfileRow


class RunAnswer(Answer):
    """One run instance."""

    run: Word
    inlet_flow: Flow
    velocity: Velocity
    """Fastest in this run."""
    inlet_pressure: Pressure
    end_pressure: Pressure
    lowest_pressure: Pressure
    friction_loss: Pressure
    """From its start to its end: friction with the connections of outlets, and its fittings."""
    elevation_change: Pressure
    """Pressure given up to height from its start to its end."""
    volume: Volume
    """Water that the run holds."""
    profile: Perhaps[Profile] = None


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


class RegulatorAnswer(Answer):
    """Whether this zone on this supply wants a regulator, and which."""

    advice: Advice
    state: Word
    """holding, not_holding, or absent."""
    thresholds: Thresholds
    supply_pressure: Pressure
    """No-flow pressure of the supply at its gauge."""
    flow: Flow
    suits: Annotated[list[Word], Field(max_length=200)]
    """Catalogue regulators whose set pressure and flow range suit the zone."""
    suggested_set_pressure: Perhaps[Pressure] = None
    tolerates: Perhaps[tuple[Pressure, Pressure]] = None
    """Least and greatest set pressure that the zone tolerates."""
    reasons: Annotated[list[Said], Field(max_length=50)]


class FilterAnswer(Answer):
    """Which filter this water and these outlets need."""

    advice: Word
    """fit, keep, replace."""
    type: Word
    mesh: Perhaps[Number] = None
    opening: Opening
    """Widest opening that protects the outlets."""
    flow: Flow
    clean_loss: Perhaps[Pressure] = None
    dirty_loss: Perhaps[Pressure] = None
    clean_when: Said
    clogging_hazard: Word
    """slight, moderate, severe, or unknown without a water analysis."""
    reasons: Annotated[list[Said], Field(max_length=50)]


class Finding(Answer):
    """One thing that a designer would say about the zone."""

    code: Word
    severity: Severity
    where: Word
    message: Said
    value: Perhaps[Measure] = None
    limit: Perhaps[Measure] = None
    dimension: Perhaps[Word] = None
    """Of value and limit: `units` names its unit. Left out for percentages and counts."""
    source: Word


class Caution(Answer):
    """What the work can hurt, and who decides."""

    topic: Word
    message: Said


class CheckAnswer(Answer):
    """The whole check of a zone."""

    name: Word
    units: Annotated[dict[str, Word], Field(max_length=40)]
    version: Word
    method: Method
    assumed: Annotated[list[Assumed], Field(max_length=LONGEST)]
    verdict: Verdict
    """Follows from the findings alone."""
    flow: Flow
    zone_inlet_pressure: Pressure
    end_of_line_pressure: Perhaps[Pressure] = None
    """The lowest of `end_of_line`; left out where every run closes."""
    lowest_outlet: OutletReading
    highest_outlet: OutletReading
    critical_outlet: CriticalOutlet
    end_of_line: Annotated[list[EndOfLine], Field(max_length=LONGEST)]
    uniformity: Uniformity
    loss_budget: Annotated[list[BudgetStage], Field(max_length=LONGEST)]
    runs: Perhaps[Annotated[list[RunAnswer], Field(max_length=LONGEST)]] = None
    regulator: RegulatorAnswer
    filter: FilterAnswer
    findings: Annotated[list[Finding], Field(max_length=LONGEST)]
    cautions: Annotated[list[Caution], Field(max_length=50)]


class LateralAnswer(Answer):
    """One lateral from a given inlet pressure."""

    name: Word
    units: Annotated[dict[str, Word], Field(max_length=40)]
    version: Word
    method: Method
    assumed: Annotated[list[Assumed], Field(max_length=LONGEST)]
    inlet_pressure: Pressure
    flow: Flow
    end_of_line_pressure: Pressure
    friction_loss: Pressure
    elevation_change: Pressure
    velocity: Velocity
    volume: Volume
    lowest_outlet: OutletReading
    highest_outlet: OutletReading
    critical_outlet: CriticalOutlet
    uniformity: Uniformity
    findings: Annotated[list[Finding], Field(max_length=LONGEST)]
    profile: Profile
