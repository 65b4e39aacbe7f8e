"""What can be wrong with a job though each of its zones is sound."""

from __future__ import annotations

from service.units.sentence import Sentence
from service.zones.faults import Where, ZoneFault


class NoPrices(ZoneFault):
    """Labour, profit, taxes or a least charge are asked for, but there is no price book and so no currency."""

    slug = "no-prices"
    title = "The job has no prices"
    mend = "Send prices with their currency, empty parts if need be, or leave out what only a priced job has."

    def __init__(self, field: str) -> None:
        super().__init__(
            (field,),
            Sentence("Without prices there is no currency to reckon it in."),
            Sentence("prices beside it, or nothing here"),
        )


class TooDear(ZoneFault):
    """Quantities and prices make a total with more digits than a number of a document can tell to the cent."""

    slug = "job-too-dear"
    title = "The job comes to more than can be told exactly"
    mend = "Look for a length or a price that is off by some powers of ten, or send the job in parts."

    def __init__(self, *, limit: str) -> None:
        super().__init__(
            ("prices",),
            Sentence("The total is above {limit}.", {"limit": limit}),
            Sentence("prices that come to at most {limit} in all", {"limit": limit}),
        )


class JobTooLarge(ZoneFault):
    """The zones of the job together have more runs, or take more kinds of parts, than one job may have."""

    slug = "job-too-large"
    title = "The job is too large"
    mend = "Send the job in parts; quantities of the parts add up, packages are then rounded up in each."

    def __init__(self, where: Where, *, what: str, count: int, limit: int) -> None:
        facts: dict[str, str | int] = {"count": count, "what": what, "limit": limit}
        super().__init__(
            where,
            Sentence("The zones up to here have {count} {what}.", facts),
            Sentence("in a job at most {limit} {what}", facts),
        )


FAULTS: tuple[type[ZoneFault], ...] = (NoPrices, TooDear, JobTooLarge)
"""Every class of fault of a job, one page each."""
