"""Scaling and clogging of water against worked analyses, tables of factors and tables of hazard."""

import math
from collections.abc import Callable
from functools import partial

from service.schemas.water import Water
from service.units.dimensions import System
from service.units.reading import reading
from service.zones.langelier import langelier, saturation_ph
from service.zones.water_quality import BARE, BUCKS, CALCIUM_SHARE, HAZARDS, PITTS, Table, hazards
from tests.published.practice_sources import (
    BUCKS_TABLE,
    FACTOR_TABLE,
    LANGELIER_EXAMPLE,
    OPERATOR_TRAINING,
    PITTS_TABLE,
    REUSE_GUIDE,
    STANDARD_METHODS,
)
from tests.published.row import Row, Source, Way, agrees, each

ANALYSIS = {"ph": 7.5, "dissolved_solids": 320, "calcium_hardness": 150, "alkalinity": 34}
"""mg/L"""

POOLS = [
    # pH, alkalinity, calcium hardness, °F, the four factors, index
    (7.0, 50, 200, 76, (1.7, 1.9, 0.6), -0.9), (7.6, 75, 300, 84, (1.9, 2.1, 0.7), 0.2),
    (8.0, 150, 400, 94, (2.2, 2.2, 0.8), 1.1),
]  # fmt: skip

CALCIUM_FACTORS = [
    (5, 0.3), (25, 1.0), (50, 1.3), (75, 1.5), (100, 1.6), (150, 1.8), (200, 1.9), (300, 2.1), (400, 2.2), (800, 2.5),
    (1000, 2.6),
]  # fmt: skip

ALKALINITY_FACTORS = [
    (5, 0.7), (25, 1.4), (50, 1.7), (75, 1.9), (100, 2.0), (150, 2.2), (200, 2.3), (300, 2.5), (400, 2.6), (800, 2.9),
    (1000, 3.0),
]  # fmt: skip

SOLIDS = [(200, 9.83), (400, 9.86), (800, 9.89), (1000, 9.90)]
"""Dissolved solids in mg/L, and their constant, which is 9.70 without any."""

BUCKS_LIMITS = {
    # moderate from, severe above: mg/L, pH, bacteria per mL
    "suspended_solids": (50, 100), "ph": (7.0, 8.0), "dissolved_solids": (500, 2000), "manganese": (0.1, 1.5),
    "iron": (0.1, 1.5), "hydrogen_sulfide": (0.5, 2.0), "bacteria": (10_000, 50_000),
}  # fmt: skip

PITTS_LIMITS = {
    "ph": (7.0, 7.5), "dissolved_solids": (500, 2000), "suspended_solids": (50, 100), "iron": (0.1, 1.5),
    "manganese": (0.1, 1.5), "calcium": (40, 80), "hydrogen_sulfide": (0.2, 2.0), "bacteria": (10_000, 50_000),
}  # fmt: skip


def water(**found: float) -> Water:
    with reading(System.METRIC):
        return Water.model_validate(found)


def index(**found: float) -> float:
    """[-]"""
    saturation = langelier(water(**found))
    assert saturation is not None
    return saturation.index


def term(name: str, value: float, without: float) -> float:
    """By how much a value moves the pH of saturation from that of another value. [-]"""
    known = {"dissolved_solids": 0.5, "calcium_hardness": 0.1, "alkalinity": 0.1, "temperature": 25.0}
    return saturation_ph(**{**known, name: value}) - saturation_ph(**{**known, name: without})


def constant_of_solids(mg: float) -> float:
    """What is left of the pH of saturation without temperature, with 1 mg/L each of calcium and alkalinity. [-]"""
    saturated = saturation_ph(dissolved_solids=mg * 1e-3, calcium_hardness=1e-3, alkalinity=1e-3, temperature=25.0)
    return saturated - (34.55 - 13.12 * math.log10(298))


def first_of(table: Table, constituent: str, class_: str) -> float:
    """Least value, mg/L or as it is, that a table puts into a class, found by asking for one value after another."""
    field = "calcium_hardness" if constituent == "calcium" else constituent

    def at_least(value: float) -> bool:
        asked = value / CALCIUM_SHARE if constituent == "calcium" else value
        (hazard,) = hazards(water(**{field: asked}))
        words = {judge.source: word for judge, word in hazard.by_table}
        return HAZARDS.index(words[table.source]) >= HAZARDS.index(class_)

    low, high = (4.0, 10.0) if constituent == "ph" else (0.0, 1e6 if constituent in BARE else 5e3)
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (low, middle) if at_least(middle) else (middle, high)
    return high


