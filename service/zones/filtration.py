"""The filter block: which filter a water and its outlets need, where it stands, and what else the water asks for."""

from __future__ import annotations

from service.parts.mesh import coarsest_mesh
from service.schemas.head_answers import (
    BetweenCleanings,
    Constituent,
    FilterAnswer,
    Published,
    Scaling,
    SuitingFilter,
    Treatment,
)
from service.units.sentence import Sentence
from service.zones.cleaning import clean_when
from service.zones.filter_reasons import filter_reasons
from service.zones.filter_train import Body, Train
from service.zones.filtering import Filtering
from service.zones.langelier import langelier
from service.zones.water_notes import measured
from service.zones.water_quality import BARE, Hazard, clogging_hazard, hazards, treatments


def filter_block(case: Filtering) -> FilterAnswer:
    """The filter block of an answer."""
    found, clean, saturation = hazards(case.water), case.clean_loss, langelier(case.water)
    lasts = case.lasts
    return FilterAnswer(
        advice=_advice(case),
        type=case.train.words,
        mesh=coarsest_mesh(case.need.opening),
        opening=case.need.opening,
        flow=case.flow,
        clean_loss=clean,
        dirty_loss=None if clean is None else clean + sum(one.allowance for one in case.filters),
        clean_when=clean_when(case.filters),
        between_cleanings=lasts if isinstance(lasts, BetweenCleanings) else None,
        suggested=[body.name for place in case.wanting if (body := case.chosen[place]) is not None],
        suits=[_told(body) for body in case.suits],
        placement=_placement(case.train),
        clogging_hazard=clogging_hazard(found),
        constituents=[_constituent(hazard) for hazard in found],
        scaling=saturation
        and Scaling(
            index=saturation.index,
            saturation_ph=saturation.ph,
            temperature=saturation.temperature,
            tends_to="scale" if case.scales else "dissolve",
        ),
        treatments=[
            Treatment(against=hazard, family=Sentence(family))
            for hazard, family in treatments(found, scaling=case.scales)
        ],
        reasons=list(filter_reasons(case)),
    )


def _advice(case: Filtering) -> str:
    if not case.head:
        return "fit"
    if not case.fine_enough:
        return "replace"
    return "keep" if case.lacks is None else "add"


def _told(body: Body) -> SuitingFilter:
    return SuitingFilter(
        part=body.name,
        type=body.part.type,
        opening=body.part.fineness,
        clean_loss=body.clean_loss,
        dirty_loss=body.dirty_loss,
    )


def _constituent(hazard: Hazard) -> Constituent:
    name = hazard.constituent
    return Constituent(
        constituent=name,
        value=measured(name, hazard.value),
        dimension=None if name in BARE else "concentration",
        hazard=hazard.worst,
        tables=[
            Published(
                hazard=word,
                moderate_from=measured(name, table.limits[name][0]),
                severe_above=measured(name, table.limits[name][1]),
                source=table.source,
            )
            for table, word in hazard.by_table
        ],
    )


def _placement(train: Train) -> Sentence:
    first = " or ".join(train.stages[0])
    if len(train.stages) == 1:
        told = "Put the filter after the valve and before the regulator, where it can be reached for cleaning."
        return Sentence(told)
    where = "at the well, before all else" if first == "separator" else "at the pump or intake, before the valve"
    rest = ", then ".join(" or ".join(types) for types in train.stages[1:])
    told = "Put the {first} {where}, and the {rest} after the valve and before the regulator."
    return Sentence(told, {"first": first, "where": where, "rest": rest})
