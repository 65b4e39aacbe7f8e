"""Rules about the filter of the head."""

from __future__ import annotations

from collections.abc import Iterator

from service.schemas.answers import Finding
from service.schemas.devices import HeadFilter
from service.units.sentence import Measured
from service.zones.criteria import (
    COMMON_PRACTICE,
    FILTER_OPENING_SOURCE,
    FINE_FILTER_SOURCE,
    FINEST_USEFUL_OPENING,
    PART_DATA,
)
from service.zones.filter_needs import filter_fineness, needed_opening
from service.zones.findings.case import Case, say
from service.zones.stage import device_name


def filter_protects(case: Case) -> Iterator[Finding]:
    """A filter is there, and is fine enough for the outlets."""
    need = needed_opening([kind.emitter for kind in case.solved.pipework.plan.kinds], case.limits.filter_opening_share)
    filters = [device for device in case.solved.zone.head if isinstance(device, HeadFilter)]
    source = COMMON_PRACTICE if need.assumed else FILTER_OPENING_SOURCE
    limit = Measured(need.opening, "roughness")
    if not filters:
        told = "The head holds no filter. {why} Fit one that holds back {limit}."
        yield say("filter-missing", "head", told, {"why": need.why, "limit": limit}, limit=limit, source=source)
    known = [(size, device) for device in filters if (size := filter_fineness(device)) is not None]
    if known:
        size, device = min(known, key=lambda pair: pair[0])
        if size > need.opening * (1 + 1e-6):
            told = "The {where} holds back {value}. {why} Fit a finer one."
            value = Measured(size, "roughness")
            yield say(
                "filter-coarse",
                device_name(device),
                told,
                {"value": value, "why": need.why},
                value=value,
                limit=limit,
                source=source,
            )
    elif filters:
        told = "The {where} states neither mesh nor opening. {why} See that it holds that back."
        yield say("filter-coarse", device_name(filters[0]), told, {"why": need.why}, limit=limit, source=PART_DATA)
    if need.opening < FINEST_USEFUL_OPENING:
        finest = Measured(FINEST_USEFUL_OPENING, "roughness")
        told = "{why} Openings below {limit} clog fast: prefer outlets with wider passages."
        yield say(
            "filter-very-fine",
            "head",
            told,
            {"why": need.why, "limit": finest},
            value=limit,
            limit=finest,
            source=FINE_FILTER_SOURCE,
        )
