"""How evenly a zone waters, against examples and definitions: the whole zone is asked, its outlets held at given flows.

Every outlet stands at the height that leaves it the pressure of its flow, on pipe so wide that friction is nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from statistics import NormalDist

from service.schemas.answers import Uniformity
from service.zones.uniformity import LOW_QUARTER
from tests.published.practice_sources import (
    CATCH_CANS,
    EMISSION_EXAM,
    EMISSION_FORMULA,
    NORMAL,
    SIXTEEN,
    STATISTICAL_LINK,
)
from tests.published.row import Row, Way, agrees, each
from tests.zones.flower_plot import ask

SIXTEEN_FLOWS = (1.02, 0.98, 1.0, 0.95, 1.05, 0.99, 0.91, 1.01, 0.97, 1.03, 0.88, 1.04, 0.96, 1.0, 0.93, 1.08)
"""gph"""

LEVEL = 10.0
"""Of the tank above the inlet. [m]"""

APART = 20.0
"""Spacing of the outlets, so that pipe can climb from one to the next. [m]"""


@cache
def spread(flows: Sequence[float], *, exponent: float = 1.0, variation: float = 0.0, together: int = 1) -> Uniformity:
    """Figures of a zone whose outlets give these flows, each over the flow of 10 m of head. [%]"""
    heights = (LEVEL * (1 - flow ** (1 / exponent)) for flow in flows)
    ground = [[0, 0], *([n * APART, height] for n, height in enumerate(heights, start=1))]
    emitter = {"flow": 0.5, "at_pressure": 97.89, "exponent": exponent, "pressure_range": [1, 1000]}
    emitter |= {"variation": variation} if variation else {}
    run = {"id": "line", "pipe": {"inside_diameter": 300, "material": "pe"}, "ground": ground}
    run |= {"length": len(flows) * APART}
    run |= {"outlets": {"emitter": emitter, "spacing": APART, "first_at": APART, "per_place": together}}
    zone = {"units": "metric", "water": {"temperature": 20}, "supply": {"water_level": LEVEL}, "runs": [run]}
    return ask(zone).uniformity


def exam() -> float:
    """Emitters of exponent 0.6, two to a tree, Cv 0.06; 100 kPa at the worst and the flow of 120 kPa on the average."""
    least, mean = 1.0, 1.2**0.6
    return spread((least, 2 * mean - least), exponent=0.6, variation=0.06, together=2).emission_uniformity


def sample_deviation() -> float:
    """Statistical uniformity with the deviation of a sample, over one less than its number. [%]"""
    mean = sum(SIXTEEN_FLOWS) / 16
    return 100 * (1 - (sum((flow - mean) ** 2 for flow in SIXTEEN_FLOWS) / 15) ** 0.5 / mean)


STATISTICAL = [(95, 93.65), (90, 87.3), (85, 80.95), (80, 74.6), (75, 68.25), (70, 61.9), (65, 55.55), (60, 49.2)]

CANS = (0.68, *(3 * [(4 * 0.70 - 0.68) / 3]))
"""Four cans whose lowest holds 0.68 in. and whose mean is 0.70 in."""

ROWS = [
    Row("mean of the lowest quarter, deviations below the mean", NormalDist().pdf(NormalDist().inv_cdf(0.25)) / 0.25,
        lambda: LOW_QUARTER, NORMAL, "Keller and Karmeli round it to 1.27", abs=0.0012),
    Row("emission uniformity of pig-tail emitters, %", 84.8, exam, EMISSION_EXAM, "one decimal", abs=0.05),
    Row("emission uniformity of the least flow 0.95 of the mean, Cv 0.05, four together, %",
        100 * (1 - 1.27 * 0.05 / 2) * 0.95,
        lambda: spread((0.95, 1.05), variation=0.05, together=4).emission_uniformity, EMISSION_FORMULA,
        "exact arithmetic", rel=1e-5),
    *(
        Row(f"emission uniformity at a statistical one of {us} %, %", eu,
            lambda us=us: spread((1.0, 1.0), variation=1 - us / 100).emission_uniformity, STATISTICAL_LINK,
            "exact arithmetic", abs=1e-4)
        for us, eu in STATISTICAL
    ),
    Row("low-quarter uniformity of the cans, %", 97, lambda: spread(CANS).low_quarter, CATCH_CANS,
        "printed to a whole percent", abs=0.5),
    Row("low-quarter uniformity of sixteen, %", 92.9114, lambda: spread(SIXTEEN_FLOWS).low_quarter, SIXTEEN,
        "six digits", rel=1e-5),
    Row("Christiansen's coefficient of sixteen, %", 95.7911, lambda: spread(SIXTEEN_FLOWS).christiansen, SIXTEEN,
        "six digits", rel=1e-5),
    Row("statistical uniformity of sixteen, %", 94.6224, lambda: spread(SIXTEEN_FLOWS).statistical_uniformity, SIXTEEN,
        "the source takes the sixteen for a sample, over n - 1; the service counts every outlet of the zone",
        rel=0.003, way=Way("as a sample", sample_deviation, rel=1e-5)),
]  # fmt: skip


@each(ROWS)
def test_uniformity_is_that_of_the_definitions(row: Row):
    agrees(row)
