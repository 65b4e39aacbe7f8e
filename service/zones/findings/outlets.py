"""Rules about the outlets: how evenly they water, how they are made, which share a valve."""

from __future__ import annotations

from collections.abc import Iterator

from service.schemas.answers import Finding
from service.units.sentence import Measured
from service.zones.application import watered_area
from service.zones.criteria import (
    COMMON_PRACTICE,
)
from service.zones.findings.case import Case, say
from service.zones.kinds import Kind

POINT_CV, LINE_CV = 0.07, 0.10
"""Manufacturing variation above which point and line sources are no longer average or good. [-] ASABE EP405.1, 2003,
table on manufacturing variation (from memory)."""

CV_SOURCE = "ASABE EP405.1, 2003, manufacturing variation (from memory)"

UNLIKE = 1.25
"""Ratio of nominal application rates, or flows, from which two kinds want different run times. [-] Common practice, no
source."""


def is_line(case: Case, kind: Kind) -> bool:
    """Whether outlets of a kind are part of their tubing, not set into it one by one."""
    run = case.solved.pipework.plan.run(int(case.solved.pipework.outlet_run[kind.groups[0]]))
    return kind.emitter.line_source or run.pipe.kind == "dripline"


def well_made(case: Case) -> Iterator[Finding]:
    """Manufacturing variation of each kind."""
    for kind in case.solved.pipework.emitter_kinds:
        line = is_line(case, kind)
        limit = LINE_CV if line else POINT_CV
        made = kind.emitter.variation
        if made is not None and made > limit:
            yield say(
                "manufacturing-variation",
                "zone",
                "New {kind} differ by a Cv of {value}; {limit} is the most of an average {layout} source. "
                "Take better made ones where all plants should get the same.",
                {"kind": kind.name, "value": made, "limit": limit, "layout": "line" if line else "point"},
                value=made,
                limit=limit,
                source=CV_SOURCE,
            )


def kinds_alike(case: Case) -> Iterator[Finding]:
    """Outlets of one valve want the same run time: judged by application rates, or by flows where no area is known."""
    state = case.solved.headline
    kinds, outlets = state.pipework.emitter_kinds, state.pipework.network.outlets
    areas = [watered_area(state.pipework, kind) for kind in kinds]
    counts = [float(outlets.count[kind.groups].sum()) for kind in kinds]
    # The ground of a kind, or where that of any is unknown one plant to an outlet.
    known = [area for area in areas if area is not None]
    shares, dimension = (known, "rate") if len(known) == len(kinds) else (counts, "outlet_flow")
    asked = [kind.flow * count / share for kind, count, share in zip(kinds, counts, shares, strict=True)]
    if max(asked) < UNLIKE * min(asked):
        return
    slow, fast = asked.index(min(asked)), asked.index(max(asked))
    given = [float(outlets.count[kind.groups] @ state.outlet_flow[kind.groups]) for kind in kinds]
    least, most = (Measured(given[place] / shares[place], dimension) for place in (slow, fast))
    yield say(
        "outlet-kinds-mixed",
        "zone",
        "On one valve {low} gives {limit} and {high} {value}{each}: the same run time overwaters one or starves the "
        "other. Put them on valves of their own, or match outlets to plants with care.",
        {
            "low": kinds[slow].name,
            "high": kinds[fast].name,
            "limit": least,
            "value": most,
            "each": "" if dimension == "rate" else " an outlet (no application rates, for the area of some is unknown)",
        },
        value=most,
        limit=least,
        source=COMMON_PRACTICE,
    )
