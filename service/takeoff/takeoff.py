"""The whole takeoff of a job: counted zone by zone, rounded up to packages once, priced."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence, Sized
from functools import partial

from service import __version__
from service.schemas import takeoff_answers as told
from service.schemas.takeoff import JobZone, TakeoffJob
from service.schemas.takeoff_costs import LENGTHS
from service.schemas.takeoff_prices import PriceBook
from service.takeoff import remarks
from service.takeoff.buy import Purchase, purchase
from service.takeoff.count import count_zone
from service.takeoff.faults import JobTooLarge, NoPrices
from service.takeoff.lines import Line, Whole, add_coil_ends, in_order, make_lines
from service.takeoff.pricing import Priced, price_job
from service.takeoff.rules import RULES
from service.takeoff.said import basis, measure, reason, to_buy
from service.takeoff.shared import own_of_each
from service.takeoff.tally import Tally
from service.units.dimensions import labels
from service.zones.faults import Where, ZoneFault, ZoneFaults
from service.zones.instances import Limits, expand

NEEDS_PRICES = ("labour", "overhead", "markup", "margin", "tax", "minimum_charge", "quantity_uncertainty")

MOST_RUNS = 200_000
"""Runs of a job, copies counted. [-] A short body could ask for millions, which take a minute."""

RUNS, PARTS = "runs, copies counted", "kinds of parts"
"""What a job may have too many of."""

LONGEST_LABEL = 180
"""Characters of a zone's name that lists repeat, so that a number behind it has room. [-]"""


def takeoff(job: TakeoffJob, size: Limits | None = None, prices: PriceBook | None = None) -> told.TakeoffAnswer:
    """What it takes to build a job, and with prices what it comes to.

    Parameters
    ----------
    job : the zones and how they are to be taken off.
    size : how large each zone may be.
    prices : price book for a job that brings none.

    Raises
    ------
    ZoneFaults : everything that is wrong with the zones as wholes, of all zones at once.
    """
    book = job.prices or prices
    tallies = _tallies(job, size or Limits(), () if book else _costs_without_prices(job))
    whole = Whole.of(tallies)
    lines, bought = _bought(job, whole, book)
    labels_of_zones = zone_labels(job.zones)
    priced = None if book is None else price_job(job, book, lines, bought, whole.work)
    return told.TakeoffAnswer(
        name=job.name or (labels_of_zones[0] if job.zones[0].name and len(job.zones) == 1 else "job"),
        units=labels(job.units),
        version=__version__,
        zones=[_zone(label, tally) for label, tally in zip(labels_of_zones, tallies, strict=True)],
        lines=[_line(line, bought[line.item.line], labels_of_zones, job, priced) for line in lines],
        labour=None if priced is None or job.labour is None else priced.labour,
        totals=None if priced is None else priced.totals,
        unpriced=None if priced is None else priced.unpriced,
        work=_work(whole.work),
        allowances=remarks.allowances(job),
        assumed=remarks.assumed(job, tallies),
        notes=remarks.notes(job, lines, tallies, whole, [] if priced is None else priced.classes),
        cautions=remarks.cautions(job, lines),
    )


def _costs_without_prices(job: TakeoffJob) -> Iterable[ZoneFault]:
    return [NoPrices(field) for field in NEEDS_PRICES if field in job.model_fields_set]


def _tallies(job: TakeoffJob, size: Limits, found: Iterable[ZoneFault]) -> list[Tally]:
    """The counts of each zone, unless any fault was `found` or is. A zone is laid out, counted and let go."""
    tallies: list[Tally] = []
    faults = list(found)
    runs = 0
    for number, (zone, own) in enumerate(zip(job.zones, own_of_each(job), strict=True)):
        try:
            plan = expand(zone.runs, size, partial(_run_of_zone, number))
        except ZoneFaults as refused:
            faults += refused.faults
            continue
        if not faults:
            tallies.append(count_zone(job, zone, plan, own))
        runs += len(plan.instances)
        if runs > MOST_RUNS:
            faults.append(JobTooLarge(("zones", number), what=RUNS, count=runs, limit=MOST_RUNS))
            break
    if faults:
        raise ZoneFaults(faults)
    return tallies


def _run_of_zone(zone: int, run: int) -> Where:
    """Path of a run in the body of a job."""
    return ("zones", zone, "runs", run)


def _bought(job: TakeoffJob, whole: Whole, book: PriceBook | None) -> tuple[list[Line], dict[str, Purchase]]:
    """The lines in order, and what is bought of each. Pipe first, for its packages decide about couplings.

    Raises
    ------
    ZoneFaults : if there are more lines than a list may have.
    """
    lines = make_lines(whole, job.allowances)
    _limit(lines)
    bought = {name: purchase(line, book, len(lines)) for name, line in lines.items()}
    if job.allowances.coil_couplings:
        changed = add_coil_ends(lines, whole, {name: each.pieces for name, each in bought.items()})
        _limit(lines)
        bought |= {name: purchase(lines[name], book, len(lines)) for name in changed}
    return in_order(lines, whole.places), bought


def _limit(lines: Sized) -> None:
    if len(lines) > told.MOST_LINES:
        raise ZoneFaults([JobTooLarge(("zones",), what=PARTS, count=len(lines), limit=told.MOST_LINES)])


def zone_labels(zones: Sequence[JobZone]) -> list[str]:
    """What lists call each zone: its name, and its number where it has none or shares it."""
    names = Counter(zone.name for zone in zones)
    return [
        f"zone {number}"
        if zone.name is None
        else zone.name[:LONGEST_LABEL]
        if names[zone.name] == 1 and len(zone.name) <= LONGEST_LABEL
        else f"{zone.name[:LONGEST_LABEL]} ({number})"
        for number, zone in enumerate(zones, start=1)
    ]


def _line(line: Line, bought: Purchase, zones: Sequence[str], job: TakeoffJob, priced: Priced | None) -> told.Line:
    item, long = line.item, line.item.by_length
    needed = line.in_units(line.needed)
    amount = None if priced is None else priced.amount_of(item)
    return told.Line(
        id=item.line,
        section=item.section,
        part=item.id,
        description=item.name,
        unit=labels(job.units)["length"] if long else item.unit,
        needed=measure(needed, by_length=long),
        spare=measure(line.quantity - needed, by_length=long),
        quantity=measure(line.quantity, by_length=long),
        bought=measure(bought.held, by_length=long),
        buy=to_buy(line, bought),
        packages=[
            told.Package(
                size=measure(each.size, by_length=long),
                count=each.count,
                price=None if each.price is None else float(each.price),
            )
            for each in bought.packages
        ],
        tax_class=item.tax_class if priced is None else priced.class_of(item),
        amount=amount,
        currency=None if priced is None or amount is None else priced.book.currency,
        basis=basis(line),
        reasons=[
            told.Reason(
                rule=count.rule,
                count=measure(count.amount, by_length=long),
                says=reason(count),
                source=RULES[count.rule].source,
            )
            for count in line.counts
        ],
        by_zone=[
            told.ZoneQuantity(zone=zones[zone], quantity=measure(line.in_units(amount), by_length=long))
            for zone, amount in line.by_zone
        ],
    )


def _zone(label: str, tally: Tally) -> told.JobZoneAnswer:
    return told.JobZoneAnswer(
        zone=label, runs=tally.runs, outlets=round(tally.work["outlet"]), length=tally.work["length"]
    )


def _work(work: Mapping[str, float]) -> told.Work:
    amounts = {name: work.get(name, 0.0) for name in told.Work.model_fields}
    return told.Work(**{name: amount if name in LENGTHS else round(amount) for name, amount in amounts.items()})
