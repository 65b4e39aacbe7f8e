"""Worked examples for the API document: the files of openapi_examples/, which tests post to the running service."""

from collections.abc import Callable, Mapping
from typing import Any

from fastapi.openapi.models import Example
from pydantic import BaseModel

from service.api import examples
from service.api.operations import Health, Readiness
from service.parts.catalogue import load_catalogue
from service.schemas.filtration import Filtration
from service.schemas.lateral import Lateral
from service.schemas.part_answers import show_part, show_parts
from service.schemas.wire import to_wire
from service.schemas.zone import Zone
from service.units.dimensions import System
from service.units.nothing_null import NothingNull
from service.zones.advice import filter_advice, regulator_advice
from service.zones.lateral import profile_lateral

Examples = dict[str, Any]


def zone_requests() -> dict[str, Example]:
    """Every example zone, the demo zone first."""
    return {name: Example(summary=_title(name), value=examples.request(name)) for name in _demo_first()}


def _zone_answers() -> Examples:
    shown = (examples.DEMO, examples.TWIN)
    return {name: {"summary": _title(name), "value": examples.answer(name)} for name in shown}


def job_requests() -> dict[str, Example]:
    """Every example job."""
    return {name: Example(summary=_title(name), value=examples.job(name)) for name in examples.jobs()}


def _job_answers() -> Examples:
    return {name: {"summary": _title(name), "value": examples.job_takeoff(name)} for name in examples.jobs()}


LATERAL_REQUESTS: dict[str, Example] = {
    "quince-by-the-wall": Example(
        summary="Quince by the wall: six emitters on a line that climbs",
        value={
            "inlet_pressure": 22,
            "run": {
                "pipe": "pe-0.5in",
                "length": 40,
                "rise": 3,
                "outlets": {"emitter": "compensating-2gph", "spacing": 7, "first_at": 3.5},
            },
        },
    )
}


FILTER_REQUESTS: dict[str, Example] = {
    "garden-on-a-pond": Example(
        summary="Pond water, with a laboratory's findings, for emitters of a narrow passage",
        value={
            "water": {
                "source": "pond",
                "temperature": 68,
                "warmest_temperature": 95,
                "suspended_solids": 60,
                "ph": 7.7,
                "dissolved_solids": 450,
                "iron": 0.3,
                "calcium_hardness": 180,
                "alkalinity": 150,
            },
            "flow": 6,
            "passage": 0.035,
        },
    ),
    "town-water": Example(
        summary="Town water for dripline",
        value={"flow": 6.4, "emitter": "inline-compensating-0.6gph"},
    ),
}


def _regulator_answers() -> Examples:
    shown = (examples.DEMO, examples.TWIN)
    zones = {name: Zone.model_validate(examples.request(name)) for name in shown}
    return {name: {"summary": _title(name), "value": _answered(regulator_advice(zone))} for name, zone in zones.items()}


def _filter_answers() -> Examples:
    asked = {name: Filtration.model_validate(shown["value"]) for name, shown in FILTER_REQUESTS.items()}
    return {
        name: {"summary": FILTER_REQUESTS[name]["summary"], "value": _answered(filter_advice(request))}
        for name, request in asked.items()
    }


def _lateral_answers() -> Examples:
    return {
        name: {"summary": shown["summary"], "value": _answered(profile_lateral(Lateral.model_validate(shown["value"])))}
        for name, shown in LATERAL_REQUESTS.items()
    }


def _part_lists() -> Examples:
    parts = load_catalogue().parts("regulator")
    return {"regulators": {"summary": "The regulators", "value": _answered(show_parts(parts, System.US))}}


def _parts() -> Examples:
    part = load_catalogue().get("pipe", "pe-0.75in")
    return {"pipe": {"summary": "A pipe", "value": _answered(show_part(part, System.US))}}


def _shown(name: str, answer: BaseModel) -> Examples:
    return {name: {"summary": _title(name), "value": answer.model_dump()}}


def _answered(answer: NothingNull) -> Any:
    return to_wire(answer, System.US)


ANSWERS: Mapping[str, Callable[[], Examples]] = {
    "checkZone": _zone_answers,
    "askUniformZone": _zone_answers,
    "takeOffZones": _job_answers,
    "profileLateral": _lateral_answers,
    "askLateralProfile": _lateral_answers,
    "adviseRegulator": _regulator_answers,
    "askRegulatorAdvice": _regulator_answers,
    "adviseFilter": _filter_answers,
    "askFilterAdvice": _filter_answers,
    "listParts": _part_lists,
    "getPart": _parts,
    "getHealth": lambda: _shown("alive", Health()),
    "getReadiness": lambda: _shown("ready", Readiness()),
}
"""Example answers by operation, as the service itself gives them; made when the document is asked for."""


def _demo_first() -> list[str]:
    return sorted(examples.names(), key=lambda name: (name != examples.DEMO, name))


def _title(name: str) -> str:
    return name.replace("-", " ").capitalize()