def limits_of(table: Table, limits: dict[str, tuple[float, float]], source: Source, name: str) -> list[Row]:
    """Both limits of each constituent."""
    return [
        Row(f"{constituent.replace('_', ' ')}: {class_} by {name}", limit,
            partial(first_of, table, constituent, class_), source, "found by asking", rel=1e-6)
        for constituent, pair in limits.items()
        for class_, limit in zip(("moderate", "severe"), pair, strict=True)
    ]  # fmt: skip


def by_factors(ph: float, factors: tuple[float, ...]) -> Callable[[], float]:
    """The index as the training computes it."""
    return lambda: ph + sum(factors) - 12.1


TABLE_METHOD = "the table knows no dissolved solids and rounds each factor; 1000 mg/L are taken here"
BEND = "the one entry off the line of the others, which the formula follows to 0.0003: it tells 0.03 less scaling here"
ONE = "one decimal printed"

LANGELIER = [
    Row("index of the analysis at 25 °C", -0.7, lambda: index(**ANALYSIS, temperature=25), LANGELIER_EXAMPLE, ONE,
        abs=0.05),
    Row("index of the analysis at 82 °C", 0.3,
        lambda: 7.5 - saturation_ph(dissolved_solids=0.32, calcium_hardness=0.15, alkalinity=0.034, temperature=82.0),
        LANGELIER_EXAMPLE, ONE, abs=0.05),
    Row("term of dissolved solids, 320 mg/L", 0.15, lambda: term("dissolved_solids", 0.320, 0.010), LANGELIER_EXAMPLE,
        "two decimals", abs=0.005),
    Row("term of temperature, from 82 to 25 °C", 2.09 - 1.09, lambda: term("temperature", 25.0, 82.0),
        LANGELIER_EXAMPLE.worked_out(), "two decimals, twice", abs=0.01),
    Row("term of calcium, 150 mg/L", 1.78, lambda: -term("calcium_hardness", 0.150, 10**0.4 * 1e-3), LANGELIER_EXAMPLE,
        "two decimals", abs=0.005),
    Row("term of alkalinity, 34 mg/L", 1.53, lambda: -term("alkalinity", 0.034, 0.001), LANGELIER_EXAMPLE,
        "two decimals", abs=0.005),
    *(
        Row(f"index of pool problem {number}", printed,
            lambda a=ph, b=alkalinity, c=calcium, d=fahrenheit: index(
                ph=a, alkalinity=b, calcium_hardness=c, dissolved_solids=1000, temperature=(d - 32) / 1.8),
            OPERATOR_TRAINING, TABLE_METHOD, abs=0.2, way=Way("by the factors", by_factors(ph, factors), abs=1e-9))
        for number, (ph, alkalinity, calcium, fahrenheit, factors, printed) in enumerate(POOLS, start=1)
    ),
    *(
        Row(f"factor of calcium, {mg} mg/L", factor,
            lambda mg=mg: -term("calcium_hardness", mg * 1e-3, 10**0.4 * 1e-3), FACTOR_TABLE, ONE, abs=0.05)
        for mg, factor in CALCIUM_FACTORS
    ),
    *(
        Row(f"factor of alkalinity, {mg} mg/L", factor, lambda mg=mg: -term("alkalinity", mg * 1e-3, 1e-3),
            FACTOR_TABLE, ONE, abs=0.05)
        for mg, factor in ALKALINITY_FACTORS
    ),
    *(
        Row(f"constant of {mg} mg/L of dissolved solids", printed, partial(constant_of_solids, mg), STANDARD_METHODS,
            "two decimals", abs=0.005)
        for mg, printed in SOLIDS
    ),
    Row("constant of 100 mg/L of dissolved solids", 9.77, partial(constant_of_solids, 100), STANDARD_METHODS, BEND,
        abs=0.035),
]  # fmt: skip

CLOGGING = [
    *limits_of(BUCKS, BUCKS_LIMITS, BUCKS_TABLE, "Bucks"),
    *limits_of(PITTS, PITTS_LIMITS, PITTS_TABLE, "Pitts"),
    Row("suspended solids that plug, mg/L", 100, partial(first_of, BUCKS, "suspended_solids", "severe"), REUSE_GUIDE,
        "found by asking", rel=1e-6),
    Row("suspended solids that are safe below, mg/L", 50, partial(first_of, BUCKS, "suspended_solids", "moderate"),
        REUSE_GUIDE, "found by asking", rel=1e-6),
]  # fmt: skip


@each(LANGELIER)
def test_saturation_is_that_of_the_worked_analyses(row: Row):
    agrees(row)


@each(CLOGGING)
def test_hazards_begin_where_the_tables_say(row: Row):
    agrees(row)
