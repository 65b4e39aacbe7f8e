"""All rules, in the order in which a designer would speak of them."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from service.schemas.answers import Finding, Severity, Verdict
from service.zones.findings import backflow, filters, head, outlets, pipes, pressures
from service.zones.findings.case import Case

Rule = Callable[[Case], Iterator[Finding]]

RULES: tuple[Rule, ...] = (
    pressures.outlets_fed,
    pressures.no_suction,
    pressures.outlets_not_burst,
    pressures.pipes_within_rating,
    pressures.devices_within_rating,
    outlets.flows_even,
    outlets.emission_even,
    pipes.ends_flush,
    pipes.water_not_too_fast,
    head.supply_tested,
    head.meter_not_overrun,
    head.devices_in_their_range,
    backflow.preventer_present,
    backflow.breakers_high_enough,
    backflow.atmospheric_breaker_rests,
    backflow.breakers_without_injection,
    head.head_in_order,
    filters.filter_protects,
    pressures.regulator_holds,
    outlets.kinds_alike,
    outlets.well_made,
    pipes.laterals_by_rule_of_thumb,
    pipes.laterals_alike,
    pipes.uphill,
    pipes.air_relief,
    pipes.slope_placing,
    pipes.drain_back,
    pipes.surface_tubing,
)

LATERAL_RULES: tuple[Rule, ...] = (
    pressures.outlets_fed,
    pressures.no_suction,
    pressures.outlets_not_burst,
    pressures.pipes_within_rating,
    outlets.flows_even,
    outlets.emission_even,
    pipes.ends_flush,
    pipes.water_not_too_fast,
    pipes.laterals_by_rule_of_thumb,
    pipes.slope_placing,
)
"""Those that a single lateral at a given inlet pressure can answer to."""

_RANK = {Severity.FAIL: 0, Severity.CAUTION: 1, Severity.NOTE: 2}


def judge(case: Case, rules: tuple[Rule, ...] = RULES) -> list[Finding]:
    """Everything that the rules find, the worst first."""
    found = [finding for rule in rules for finding in rule(case)]
    return sorted(found, key=lambda finding: _RANK[finding.severity])


def verdict(findings: list[Finding]) -> Verdict:
    """What the findings come to; notes change nothing."""
    severities = {finding.severity for finding in findings}
    if Severity.FAIL in severities:
        return Verdict.FAIL
    return Verdict.CAUTION if Severity.CAUTION in severities else Verdict.PASS
