"""Zones with their supply or their head exchanged, so that a threshold can be met by plain checks."""

from __future__ import annotations

from collections.abc import Iterable
from copy import deepcopy
from typing import Any

from service.schemas.answers import CheckAnswer
from service.schemas.zone import Zone
from service.zones.check import check

Json = dict[str, Any]

FOOT_OF_WATER = 0.43275
"""Pressure of a foot of water at 68 °F, 998.2 kg/m³. [psi] Check value `psi-per-foot`, recomputed at 20 °C."""


def ask(zone: Json) -> CheckAnswer:
    return check(Zone.model_validate(zone))


def at_supply(zone: Json, pressure: float) -> Json:
    """The zone with its no-flow supply pressure [psi] exchanged, what the supply loses with flow kept."""
    changed = deepcopy(zone)
    supply = changed["supply"]
    if "water_level" in supply:
        supply["water_level"] = pressure / FOOT_OF_WATER
    elif "pump_curve" in supply:
        shift = pressure - supply["pump_curve"][0][1]
        supply["pump_curve"] = [[flow, was + shift] for flow, was in supply["pump_curve"]]
    else:
        if "flow_test" in supply:
            drop = supply["static_pressure"] - supply["flow_test"]["residual_pressure"]
            supply["flow_test"]["residual_pressure"] = pressure - drop
        supply["static_pressure"] = pressure
    return changed


def least_supply(zone: Json) -> float:
    """Least pressure [psi] that `at_supply` can write: below it a residual or a pump's last one is below nought."""
    supply = zone["supply"]
    if "flow_test" in supply:
        return supply["static_pressure"] - supply["flow_test"]["residual_pressure"]
    if "pump_curve" in supply:
        return supply["pump_curve"][0][1] - supply["pump_curve"][-1][1]
    return 0.0


def with_filter_due(zone: Json) -> Json:
    """The zone with its headline figures those of a filter due for cleaning."""
    return {**zone, "options": {**zone.get("options", {}), "filter_state": "due"}}


def without_regulators(zone: Json) -> Json:
    return {**zone, "head": [device for device in zone["head"] if device["device"] != "regulator"]}


def with_last(zone: Json, regulator: Json) -> Json:
    """The zone with this regulator, last in its head, and no other."""
    return {**zone, "head": [*without_regulators(zone)["head"], regulator]}


def codes(answer: CheckAnswer, severities: Iterable[str] = ("fail", "caution", "note")) -> set[tuple[str, str]]:
    """Code and place of each finding of these severities."""
    return {(found.code, found.where) for found in answer.findings if found.severity in severities}
