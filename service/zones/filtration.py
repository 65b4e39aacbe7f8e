"""Which filter a zone's water and outlets need."""

from __future__ import annotations

from dataclasses import dataclass

from service.parts.mesh import coarsest_mesh, opening_of
from service.parts.models import Emitter
from service.schemas.devices import HeadFilter
from service.schemas.head_answers import FilterAnswer
from service.units.sentence import Measured, Sentence
from service.zones.criteria import CLEAN_AT_LOSS, FINEST_USEFUL_OPENING
from service.zones.solved import Solved
from service.zones.stage import at_flow, loss_curve

TYPE_BY_SOURCE = {
    "municipal": "screen",
    "well": "screen or disc",
    "sandy_well": "sand separator, then screen",
    "pond": "media or disc, then screen",
    "lake": "media or disc, then screen",
    "stream": "media or disc, then screen",
    "rainwater": "disc or screen, leaves kept out before it",
    "reclaimed": "disc or media",
    "grey": "disc or media",
}
"""Filter by source of the water. University course page 2.5 Irrigation Filters; Clemson HGIC, Landscape Irrigation
Equipment Part
5; UC ANR Groundwater page; municipal, rainwater, reclaimed and grey: common practice, no source."""

PASSAGE_UNKNOWN_OPENING = opening_of(150)
"""Opening taken where no outlet states its passage or its filter: 150 mesh. [m] Smith, Clemson Cooperative
Extension, Landscape
Irrigation Equipment Part 5: the usual screen for drip emitters."""


@dataclass(frozen=True, slots=True)
class NeededOpening:
    """Widest filter opening that protects the outlets, and where it comes from."""

    opening: float  # [m]
    why: Sentence
    assumed: bool


def needed_opening(emitters: list[Emitter], share: float) -> NeededOpening:
    """The finest opening that any of the emitters asks for: its own `filter_opening`, else a share of its passage."""
    asked: list[NeededOpening] = []
    for emitter in emitters:
        if emitter.filter_opening is not None:
            told = Sentence("The outlets ask for a filter of {opening}.", {"opening": _opening(emitter.filter_opening)})
            asked.append(NeededOpening(emitter.filter_opening, told, assumed=False))
        elif emitter.passage is not None:
            facts: dict[str, Measured | float] = {
                "passage": Measured(emitter.passage, "diameter"),
                "share": 100 * share,
                "opening": _opening(share * emitter.passage),
            }
            told = Sentence("The smallest passage is {passage}; {share} % of it is {opening}.", facts)
            asked.append(NeededOpening(share * emitter.passage, told, assumed=False))
    if asked:
        return min(asked, key=lambda need: need.opening)
    usual = {"opening": _opening(PASSAGE_UNKNOWN_OPENING)}
    told = Sentence("No outlet states its passage; {opening} (150 mesh) is usual for drip.", usual)
    return NeededOpening(PASSAGE_UNKNOWN_OPENING, told, assumed=True)


def filter_fineness(device: HeadFilter) -> float | None:
    """Size of particle that a filter of the head holds back, None where it states none. [m]"""
    if device.opening is not None:
        return device.opening
    return None if device.mesh is None else opening_of(device.mesh)


def filter_block(solved: Solved, share: float) -> FilterAnswer:
    """The filter block of the answer."""
    plan = solved.pipework.plan
    need = needed_opening([kind.emitter for kind in plan.kinds], share)
    filters = [device for device in solved.zone.head if isinstance(device, HeadFilter)]
    flow = solved.headline.flow
    reasons = [need.why, *_about_source(solved.zone.water.source)]
    if need.opening < FINEST_USEFUL_OPENING:
        told = "That is finer than {limit}, which clogs fast: outlets with wider passages would be kinder."
        reasons.append(Sentence(told, {"limit": _opening(FINEST_USEFUL_OPENING)}))
    advice = "fit"
    if filters:
        fineness = [size for device in filters if (size := filter_fineness(device)) is not None]
        finest = min(fineness) if fineness else None
        advice = "keep" if finest is not None and finest <= need.opening * (1 + 1e-6) else "replace"
        if finest is None:
            reasons.append(Sentence("The filter of the head states neither mesh nor opening.", {}))
        else:
            facts = {"finest": _opening(finest), "need": _opening(need.opening)}
            reasons.append(Sentence("The filter of the head holds back {finest}; {need} is needed.", facts))
    clean = [at_flow(loss_curve(device.loss), flow) for device in filters if device.loss is not None]
    allowance = sum(device.dirty_allowance or 0.0 for device in filters)
    return FilterAnswer(
        advice=advice,
        type=TYPE_BY_SOURCE[solved.zone.water.source],
        mesh=coarsest_mesh(need.opening),
        opening=need.opening,
        flow=flow,
        clean_loss=sum(clean) if clean else None,
        dirty_loss=sum(clean) + allowance if clean and allowance else None,
        clean_when=_clean_when(sum(clean), allowance),
        suggested=[],
        suits=[],
        placement=Sentence("After the valve and before the regulator."),
        constituents=[],
        treatments=[],
        clogging_hazard="unknown",
        reasons=reasons,
    )


def _clean_when(clean: float, allowance: float) -> Sentence:
    if allowance:
        facts = {"at": Measured(clean + allowance, "pressure"), "allowance": Measured(allowance, "pressure")}
        return Sentence("Clean it when it loses {at} at the zone's flow, {allowance} more than clean.", facts)
    facts = {"rise": Measured(CLEAN_AT_LOSS, "pressure")}
    return Sentence("Clean it when its loss has risen by {rise}.", facts)


def _about_source(source: str) -> list[Sentence]:
    if source in {"reclaimed", "grey"}:
        return [Sentence("Rules for {source} water come first: ask the local authority.", {"source": source})]
    return []


def _opening(value: float) -> Measured:
    return Measured(value, "roughness")
