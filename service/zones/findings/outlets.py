"""Rules about the outlets: how evenly they water, how they are made, which share a valve."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from service.schemas.answers import Finding, Severity
from service.units.sentence import Measured
from service.zones.criteria import (
    COMMON_PRACTICE,
    EMISSION_UNIFORMITY,
    EMISSION_UNIFORMITY_SOURCE,
    FLOW_VARIATION_SOURCE,
    STEEP,
)
from service.zones.findings.case import Case, say
from service.zones.state import State
from service.zones.uniformity import Kind, emitter_kinds

POINT_CV, LINE_CV = 0.07, 0.10
"""Manufacturing variation above which point and line sources are no longer average or good. [-] ASABE EP405.1, 2003,
table on manufacturing variation (from memory)."""

CV_SOURCE = "ASABE EP405.1, 2003, manufacturing variation (from memory)"

UNEVEN = "Shorten the laterals, feed from the centre, or use compensating outlets."
STARVED = "Some are outside the pressures at which they compensate: shorten the laterals or feed from the centre."
"""What to do about flows that vary."""

UNLIKE = 1.25
"""Ratio of nominal flows from which two kinds want different run times. [-] Common practice, no source."""


def flows_even(case: Case) -> Iterator[Finding]:
    """Flow variation of each kind of outlet, where any gives water."""
    limits = case.limits
    if case.solved.headline.flow <= 0.0:
        return
    for kind, figures in zip(emitter_kinds(case.solved.pipework), case.uniformity.by_kind, strict=True):
        variation = figures.flow_variation / 100
        fails = variation > limits.flow_variation_limit * (1 + 1e-9)
        # A caller's milder criterion for the caution leaves the limit that fails where it is.
        if not fails and variation <= limits.flow_variation * (1 + 1e-9):
            continue
        limit = limits.flow_variation_limit if fails else limits.flow_variation
        yield say(
            "flow-variation",
            "zone",
            "Flows of {kind} vary by {value} %; up to {good} % is good, above {most} % fails. "
            + (STARVED if kind.emitter.compensating else UNEVEN),
            {
                "kind": kind.name,
                "value": figures.flow_variation,
                "good": 100 * limits.flow_variation,
                "most": 100 * limits.flow_variation_limit,
            },
            value=figures.flow_variation,
            limit=100 * limit,
            severity=Severity.FAIL if fails else Severity.CAUTION,
            source=FLOW_VARIATION_SOURCE,
        )


def emission_even(case: Case) -> Iterator[Finding]:
    """Design emission uniformity of each kind of outlet, where any gives water."""
    if case.solved.headline.flow <= 0.0:
        return
    steep = "steep" if _steepest(case) > STEEP else "uniform"
    for kind, figures in zip(emitter_kinds(case.solved.pipework), case.uniformity.by_kind, strict=True):
        layout = "line" if _is_line(case, kind) else "point"
        target = case.limits.emission_uniformity or EMISSION_UNIFORMITY[layout, steep]
        if figures.emission_uniformity < 100 * target - 1e-9:
            yield say(
                "emission-uniformity-low",
                "zone",
                "Emission uniformity of {kind} is {value} %, below the {limit} % asked of {layout} sources on "
                "{steep} ground.",
                {
                    "kind": figures.kind,
                    "value": figures.emission_uniformity,
                    "limit": 100 * target,
                    "layout": layout,
                    "steep": steep,
                },
                value=figures.emission_uniformity,
                limit=100 * target,
                source=EMISSION_UNIFORMITY_SOURCE,
            )


def _is_line(case: Case, kind: Kind) -> bool:
    run = case.solved.pipework.plan.run(int(case.solved.pipework.outlet_run[kind.groups[0]]))
    return kind.emitter.line_source or run.pipe.kind == "dripline"


def _steepest(case: Case) -> float:
    """Steepest ground under any run with outlets. [-]"""
    knots = [run.knots for run in case.solved.pipework.plan.runs if run.outlet_count]
    return max(float(np.max(np.abs(np.diff(heights) / np.diff(at)))) for at, heights in knots)


def well_made(case: Case) -> Iterator[Finding]:
    """Manufacturing variation of each kind."""
    for kind in emitter_kinds(case.solved.pipework):
        line = _is_line(case, kind)
        limit = LINE_CV if line else POINT_CV
        made = kind.emitter.variation
        if made is not None and made > limit:
            yield say(
                "manufacturing-variation",
                "zone",
                "New {kind} differ by a Cv of {value}; {limit} is the most of an average {layout} source.",
                {"kind": kind.name, "value": made, "limit": limit, "layout": "line" if line else "point"},
                value=made,
                limit=limit,
                source=CV_SOURCE,
            )


def _mean_flow(state: State, kind: Kind) -> float:
    count = state.pipework.network.outlets.count[kind.groups]
    return float(np.average(state.outlet_flow[kind.groups], weights=count))


def kinds_alike(case: Case) -> Iterator[Finding]:
    """Outlets of one valve want the same run time."""
    kinds = sorted(emitter_kinds(case.solved.pipework), key=lambda kind: kind.flow)
    if len(kinds) < 2 or kinds[-1].flow < UNLIKE * kinds[0].flow:
        return
    state = case.solved.headline
    least, most = (Measured(_mean_flow(state, kind), "outlet_flow") for kind in (kinds[0], kinds[-1]))
    yield say(
        "outlet-kinds-mixed",
        "zone",
        "On one valve {low} gives {limit} and {high} {value}: the same run time overwaters one or starves the other. "
        "Put them on valves of their own, or match outlets to plants with care.",
        {"low": kinds[0].name, "high": kinds[-1].name, "limit": least, "value": most},
        value=most,
        limit=least,
        source=COMMON_PRACTICE,
    )
