"""Rules about what a laboratory found in the water."""

from __future__ import annotations

from collections.abc import Iterator

from service.schemas.answers import Finding, Severity
from service.zones.findings.case import Case, say
from service.zones.water_notes import notes


def water_is_kind_to_outlets(case: Case) -> Iterator[Finding]:
    """What the water may clog, leave behind or not be judged by."""
    for note in notes(case.solved.zone.water):
        yield say(
            note.code,
            "water",
            note.told.template,
            dict(note.told.facts),
            value=note.value,
            limit=note.limit,
            severity=Severity.NOTE if note.mild else None,
            source=note.source,
        )
