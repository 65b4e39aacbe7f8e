"""Rules about the filter of the head."""

from __future__ import annotations

from collections.abc import Iterator

from service.schemas.answers import Finding
from service.zones.criteria import (
    COMMON_PRACTICE,
    FILTER_OPENING_SOURCE,
    FINE_FILTER_SOURCE,
    FINEST_USEFUL_OPENING,
    PART_DATA,
)
from service.zones.filter_needs import filter_fineness, opening
from service.zones.findings.case import Case, Facts, say
from service.zones.stage import device_name


def filter_protects(case: Case) -> Iterator[Finding]:
    """A filter is there, and is fine enough for the outlets."""
    needs = case.filtering
    need = needs.need
    source = COMMON_PRACTICE if need.assumed else PART_DATA if need.stated else FILTER_OPENING_SOURCE
    limit = opening(need.opening)
    if not needs.head:
        told = "The head holds no filter. {why} Fit one that holds back {limit}."
        yield say("filter-missing", "head", told, {"why": need.why, "limit": limit}, limit=limit, source=source)
    elif needs.finest is None:
        told = "The {where} states neither mesh nor opening. {why} See that it holds that back."
        first = device_name(needs.head[0])
        yield say("filter-coarse", first, told, {"why": need.why}, limit=limit, source=PART_DATA)
    elif not needs.fine_enough:
        finest = next(device for device in needs.head if filter_fineness(device) == needs.finest)
        value = opening(needs.finest)
        yield say(
            "filter-coarse",
            device_name(finest),
            "The {where} holds back {value}. {why} Fit a finer one.",
            {"value": value, "why": need.why},
            value=value,
            limit=limit,
            source=source,
        )
    if need.opening < FINEST_USEFUL_OPENING * (1 - 1e-6):
        finest_useful = opening(FINEST_USEFUL_OPENING)
        told = "{why} Openings below {limit} clog fast: prefer outlets with wider passages."
        facts: Facts = {"why": need.why, "limit": finest_useful}
        yield say("filter-very-fine", "head", told, facts, value=limit, limit=finest_useful, source=FINE_FILTER_SOURCE)


def filter_suits_the_water(case: Case) -> Iterator[Finding]:
    """The filters are of the types that this water needs."""
    needs = case.filtering
    if needs.lacks is None:
        return
    why, source = needs.train.reason(needs.lacks)
    facts: Facts = {"why": why, "type": " or ".join(needs.lacks)}
    told = "{why} The head has no {type} filter, and others clog quickly without: add one."
    yield say("filter-type-unsuited", "head", told, facts, source=source)
