"""What a takeoff answers: the list of materials with its reasons, and if there are prices what the job comes to.

SI inside; `to_wire` turns lengths into the caller's units. Amounts of money are decimals with the digits of their
currency, so that they add up to the cent.
"""

from typing import Annotated, ClassVar

from pydantic import Field

from service.schemas.answer import Answer
from service.schemas.answers import Assumed, Caution
from service.schemas.readings import Count, Length, Unit, Word
from service.schemas.takeoff_prices import LONGEST_ID
from service.schemas.wire import Measure, Said
from service.units.nothing_null import Perhaps

MOST_LINES = 20_000
MOST_ZONES = 1000

PartWord = Annotated[str, Field(max_length=LONGEST_ID, pattern=r"^[a-z0-9.-]+$")]
"""Id of a part."""

Long = Annotated[str, Field(max_length=1000, pattern=r"^[^\u0000-\u001f]*$")]
"""A longer text: a description or a source."""

LineId = Annotated[str, Field(max_length=LONGEST_ID + 20, pattern=r"^[a-z]+:[a-z0-9.-]+$")]
"""Section and part."""

Many = Annotated[int, Field(ge=0, le=10**15, json_schema_extra={"format": "int64"})]
"""How many pieces, of a thousand zones together."""

Money = Annotated[float, Field(ge=-1e15, le=1e15, allow_inf_nan=False, json_schema_extra={"format": "double"})]
"""An amount in the currency of the answer."""

Percent = Annotated[float, Unit("%"), Field(ge=0, le=1000, json_schema_extra={"format": "double"})]

Hours = Annotated[float, Unit("h"), Field(ge=0, le=1e18, json_schema_extra={"format": "double"})]


class Reason(Answer):
    """One reason for a quantity."""

    rule: Word
    """Short name of the rule, the same in every answer."""

    count: Measure
    """How much of the quantity it makes; for what joints use up, the joints."""

    says: Said
    """The rule in words."""

    source: Long
    """Where the rule comes from: the zone as sent, a standard, or `common practice, no source`."""


class ZoneQuantity(Answer):
    """What one zone needs of a line."""

    zone: Word
    quantity: Measure


class Package(Answer):
    """A kind of package to buy."""

    size: Measure
    """Pieces in it, or its length."""

    count: Many
    price: Perhaps[Money] = None
    """Price of one."""


class Line(Answer):
    """One part, or one piece of work."""

    id: LineId
    """Section and part: the same as long as the job uses the part."""

    section: Word
    """pipe, fittings, outlets, head, wiring, site or consumables."""

    part: PartWord
    """Id that a price book prices it by."""

    description: Said
    unit: Word
    """What it is counted by: each, can, …, or the unit of length."""

    needed: Measure
    """What is built in."""

    spare: Measure
    """What allowances add, and rounding up to whole pieces."""

    quantity: Measure
    """Needed and spare together."""

    bought: Measure
    """What the packages hold; the quantity where it comes one by one or in any length."""

    buy: Said
    """What to buy, in words."""

    packages: Annotated[list[Package], Field(max_length=20)]
    """The same as numbers. None where it comes in any length."""

    tax_class: Word
    amount: Perhaps[Money] = None
    """What it costs. Left out where it has no price."""

    currency: Perhaps[Word] = None
    """Currency of the amount, so that each line of a table can stand alone."""

    basis: Said
    """The counts and rules that the quantity follows from, with their sources."""

    reasons: Annotated[list[Reason], Field(max_length=40)]
    """The same one by one."""

    by_zone: Annotated[list[ZoneQuantity], Field(max_length=MOST_ZONES)]
    """What each zone needs, without spares. Together they make `needed`."""


class LabourLine(Answer):
    """One task."""

    task: Word
    per: Word
    count: Measure
    """How much there is to do."""

    unit: Word
    hours: Hours
    rate: Money
    """Price of an hour."""

    amount: Money


class ClassTotals(Answer):
    """What the lines of one tax class come to."""

    tax_class: Word
    cost: Money
    overhead: Money
    profit: Money
    price: Money
    """Cost, overhead and profit."""

    tax_rate: Percent
    tax: Money
    total: Money
    """Price and tax."""


class Range(Answer):
    """What the job comes to if everything uncertain is as low, or as high, as it may be."""

    low: Money
    high: Money


class Totals(Answer):
    """What the job comes to. Every total is the sum of amounts that are rounded already."""

    currency: Word
    complete: bool
    """Whether every line has a price. If not, the total is of the others."""

    says: Said
    """The total in words, with the lines that it leaves out."""

    materials: Money
    """Cost of parts and work."""

    labour: Money
    cost: Money
    """Materials and labour."""

    overhead: Money
    profit: Money
    price: Money
    """Cost, overhead and profit, and what the minimum charge adds."""

    minimum_charge: Money
    """What the minimum charge adds."""

    tax: Money
    total: Money
    """Price and tax."""

    range: Perhaps[Range] = None
    """Left out where nothing is uncertain."""

    formula: Word
    """How the price follows from the cost."""

    rounding: Word
    """How amounts are rounded."""

    by_class: Annotated[list[ClassTotals], Field(max_length=60)]


class Allowance(Answer):
    """A figure that quantities were made with."""

    what: Word
    """Field of `allowances`."""

    value: Said
    overridden: bool
    """Whether the caller chose it."""

    source: Word


class JobZoneAnswer(Answer):
    """One zone of the job, summed up."""

    zone: Word
    """What `by_zone` calls it."""

    runs: Count
    """Runs, copies counted."""

    outlets: Count
    length: Length
    """Length of all its pipe and tubing, small tubes of outlets included."""


class Work(Answer):
    """How much there is to do, by what tasks are done for."""

    length: Length
    pipe_length: Length
    tubing_length: Length
    dripline_length: Length
    small_tubing_length: Length
    trench_length: Length
    sleeve_length: Length
    wire_length: Length
    outlet: Many
    set_outlet: Many
    """Outlets that do not come inside their tubing."""

    hole: Many
    fitting: Many
    joint: Many
    end: Many
    """Line ends to flush."""

    stake: Many
    head: Many
    valve: Many
    zone: Many


class Note(Answer):
    """Something to know about the request."""

    code: Word
    where: Long
    message: Said


class TakeoffAnswer(Answer):
    """The takeoff of a job."""

    main_table: ClassVar[str] = "lines"

    name: Word
    units: Annotated[dict[str, Word], Field(max_length=40)]
    version: Word
    zones: Annotated[list[JobZoneAnswer], Field(max_length=MOST_ZONES)]
    lines: Annotated[list[Line], Field(max_length=MOST_LINES)]
    """The list of materials and work, by section and part."""

    labour: Perhaps[Annotated[list[LabourLine], Field(max_length=100)]] = None
    totals: Perhaps[Totals] = None
    """Left out where there are no prices."""

    unpriced: Perhaps[Annotated[list[PartWord], Field(max_length=MOST_LINES)]] = None
    """Parts without a price, where there are prices."""

    work: Work
    allowances: Annotated[list[Allowance], Field(max_length=40)]
    assumed: Annotated[list[Assumed], Field(max_length=4000)]
    notes: Annotated[list[Note], Field(max_length=MOST_LINES)]
    cautions: Annotated[list[Caution], Field(max_length=50)]
