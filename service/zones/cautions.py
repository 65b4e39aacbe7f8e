"""What the work can hurt, said only where it applies, and who decides."""

from __future__ import annotations

from service.schemas.answers import Caution, Finding
from service.schemas.devices import HeadInjector, HeadValve
from service.units.sentence import Sentence
from service.zones.findings.case import Case


def cautions(case: Case, findings: list[Finding]) -> list[Caution]:
    """The cautions of a zone, short."""
    zone = case.solved.zone
    buried = any(run.pipe.kind == "pipe" for run in zone.runs) or zone.supply.service_line is not None
    pumped = zone.supply.pump_curve is not None
    told = {
        "backflow": (
            True,
            (
                "Backflow protection is a matter of law: its kind, its height and its test are for the local "
                "authority and a "
                "licensed tester."
            ),
        ),
        "injection": (
            any(isinstance(device, HeadInjector) for device in zone.head),
            (
                "Chemical injection asks for an approved check valve, a low-pressure drain and vacuum relief, and a "
                "licensed "
                "applicator where the law says so."
            ),
        ),
        "non-potable water": (
            zone.water.source in {"reclaimed", "grey", "rainwater", "pond", "lake", "stream"},
            "Mark non-potable water, keep it off people and edible parts, and follow local rules for its use.",
        ),
        "digging": (buried, "Have buried utilities located and marked before digging."),
        "electricity": (
            pumped or any(isinstance(device, HeadValve) for device in zone.head),
            "Wiring of valves and pumps is for qualified people under the local electrical code.",
        ),
        "pressure": (
            any(finding.code in {"pipe-pressure-high", "device-pressure-high"} for finding in findings),
            (
                "A part above its pressure rating can burst and hurt somebody; do not put it under pressure until "
                "that is mended."
            ),
        ),
        "watering rules": (
            zone.water.source == "municipal",
            "Local watering restrictions may limit days and hours.",
        ),
        "verify": (
            True,
            "These figures hold for the parts as described; measure pressure at the head and at the line ends on site.",
        ),
    }
    return [Caution(topic=topic, message=Sentence(words, {})) for topic, (applies, words) in told.items() if applies]
