"""Rules about what keeps zone water out of the supply. The local authority decides; these are the usual ones."""

from __future__ import annotations

from collections.abc import Iterator

from service.schemas.answers import Finding, Severity
from service.schemas.devices import HeadBackflowPreventer, HeadInjector, HeadValve
from service.units.sentence import Measured, Sentence
from service.zones.criteria import (
    ATMOSPHERIC_VACUUM_BREAKER_HEIGHT,
    BACKFLOW_SOURCE,
    LONGEST_UNDER_PRESSURE,
    PHYSICS,
    PRESSURE_VACUUM_BREAKER_HEIGHT,
)
from service.zones.findings.case import Case, length, pressure, say
from service.zones.places import outlet_heights
from service.zones.stage import device_name
from service.zones.vacuum_breakers import breaker_height, breaker_kind

PROOF_AGAINST_CHEMICALS = frozenset({"reduced_pressure", "air_gap"})
"""Kinds of preventer that are asked for where chemicals are injected. INJECTION_SOURCE."""

INJECTION_SOURCE = (
    "utility pages on cross connection of irrigation, citing AWWA and IAPMO; Washington Administrative Code "
    "16-202-310; the local authority decides"
)

STRICTER = Sentence(", and some codes ask for {height}", {"height": length(PRESSURE_VACUUM_BREAKER_HEIGHT)})
"""Of atmospheric vacuum breakers. BACKFLOW_SOURCE."""

CONNECTED = frozenset({"municipal", "well", "sandy_well"})
"""Sources that also supply people, or may: water must not come back to them. Common practice, no source."""


def preventer_present(case: Case) -> Iterator[Finding]:
    """Some backflow preventer stands between the zone and a drinking-water source."""
    zone = case.solved.zone
    if zone.water.source not in CONNECTED:
        return
    if not any(isinstance(device, HeadBackflowPreventer) or breaker_kind(device) for device in zone.head):
        told = (
            "The head holds no backflow preventer, so zone water could be drawn back into the supply. Fit one of "
            "a kind that "
            "the local authority accepts; drip outlets lie in soil, which many treat as a high hazard."
        )
        yield say("backflow-preventer-missing", "head", told, {}, source=BACKFLOW_SOURCE)


def breakers_high_enough(case: Case) -> Iterator[Finding]:
    """Vacuum breakers stand above every pipe and outlet beyond them."""
    pipework = case.solved.pipework
    highest = max(float(pipework.network.elevation.max()), float(outlet_heights(pipework).max()))
    for device in case.solved.zone.head:
        kind = breaker_kind(device)
        if kind is None:
            continue
        needed = ATMOSPHERIC_VACUUM_BREAKER_HEIGHT if kind == "atmospheric" else PRESSURE_VACUUM_BREAKER_HEIGHT
        height = breaker_height(device)
        if height is None:
            yield say(
                "vacuum-breaker-low",
                device_name(device),
                "The {where} states no height; it must stand {least} above the zone inlet, which is {limit} above the "
                "highest pipe or outlet. See that it does; the local authority decides{stricter}.",
                {
                    "least": length(highest + needed),
                    "limit": length(needed),
                    "stricter": STRICTER if kind == "atmospheric" else "",
                },
                limit=length(needed),
                severity=Severity.CAUTION,
                source=BACKFLOW_SOURCE,
            )
        elif height - highest < needed - 1e-6:
            yield say(
                "vacuum-breaker-low",
                device_name(device),
                "The {where} stands {value} {side} the highest pipe or outlet, which lies {highest} above the zone "
                "inlet; it must stand at least {limit} above that. "
                "Raise it, or use a reduced-pressure assembly; the local authority decides{stricter}.",
                {
                    "value": length(abs(height - highest)),
                    "side": "below" if height < highest else "above",
                    "highest": length(highest),
                    "limit": length(needed),
                    "stricter": STRICTER if kind == "atmospheric" else "",
                },
                value=length(height - highest),
                limit=length(needed),
                source=BACKFLOW_SOURCE,
            )


def atmospheric_breaker_rests(case: Case) -> Iterator[Finding]:
    """No valve after an atmospheric vacuum breaker, and not under pressure for long."""
    zone = case.solved.zone
    for place, device in enumerate(zone.head):
        if breaker_kind(device) != "atmospheric":
            continue
        for later in zone.head[place + 1 :]:
            if isinstance(later, HeadValve):
                told = (
                    "The {other} stands after the {where}, which would then stay under pressure and fail to open. "
                    "Put the valve before it, or use a pressure vacuum breaker; the local authority decides."
                )
                yield say(
                    "valve-after-vacuum-breaker",
                    device_name(device),
                    told,
                    {"other": device_name(later)},
                    source=BACKFLOW_SOURCE,
                )
        run_time = zone.options.run_time
        if run_time is not None and run_time > LONGEST_UNDER_PRESSURE:
            value, limit = Measured(run_time, "duration"), Measured(LONGEST_UNDER_PRESSURE, "duration")
            yield say(
                "vacuum-breaker-long-pressure",
                device_name(device),
                "A run of {value} keeps the {where} under pressure longer than {limit}. Run for less, or use "
                "another kind; the "
                "local authority decides.",
                {"value": value, "limit": limit},
                value=value,
                limit=limit,
                source=BACKFLOW_SOURCE,
            )


def kept_from_injection(case: Case) -> Iterator[Finding]:
    """Against injected chemicals a supply wants an air gap or a reduced-pressure assembly."""
    head, source = case.solved.zone.head, case.solved.zone.water.source
    if not any(isinstance(device, HeadInjector) for device in head):
        return
    for device in head:
        if breaker_kind(device) is not None:
            told = (
                "The {where} does not protect a supply from injected chemicals. Use a reduced-pressure assembly or an "
                "air gap; the local authority decides."
            )
            yield say("vacuum-breaker-injection", device_name(device), told, {}, source=BACKFLOW_SOURCE)
    kinds = {device.kind for device in head if isinstance(device, HeadBackflowPreventer)}
    if source in CONNECTED and "double_check" in kinds and not kinds & PROOF_AGAINST_CHEMICALS:
        told = (
            "A double check alone is not commonly accepted where chemicals are injected. Use a reduced-pressure "
            "assembly or an air gap; the local authority decides."
        )
        yield say("double-check-injection", "head", told, {}, source=INJECTION_SOURCE)


def air_gap_stands_before_a_tank(case: Case) -> Iterator[Finding]:
    """Water falls freely through an air gap: the pressure of the main is gone after it."""
    static = case.solved.zone.supply.static_pressure
    for device in case.solved.zone.head:
        if static is not None and isinstance(device, HeadBackflowPreventer) and device.kind == "air_gap":
            told = (
                "After the {where}, an air gap, nothing is left of the main's {value}: these figures do not hold. "
                "Describe the tank or the pump that follows it as the supply."
            )
            value = pressure(static)
            yield say("air-gap-in-line", device_name(device), told, {"value": value}, value=value, source=PHYSICS)
