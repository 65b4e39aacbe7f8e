"""Regulator and filter advice by themselves, from the same code as the blocks of a check."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from service import __version__
from service.schemas.advice_answers import FilterAdviceAnswer, RegulatorAdviceAnswer
from service.schemas.answers import Assumed
from service.schemas.filtration import Filtration
from service.schemas.query import Assumption
from service.schemas.zone import Zone
from service.units.dimensions import labels
from service.units.sentence import Sentence
from service.zones.assumed import assumed, filled_in, of_water
from service.zones.cautions import cautions, cautions_of_water
from service.zones.check import method
from service.zones.criteria import Limits as Criteria
from service.zones.criteria import limits_of
from service.zones.filter_needs import NeededOpening, needed_opening, opening, opening_for_passage
from service.zones.filtering import Filtering
from service.zones.filtration import filter_block
from service.zones.findings.case import Case
from service.zones.findings.judge import RATING_RULES, judge
from service.zones.instances import Limits
from service.zones.outlet_bands import OutletBands
from service.zones.regulator import regulator_block
from service.zones.solved import solve_zone
from service.zones.thresholds import find_thresholds


def regulator_advice(
    zone: Zone, size: Limits | None = None, filled: Sequence[Assumption] = ()
) -> RegulatorAdviceAnswer:
    """Whether the zone wants a regulator, and which; `filled` is what a query left open.

    Raises
    ------
    ZoneFaults : what is wrong with the zone as a whole
    NotConverged : no accepted answer
    """
    solved = solve_zone(zone, size or Limits())
    limits = limits_of(zone.options.criteria)
    thresholds = find_thresholds(solved, limits)
    case = Case(solved, OutletBands.of(solved.pipework), limits)
    block = regulator_block(solved, thresholds, limits)
    return RegulatorAdviceAnswer(
        name=zone.name or "zone",
        units=labels(zone.units),
        version=__version__,
        method=method(solved.headline, friction=zone.options.friction, filter_state=zone.options.filter_state),
        assumed=[*filled_in(filled), *assumed(solved, thresholds)],
        cautions=cautions(case, judge(case, RATING_RULES)),
        **dict(block),
    )


def filter_advice(request: Filtration) -> FilterAdviceAnswer:
    """Which filter a water and outlets need, at a flow."""
    need = _need(request, Criteria().filter_opening_share)
    block = filter_block(Filtering(water=request.water, flow=request.flow, need=need))
    return FilterAdviceAnswer(
        name="filter",
        units=labels(request.units),
        version=__version__,
        assumed=[*of_water(request.water), *_of_opening(need)],
        cautions=cautions_of_water(request.water, treated=bool(block.treatments)),
        **dict(block),
    )


def _need(request: Filtration, share: float) -> NeededOpening:
    if request.passage is not None:
        return opening_for_passage(request.passage, share)
    return needed_opening([] if request.emitter is None else [request.emitter], share)


def _of_opening(need: NeededOpening) -> Iterator[Assumed]:
    if need.assumed:
        yield Assumed(
            what="emitter.passage", value=Sentence("filtered to {o}", {"o": opening(need.opening)}), why=need.why
        )
    elif not need.stated:
        why = "A share of the passage, as nothing states which filter it asks for."
        yield Assumed(what="opening", value=Sentence("{o}", {"o": opening(need.opening)}), why=Sentence(why))
