"""What every rule looks at: the solved zone, its outlets' working bands and the limits in force."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from service.schemas.answers import Finding, Severity, Uniformity
from service.units.sentence import Measured, Sentence
from service.zones.criteria import Limits
from service.zones.filtering import Filtering
from service.zones.findings.codes import CODES
from service.zones.outlet_bands import OutletBands
from service.zones.solved import Solved
from service.zones.state import first_least
from service.zones.uniformity import uniformity


@dataclass(frozen=True)
class Case:
    """One zone to be judged."""

    solved: Solved
    bands: OutletBands
    limits: Limits

    @cached_property
    def critical(self) -> int:
        """Outlet group with the least pressure above its minimum, in the headline state."""
        return first_least(self.solved.headline.outlet_pressure - self.bands.minimum)

    @cached_property
    def uniformity(self) -> Uniformity:
        """How evenly each kind of outlet waters, in the headline state."""
        return uniformity(self.solved.headline)

    @cached_property
    def filtering(self) -> Filtering:
        """The water, and what is to protect the outlets from it."""
        return Filtering.of(self.solved, self.limits)


Facts = dict[str, "Measured | Sentence | str | int | float"]


def say(
    code: str,
    where: str,
    template: str,
    facts: Facts,
    *,
    source: str,
    value: Measured | float | None = None,
    limit: Measured | float | None = None,
    severity: Severity | None = None,
) -> Finding:
    """A finding of a code; `template` is a sentence with the number, the limit and what to do."""
    measured = [quantity for quantity in (value, limit) if isinstance(quantity, Measured)]
    return Finding(
        code=code,
        severity=severity or CODES[code][0],
        where=where,
        message=Sentence(template, {**facts, "where": where}),
        value=value,
        limit=limit,
        dimension=measured[0].dimension if measured else None,
        source=source,
    )


def pressure(value: float) -> Measured:
    """A pressure in Pa, to be said."""
    return Measured(value, "pressure")


def length(value: float) -> Measured:
    """A length in m, to be said."""
    return Measured(value, "length")
