"""All rules, in the order in which a designer would speak of them."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from service.schemas.answers import Finding, Severity, Verdict
from service.units.sentence import Measured
from service.zones.findings import backflow, evenness, filters, head, outlets, pipes, pressures, ratings, supply, water
from service.zones.findings.case import Case, say

Rule = Callable[[Case], Iterator[Finding]]

RATING_RULES: tuple[Rule, ...] = (
    ratings.pipes_within_rating,
    ratings.tubes_within_rating,
    ratings.devices_within_rating,
)
"""Those about parts above their pressure rating."""

RULES: tuple[Rule, ...] = (
    pressures.outlets_fed,
    pressures.no_suction,
    pressures.outlets_not_burst,
    *RATING_RULES,
    ratings.regulator_set_low_enough,
    evenness.flows_even,
    evenness.emission_even,
    pipes.ends_flush,
    pipes.water_not_too_fast,
    pipes.tubes_not_too_fast,
    supply.supply_tested,
    supply.supply_known_so_far,
    supply.meter_not_overrun,
    supply.service_line_not_too_fast,
    head.devices_in_their_range,
    backflow.preventer_present,
    backflow.breakers_high_enough,
    backflow.atmospheric_breaker_rests,
    backflow.kept_from_injection,
    backflow.air_gap_stands_before_a_tank,
    head.head_in_order,
    filters.filter_protects,
    filters.filter_suits_the_water,
    water.water_is_kind_to_outlets,
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
    ratings.pipes_within_rating,
    ratings.tubes_within_rating,
    evenness.flows_even,
    evenness.emission_even,
    pipes.ends_flush,
    pipes.water_not_too_fast,
    pipes.tubes_not_too_fast,
    pipes.laterals_by_rule_of_thumb,
    pipes.slope_placing,
)
"""Those that a single lateral at a given inlet pressure can answer to."""

_RANK = {Severity.FAIL: 0, Severity.CAUTION: 1, Severity.NOTE: 2}

MOST_ALIKE = 20
"""Findings of one code and severity that are told. [-] Nobody reads more, and a zone may have thousands of runs."""


def judge(case: Case, rules: tuple[Rule, ...] = RULES) -> list[Finding]:
    """Everything that the rules find, the worst first; of very many alike, those farthest from their limit."""
    alike: dict[tuple[str, Severity], list[Finding]] = {}
    for finding in (finding for rule in rules for finding in rule(case)):
        alike.setdefault((finding.code, finding.severity), []).append(finding)
    told = [finding for group in alike.values() for finding in _worst(group)]
    told += [_left_out(code, len(group)) for (code, _), group in alike.items() if len(group) > MOST_ALIKE]
    return sorted(told, key=lambda finding: _RANK[finding.severity])


def _worst(group: list[Finding]) -> list[Finding]:
    """Those farthest from their limit, in the order in which they were found."""
    if len(group) <= MOST_ALIKE:
        return group
    order = sorted(range(len(group)), key=lambda place: -_excess(group[place]))
    return [group[place] for place in sorted(order[:MOST_ALIKE])]


def _excess(finding: Finding) -> float:
    """How far its value lies from its limit, in limits. [-]"""
    value, limit = (one.value if isinstance(one, Measured) else one for one in (finding.value, finding.limit))
    return abs(value - limit) / max(abs(limit), 1e-9) if value is not None and limit is not None else 0.0


def _left_out(code: str, count: int) -> Finding:
    told = "{count} findings of {code} were made; the {most} farthest from their limit are told. Mend those first."
    return say(
        "alike-left-out",
        "zone",
        told,
        {"count": count, "code": code, "most": MOST_ALIKE},
        value=float(count),
        limit=float(MOST_ALIKE),
        source="all findings of a rule are alike",
    )


def verdict(findings: list[Finding]) -> Verdict:
    """What the findings come to; notes change nothing."""
    severities = {finding.severity for finding in findings}
    if Severity.FAIL in severities:
        return Verdict.FAIL
    return Verdict.CAUTION if Severity.CAUTION in severities else Verdict.PASS
