"""What was assumed in a takeoff, what to know about the request, and what the work can hurt."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from service.parts.listed import joining_of
from service.parts.sundry import SAID_JOINING
from service.parts.trade_sizes import said
from service.schemas.answers import Assumed, Caution
from service.schemas.devices import HeadBackflowPreventer, HeadInjector
from service.schemas.takeoff import TakeoffJob
from service.schemas.takeoff_answers import Allowance, Note
from service.schemas.takeoff_costs import Tax
from service.takeoff.lines import Facts, Line, Whole
from service.takeoff.rules import COMMON_PRACTICE
from service.takeoff.tally import Tally
from service.takeoff.ways import SIZES
from service.units.sentence import Measured, Sentence

NAMED_UNUSED = 5
"""Prices without a use that are named. [-] A book of the house has thousands."""


def assumed(job: TakeoffJob, tallies: Sequence[Tally]) -> list[Assumed]:
    """Everything that was assumed about a job."""
    return [
        _assumed(
            "supply", "already there", "The meter, the service line and the tap that feed a head are not counted."
        ),
        _assumed(
            "runs",
            "straight on",
            "A run that goes on from the end of another is joined without a turn; list elbows in its fittings.",
        ),
        *_heads(job, tallies),
        *_described(job),
    ]


def _assumed(what: str, value: str, why: str) -> Assumed:
    return Assumed(what=what, value=Sentence("{value}", {"value": value}), why=Sentence(why))


def _heads(job: TakeoffJob, tallies: Sequence[Tally]) -> Iterator[Assumed]:
    if job.head_size is None:
        sizes = sorted({tally.head_size for tally in tallies}, key=SIZES.index)
        yield _assumed(
            "head_size",
            ", ".join(str(said(size)) for size in sizes),
            "The widest pipe that leaves a head, 0.75 in at least.",
        )
    headless = sum(not zone.head for zone in job.zones)
    if headless:
        yield _assumed(
            "zones.head", f"none in {headless} of {len(job.zones)}", "A zone that lists no devices has none."
        )


def _described(job: TakeoffJob) -> Iterator[Assumed]:
    pipes = {run.pipe.material: joining_of(run.pipe) for zone in job.zones for run in zone.runs if not run.pipe.joining}
    for material, joining in sorted(pipes.items()):
        why = "How pipe of this material is joined where nothing says so. Common practice, no source."
        yield _assumed(f"joining of {material.replace('_', ' ')} pipe", SAID_JOINING[joining], why)


def allowances(job: TakeoffJob) -> list[Allowance]:
    """Every allowance with its value and whether the caller chose it."""
    chosen = job.allowances
    values: Mapping[str, object] = {
        **dict(chosen),
        "tubing_stake_spacing": Measured(chosen.stake_spacing("tubing"), "length"),
        "dripline_stake_spacing": Measured(chosen.stake_spacing("dripline"), "length"),
    }
    return [
        Allowance(
            what=name,
            value=_value(value),
            overridden=name in chosen.model_fields_set,
            source="the caller" if name in chosen.model_fields_set else COMMON_PRACTICE,
        )
        for name, value in values.items()
    ]


def _value(value: object) -> Sentence:
    if isinstance(value, Measured):
        return Sentence("{value}", {"value": value})
    if isinstance(value, bool):
        return Sentence("yes" if value else "no")
    return Sentence("{value} %", {"value": value}) if isinstance(value, float) else Sentence(str(value))


def notes(
    job: TakeoffJob, lines: Sequence[Line], tallies: Sequence[Tally], whole: Whole, classes: Sequence[str]
) -> list[Note]:
    """What to know about the request; `classes` are the tax classes of the job where it is priced."""
    return [
        *_shared(job),
        *_unlike(whole),
        *_inside(job, tallies),
        *_unused_prices(job, lines),
        *_classes(job.tax, classes),
    ]


def _shared(job: TakeoffJob) -> Iterator[Note]:
    holders = sum(any(isinstance(device, HeadBackflowPreventer) for device in zone.head) for zone in job.zones)
    if holders > 1 and "backflow_preventer" not in job.shared:
        told = "{count} zones each have a backflow preventer. If one serves them all, name it under shared."
        yield Note(code="backflow-each", where="#/shared", message=Sentence(told, {"count": holders}))


def _unlike(whole: Whole) -> Iterator[Note]:
    for line, written in whole.described.items():
        if len(written) > 1:
            told = "What is written of {part} differs: {count} unlike kinds share this line, and one price serves all."
            facts: Facts = {"part": whole.items[line].id, "count": len(written)}
            yield Note(code="unlike-parts", where="#/zones", message=Sentence(told, facts))


def _inside(job: TakeoffJob, tallies: Sequence[Tally]) -> Iterator[Note]:
    for number, (zone, tally) in enumerate(zip(job.zones, tallies, strict=True)):
        for (valve, run, at), count in sorted(tally.inside.items(), key=lambda entry: entry[0][1:]):
            told = Sentence(
                "{count} × {valve}: within {run}, {at} from its start, on a crest or in a hollow.",
                {
                    "count": count,
                    "valve": tally.items[valve].name,
                    "run": zone.runs[run].id,
                    "at": Measured(at, "length"),
                },
            )
            yield Note(code="valve-within-a-run", where=f"#/zones/{number}/runs/{run}", message=told)


def _unused_prices(job: TakeoffJob, lines: Sequence[Line]) -> Iterator[Note]:
    used = {line.item.id for line in lines}
    unused = [part for part in (() if job.prices is None else job.prices.parts) if part not in used]
    if unused:
        more = len(unused) - NAMED_UNUSED
        facts: Facts = {"count": len(unused), "parts": ", ".join(unused[:NAMED_UNUSED]), "more": more}
        told = "Prices that the job does not use: {parts}" + (" and {more} more." if more > 0 else ".")
        yield Note(code="unused-price", where="#/prices/parts", message=Sentence(told, facts))


def _classes(tax: Tax | None, classes: Sequence[str]) -> Iterator[Note]:
    rates = {} if tax is None else tax.rates
    for name in rates:
        if name not in classes:
            told = Sentence("No line of the job is of the tax class {name}.", {"name": name})
            yield Note(code="unused-tax-class", where=f"#/tax/rates/{name}", message=told)
    for name in classes if tax is not None else ():
        if name not in rates:
            told = Sentence("The tax class {name} has no rate, so that it is not taxed.", {"name": name})
            yield Note(code="no-tax-rate", where="#/tax/rates", message=told)


def cautions(job: TakeoffJob, lines: Sequence[Line]) -> list[Caution]:
    """What the work can hurt, and who decides."""
    parts = {line.item.id for line in lines}
    devices = [device for zone in job.zones for device in zone.head]
    buried = any(run.pipe.kind == "pipe" for zone in job.zones for run in zone.runs) or "trench" in parts
    told = {
        "backflow": (
            any(isinstance(device, HeadBackflowPreventer) for device in devices),
            "The kind of backflow preventer, its height and its test are for the local authority to say.",
        ),
        "injection": (
            any(isinstance(device, HeadInjector) for device in devices),
            "A check valve and vacuum relief beside the injector are not counted: the local authority says which.",
        ),
        "digging": (buried, "Have buried utilities located and marked before digging."),
        "electricity": ("valve-wire" in parts, "Wiring is for qualified people under the local electrical code."),
        "verify": (
            True,
            "The list follows from the zones as sent: walk the site for turns, obstacles and what is there already.",
        ),
    }
    return [Caution(topic=topic, message=Sentence(words)) for topic, (applies, words) in told.items() if applies]
