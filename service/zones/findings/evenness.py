"""Rules about how evenly the outlets of each kind water."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from service.schemas.answers import Finding, Severity
from service.units.sentence import Measured, Sentence
from service.zones.causes import made_by_heights
from service.zones.criteria import EMISSION_UNIFORMITY, EMISSION_UNIFORMITY_SOURCE, FLOW_VARIATION_SOURCE, STEEP
from service.zones.findings.case import Case, say
from service.zones.findings.outlets import is_line
from service.zones.kinds import Kind
from service.zones.state import State
from service.zones.uniformity import evenness_as_made

UNEVEN = "Shorten the laterals, feed from the centre, or use compensating outlets."
HILLY = (
    "Heights make most of it: lay the lines along the contour, split the zone by height, or use compensating outlets."
)
OUTSIDE = "Some are outside the {low} to {high} in which they compensate: bring all of them within."
"""What to do about flows that vary."""

NO_FLOW = 1e-9
"""Share of the water that counts as none. [-]"""


def flows_even(case: Case) -> Iterator[Finding]:
    """Flow variation of each kind of outlet, where any gives water."""
    limits = case.limits
    if case.solved.headline.flow <= 0.0:
        return
    for kind, figures in zip(case.solved.pipework.emitter_kinds, case.uniformity.by_kind, strict=True):
        variation = figures.flow_variation / 100
        fails = variation > limits.flow_variation_limit * (1 + 1e-9)
        # A caller's milder criterion for the caution leaves the limit that fails where it is.
        if not fails and variation <= limits.flow_variation * (1 + 1e-9):
            continue
        limit = limits.flow_variation_limit if fails else limits.flow_variation
        yield say(
            "flow-variation",
            "zone",
            "Flows of {kind} vary by {value} %; up to {good} % is good, above {most} % fails. {remedy}",
            {
                "kind": kind.name,
                "value": figures.flow_variation,
                "good": 100 * limits.flow_variation,
                "most": 100 * limits.flow_variation_limit,
                "remedy": _evening(case.solved.headline, kind),
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
    steep = "steep" if _steepest(case.solved.headline) > STEEP else "uniform"
    for kind, figures in zip(case.solved.pipework.emitter_kinds, case.uniformity.by_kind, strict=True):
        if figures.count == 1:  # nothing to be as even as
            continue
        layout = "line" if is_line(case, kind) else "point"
        target = case.limits.emission_uniformity or EMISSION_UNIFORMITY[layout, steep]
        if figures.emission_uniformity < 100 * target - 1e-9:
            yield say(
                "emission-uniformity-low",
                "zone",
                "Emission uniformity of {kind} is {value} %, below the {limit} % asked of {layout} sources on "
                "{steep} ground. {remedy}",
                {
                    "kind": figures.kind,
                    "value": figures.emission_uniformity,
                    "limit": 100 * target,
                    "layout": layout,
                    "steep": steep,
                    "remedy": _better_made(case, kind, target) or _evening(case.solved.headline, kind),
                },
                value=figures.emission_uniformity,
                limit=100 * target,
                source=EMISSION_UNIFORMITY_SOURCE,
            )


def _evening(state: State, kind: Kind) -> Sentence:
    """What gives the outlets of a kind more nearly the same flow."""
    low, high = (Measured(end, "pressure") for end in kind.emitter.pressure_range)
    if kind.emitter.compensating:
        return Sentence(OUTSIDE, {"low": low, "high": high})
    return Sentence(HILLY if made_by_heights(state, kind.groups) else UNEVEN)


def _better_made(case: Case, kind: Kind, target: float) -> Sentence | None:
    """What to do where no pressure makes outlets even enough that differ so much from one to the next."""
    together = float(case.solved.pipework.network.outlets.count[kind.groups].min())
    as_made = evenness_as_made(kind.emitter, together)
    told = "As they are made they reach {most} % at best: take a kind of less variation, or more of them to a plant."
    return Sentence(told, {"most": 100 * as_made}) if as_made < target else None


def _steepest(state: State) -> float:
    """Steepest ground under pipe that carries part of the water. [-]

    Pipe that carries all of it, or none, makes no outlet differ from another.
    """
    pipework, carried = state.pipework, np.abs(state.link_flow) / state.flow
    divided = (carried > NO_FLOW) & (carried < 1.0 - NO_FLOW)
    middle = np.delete(pipework.node_at, pipework.node_start[1:] - 1) + 0.5 * pipework.link_lengths
    steepest = 0.0
    for run, instances in zip(pipework.plan.runs, pipework.plan.instances_of, strict=True):
        links = slice(*pipework.link_start[[instances.start, instances.stop]])
        at = middle[links][divided[links]]
        if len(at):
            steepest = max(steepest, float(np.abs(run.slopes)[np.searchsorted(run.knots[0][1:-1], at)].max()))
    return steepest
