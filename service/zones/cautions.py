"""What the work can hurt, said only where it applies, and who decides."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from service.schemas.answers import Caution, Finding
from service.schemas.devices import HeadInjector, HeadValve
from service.schemas.water import Water
from service.units.sentence import Sentence
from service.zones.findings.case import Case

NON_POTABLE = frozenset({"reclaimed", "grey", "rainwater", "pond", "lake", "stream"})
"""Sources whose water nobody should drink."""

OVER_RATING = frozenset({"pipe-pressure-high", "device-pressure-high", "shut-off-pressure-high"})
"""Findings about parts above their pressure rating."""

TOLD: Mapping[str, str] = MappingProxyType(
    {
        "non-potable water": "Mark non-potable water, keep it off people and edible parts, and follow local rules for "
        "its use.",
        "backflow": "Backflow protection is a matter of law: its kind, its height and its test are for the local "
        "authority and a licensed tester.",
        "injection": "Chemical injection asks for an approved check valve, a low-pressure drain and vacuum relief, and "
        "a licensed applicator where the law says so.",
        "digging": "Have buried utilities located and marked before digging.",
        "electricity": "Wiring of valves and pumps is for qualified people under the local electrical code.",
        "pressure": "A part above its pressure rating can burst and hurt somebody; do not put it under pressure until "
        "that is mended.",
        "watering rules": "Local watering restrictions may limit days and hours.",
        "verify": "These figures hold for the parts as described; measure pressure at the head and at the line ends on "
        "site.",
    }
)
"""What is said of each topic, in the order in which it is said: whose water it is comes before all else."""


def cautions(case: Case, findings: list[Finding]) -> list[Caution]:
    """The cautions of a zone, short."""
    zone = case.solved.zone
    buried = any(run.pipe.kind == "pipe" for run in zone.runs) or zone.supply.service_line is not None
    wired = zone.supply.pump_curve is not None or any(isinstance(device, HeadValve) for device in zone.head)
    applies = {
        "non-potable water": zone.water.source in NON_POTABLE,
        "backflow": True,
        "injection": any(isinstance(device, HeadInjector) for device in zone.head),
        "digging": buried,
        "electricity": wired,
        "pressure": any(finding.code in OVER_RATING for finding in findings),
        "watering rules": zone.water.source == "municipal",
        "verify": True,
    }
    return _said(topic for topic in TOLD if applies[topic])


def cautions_of_water(water: Water, *, treated: bool) -> list[Caution]:
    """Those of a water alone; `treated` says whether treatment of it is spoken of."""
    applies = {"non-potable water": water.source in NON_POTABLE, "injection": treated, "verify": True}
    return _said(topic for topic in TOLD if applies.get(topic, False))


def _said(topics: Iterable[str]) -> list[Caution]:
    return [Caution(topic=topic, message=Sentence(TOLD[topic])) for topic in topics]
