"""What every rule looks at: the solved zone, its outlets' working bands and the limits in force."""

from __future__ import annotations

from dataclasses import dataclass

from service.schemas.answers import Finding, Severity
from service.units.sentence import Measured, Sentence
from service.zones.criteria import Limits
from service.zones.findings.codes import CODES
from service.zones.outlet_bands import OutletBands
from service.zones.solved import Solved
from service.zones.state import first_least


@dataclass(frozen=True, slots=True)
class Case:
    """One zone to be judged."""

    solved: Solved
    bands: OutletBands
    limits: Limits

    @property
    def critical(self) -> int:
        """Outlet group with the least pressure above its minimum, in the headline state."""
        return first_least(self.solved.headline.outlet_pressure - self.bands.minimum)


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
