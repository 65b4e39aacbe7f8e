"""What a designer would say about laboratory values, each with its number, its limit and what to do."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from service.schemas.water import Water
from service.units.dimensions import System, to_si
from service.units.sentence import Measured, Sentence
from service.zones.criteria import COMMON_PRACTICE
from service.zones.langelier import Saturation, langelier, missing_partners
from service.zones.water_quality import (
    BARE,
    MODERATE,
    NAMES,
    PLAUSIBLE_PH,
    SLIGHT,
    Hazard,
    Table,
    family_against,
    hazards,
    least_dissolved,
)

SCALING_SOURCE = "Langelier saturation index, Langelier 1936 (from memory): above 0 water tends to scale"
CARBONATE_SOURCE = "Schwankl, Maintenance of Microirrigation Systems, University of California ANR: levels of concern"
MASS_BALANCE = "arithmetic: calcium and carbonate are part of the dissolved solids"

CARBONATE_ALKALINITY = to_si(2.0 * 50.04, "concentration", System.US)
"""Alkalinity as CaCO3 of 2 meq/L of bicarbonate, from which scale is to be feared at `CARBONATE_PH`. [kg/m³]
CARBONATE_SOURCE."""

CARBONATE_PH = 7.5
"""pH above which that holds. [-] CARBONATE_SOURCE."""

CONCERNING_IRON, IRON_PH = to_si(0.5, "concentration", System.US), 4.0
"""Iron from which ochre is to be feared [kg/m³] above a pH [-]. CARBONATE_SOURCE."""

Value = Measured | float


@dataclass(frozen=True, slots=True)
class Note:
    """One thing to say about the water."""

    code: str
    told: Sentence
    source: str
    value: Value | None = None
    limit: Value | None = None
    mild: bool = False  # milder than the code is as a rule


def notes(water: Water) -> Iterator[Note]:
    """Everything that the laboratory values give reason to say."""
    found = hazards(water)
    yield from (_hazard(one) for one in found if one.worst != SLIGHT)
    yield from _scaling(water, langelier(water))
    yield from _iron_and_sulfide(water, {one.constituent: one.worst for one in found})
    yield from _incomplete(water)
    yield from _doubtful(water)


def measured(constituent: str, value: float) -> Value:
    """A value of a constituent to be said: a concentration, or the bare number of pH and bacteria."""
    return float(value) if constituent in BARE else Measured(value, "concentration")


def _hazard(hazard: Hazard) -> Note:
    name = hazard.constituent
    strictest = next(table for table, word in hazard.by_table if word == hazard.worst)
    moderate = hazard.worst == MODERATE
    value, limit = measured(name, hazard.value), measured(name, strictest.limits[name][0 if moderate else 1])
    facts: dict[str, Value | Sentence | str] = {
        "name": "a pH" if name == "ph" else NAMES[name],
        "value": _said(name, hazard.value),
        "hazard": hazard.worst,
        "limit": _said(name, strictest.limits[name][0 if moderate else 1]),
        "family": family_against(name),
    }
    told = "There is a {hazard} clogging hazard from {name} of {value}, "
    told += "for it begins at {limit}" if moderate else "for it is above {limit}"
    if hazard.disputed:
        mild, word = next((table, word) for table, word in hazard.by_table if word != hazard.worst)
        milder = mild.limits[name][1 if word == MODERATE else 0]
        facts |= {"strict": _short(strictest), "mild": _short(mild), "class": word, "milder": _said(name, milder)}
        told += " ({strict}; {mild} calls it {class} up to {milder})"
    return Note(
        code="clogging-hazard",
        mild=moderate,
        told=Sentence(told + "; what helps is {family}.", facts),
        source="; ".join(table.source for table, _ in hazard.by_table),
        value=value,
        limit=limit,
    )


def _said(constituent: str, value: float) -> Sentence:
    told = "{value} per mL" if constituent == "bacteria" else "{value}"
    return Sentence(told, {"value": measured(constituent, value)})


def _short(table: Table) -> str:
    return table.source.split(",")[0]


def _scaling(water: Water, saturation: Saturation | None) -> Iterator[Note]:
    if saturation is not None and saturation.index > 0.0:
        told = (
            "At {warmest} the Langelier index is {index}, above 0: the water leaves carbonate scale in outlets. "
            "Have it treated, and flush often."
        )
        facts: dict[str, Value] = {"warmest": Measured(water.warmest, "temperature"), "index": saturation.index}
        said = Sentence(told, facts)
        yield Note("scaling", told=said, source=SCALING_SOURCE, value=saturation.index, limit=0.0)
    if saturation is None and (water.alkalinity or 0.0) > CARBONATE_ALKALINITY and (water.ph or 0.0) > CARBONATE_PH:
        told = (
            "Alkalinity of {value} at pH {ph} gives reason to fear carbonate scale, as it does above {limit} at a pH "
            "above {from}: have calcium hardness and dissolved solids measured too."
        )
        value, limit = (Measured(each, "concentration") for each in (water.alkalinity or 0.0, CARBONATE_ALKALINITY))
        said = Sentence(told, {"value": value, "ph": float(water.ph or 0.0), "limit": limit, "from": CARBONATE_PH})
        yield Note("scaling", told=said, source=CARBONATE_SOURCE, value=value, limit=limit)


def _iron_and_sulfide(water: Water, classes: dict[str, str]) -> Iterator[Note]:
    iron, sulfide = (classes.get(name, SLIGHT) != SLIGHT for name in ("iron", "hydrogen_sulfide"))
    if iron and water.iron is not None:
        told = "Iron of {iron} turns to ochre and feeds slime where air reaches it: settle it out before the filter."
        if water.iron > CONCERNING_IRON and (water.ph or np.inf) > IRON_PH:
            told = (
                "Iron of {iron} is above the {limit} from which ochre is to be feared at a pH above {ph}: oxidise and "
                "settle it before the filter."
            )
        value, limit = Measured(water.iron, "concentration"), Measured(CONCERNING_IRON, "concentration")
        facts: dict[str, Value] = {"iron": value, "limit": limit, "ph": IRON_PH}
        yield Note("iron", told=Sentence(told, facts), source=CARBONATE_SOURCE, value=value, limit=limit)
    if sulfide and water.hydrogen_sulfide is not None:
        told = "Hydrogen sulfide feeds slime"
        told += ", and with the iron here falls out as black sludge" if iron else ""
        told += ": aerate or oxidise its {value} before the filter."
        value = Measured(water.hydrogen_sulfide, "concentration")
        said = Sentence(told, {"value": value})
        yield Note("hydrogen-sulfide", told=said, source=COMMON_PRACTICE, value=value)


def _incomplete(water: Water) -> Iterator[Note]:
    missing = missing_partners(water)
    if missing:
        facts = {"missing": ", ".join(NAMES.get(name, name) for name in missing)}
        told = "Whether the water leaves scale cannot be told without {missing}: have that measured too."
        yield Note("lab-values-incomplete", told=Sentence(told, facts), source=SCALING_SOURCE)


def _doubtful(water: Water) -> Iterator[Note]:
    least, most = PLAUSIBLE_PH
    if water.ph is not None and not least <= water.ph <= most:
        told = "A pH of {ph} is hardly that of water for plants, {least} to {most}: check the report."
        said = Sentence(told, {"ph": float(water.ph), "least": least, "most": most})
        value, limit = float(water.ph), least if water.ph < least else most
        yield Note("lab-values-doubtful", told=said, source=COMMON_PRACTICE, value=value, limit=limit)
    solids, makes_up = water.dissolved_solids, least_dissolved(water)
    if solids is not None and solids < makes_up * (1 - 1e-9):
        found, least_of = Measured(solids, "concentration"), Measured(makes_up, "concentration")
        told = (
            "Dissolved solids of {value} are less than the {limit} that the calcium and the alkalinity make up alone: "
            "check the report."
        )
        said = Sentence(told, {"value": found, "limit": least_of})
        yield Note("lab-values-doubtful", told=said, source=MASS_BALANCE, value=found, limit=least_of)
