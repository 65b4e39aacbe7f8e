"""What turns in a plain check where the supply passes a threshold, and the head that it is met with."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from service.parts.catalogue import load_catalogue
from service.schemas.answers import CheckAnswer
from service.units.model import DEFAULT_SYSTEM
from service.units.reading import reading
from tests.advice.supplies import Json, ask, codes, with_last, without_regulators

STARVED = {"outlet-pressure-low", "no-flow"}
OVERLOADED = {"outlet-pressure-high", "pipe-pressure-high", "device-pressure-high"}


def fed(answer: CheckAnswer) -> bool:
    """Whether every outlet has its minimum."""
    return not STARVED & {code for code, _ in codes(answer)}


def fed_and_holding(answer: CheckAnswer) -> bool:
    return fed(answer) and answer.regulator.state == "holding"


def overloaded(answer: CheckAnswer) -> bool:
    """Whether something sees more than its stated maximum in use: assumed ones only caution."""
    return bool(OVERLOADED & {code for code, _ in codes(answer, ["fail"])})


def overloaded_when_shut(zone: Json) -> Callable[[CheckAnswer], bool]:
    """Whether something without outlets sees more than its rating, which it does shut off before it does in use."""
    with_outlets = {run["id"] for run in zone["runs"] if "outlets" in run}

    def told(answer: CheckAnswer) -> bool:
        return any(
            code in {"shut-off-pressure-high", "device-pressure-high"}
            or (code == "pipe-pressure-high" and where.split("/")[-1].split(":")[0] not in with_outlets)
            for code, where in codes(answer)
        )

    return told


def regulated(zone: Json) -> Json:
    """The zone with its own regulator, or with the suggested one last."""
    if any(device["device"] == "regulator" for device in zone["head"]):
        return zone
    suggestion = ask(zone).regulator.suggestion
    assert suggestion is not None
    part = load_catalogue().get("regulator", suggestion.part)
    with reading(DEFAULT_SYSTEM):
        figures = part.model_dump(include={"set_pressure", "loss", "flow_range", "max_pressure"}, exclude_none=True)
    return with_last(zone, {"device": "regulator", **figures})


@dataclass(frozen=True)
class Turn:
    """A threshold by name, the head it is met with, and what turns from false to true above it."""

    name: str
    head: Callable[[Json], Json]
    turns: Callable[[Json], Callable[[CheckAnswer], bool]]


TURNS = [
    Turn("lowest_without_regulator", without_regulators, lambda _: fed),
    Turn("works_with_regulator", regulated, lambda _: fed),
    Turn("lowest_with_regulator", regulated, lambda _: fed_and_holding),
    Turn("highest_without_regulator", without_regulators, lambda _: overloaded),
    Turn("highest_shut_off", without_regulators, overloaded_when_shut),
]
