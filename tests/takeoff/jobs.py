"""Jobs to take off, and what tests read from their answers."""

from __future__ import annotations

from collections import defaultdict
from typing import Any

from service.schemas.takeoff import TakeoffJob
from service.schemas.wire import to_wire
from service.takeoff.takeoff import takeoff

SUPPLY = {"static_pressure": 64}

DRIPLINE = "dripline-17mm-with-inline-compensating-0.6gph-12in"
"""Dripline as it is bought, of the emitters below."""

INLINE = {"emitter": "inline-compensating-0.6gph", "spacing": 1}


def zone(*runs: dict[str, Any], head: Any = (), **more: Any) -> dict[str, Any]:
    return {"supply": SUPPLY, "head": list(head), "runs": list(runs), **more}


def job(*zones: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {"zones": list(zones), **more}


def answer(body: dict[str, Any], **more: Any) -> dict[str, Any]:
    """The takeoff of a job as it goes over the wire."""
    read = TakeoffJob.model_validate(body)
    return to_wire(takeoff(read, **more), read.units)


def needs(body: dict[str, Any]) -> dict[str, float]:
    """What is built in of each part, without spares; lengths to a millionth."""
    needed: defaultdict[str, float] = defaultdict(float)
    for line in answer(body)["lines"]:
        needed[line["part"]] += line["needed"]
    return {part: round(amount, 6) for part, amount in needed.items() if amount}


def spares(body: dict[str, Any]) -> dict[str, float]:
    """What allowances add to each part, rounding up to whole pieces included."""
    return {line["part"]: line["spare"] for line in answer(body)["lines"] if line["spare"]}


def by_part(told: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {line["part"]: line for line in told["lines"]}


def by_line(told: dict[str, Any]) -> dict[str, dict[str, Any]]:
    """Lines by id: one part may have a line among fittings or outlets and one in the head."""
    return {line["id"]: line for line in told["lines"]}


def counts(told: dict[str, Any], part: str) -> dict[str, float]:
    """How much of a line follows from each rule."""
    return {reason["rule"]: reason["count"] for reason in by_part(told)[part]["reasons"]}
