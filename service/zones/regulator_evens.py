"""Whether the outlets of a zone water evenly enough only behind a regulator."""

from __future__ import annotations

from dataclasses import dataclass, replace

from service.schemas.answers import Finding
from service.units.sentence import Measured
from service.zones.findings.case import Case
from service.zones.findings.evenness import emission_even, flows_even
from service.zones.outlet_bands import OutletBands
from service.zones.regulator_question import Question
from service.zones.state import State
from service.zones.uniformity import uniformity


@dataclass(frozen=True, slots=True)
class Mended:
    """A criterion of uniformity that a zone misses without a regulator and meets with one. In percent."""

    figure: str  # field of the uniformity
    without: float
    with_one: float
    limit: float


def mended_by_regulator(case: Question) -> Mended | None:
    """The first such criterion; None where a regulator makes no such difference, or there is none to take."""
    held = case.held
    if held is None:
        return None
    missed = {finding.code for finding in _uneven(case, held)}
    mended = [finding for finding in _uneven(case, case.solved.without) if finding.code not in missed]
    if not mended:
        return None
    if mended[0].code == "flow-variation":
        figure, limit, worst = "flow_variation", 100 * case.limits.flow_variation, max
    else:
        figure, limit, worst = "emission_uniformity", _number(mended[0].limit), min
    return Mended(figure, worst(_figures(case.solved.without, figure)), worst(_figures(held, figure)), limit)


def _number(limit: Measured | float | None) -> float:
    """A limit in percent, which has no dimension."""
    return limit if isinstance(limit, float) else 0.0


def _uneven(case: Question, state: State) -> list[Finding]:
    """What the check would find uneven in a state."""
    as_if = Case(replace(case.solved, due=state, clean=state), OutletBands.of(state.pipework), case.limits)
    return [*flows_even(as_if), *emission_even(as_if)]


def _figures(state: State, figure: str) -> list[float]:
    """A figure of each kind of outlet in a state."""
    return [getattr(kind, figure) for kind in uniformity(state).by_kind]
