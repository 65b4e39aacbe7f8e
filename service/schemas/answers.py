"""What a check answers. SI inside; `to_wire` turns it into the caller's units.

What does not exist is None here and left out of the document; a reason or `assumed` says why.
"""

from enum import StrEnum
from typing import Annotated, ClassVar

from pydantic import Field

from service.schemas.answer import Answer
from service.schemas.head_answers import FilterAnswer, RegulatorAnswer, SupplyAnswer
from service.schemas.readings import (
    Count,
    Flow,
    Length,
    OutletFlow,
    Percent,
    Place,
    Pressure,
    Temperature,
    Velocity,
    Volume,
    Word,
)
from service.schemas.wire import Measure, Said, Table
from service.units.nothing_null import Perhaps

LONGEST = 200_000
"""Most rows of a list that grows with the runs or the kinds of outlet of a zone. [-] Above any zone that is taken."""


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
    at: Place
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

    at: Place
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
    supply: SupplyAnswer
    regulator: RegulatorAnswer
    filter: FilterAnswer
    findings: Annotated[list[Finding], Field(max_length=LONGEST)]
    cautions: Annotated[list[Caution], Field(max_length=50)]


class LateralAnswer(Answer):
    """One lateral from a given inlet pressure."""

    main_table: ClassVar[str] = "profile"

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
