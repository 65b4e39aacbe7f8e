"""The Langelier index against worked analyses and factor tables."""

from __future__ import annotations

import math

import pytest

from service.schemas.water import Water
from service.units.dimensions import System
from service.units.reading import reading
from service.zones.langelier import PARTNERS, langelier, missing_partners, saturation_ph
from service.zones.water_notes import notes

WHOLE = {"ph": 7.5, "dissolved_solids": 320, "calcium_hardness": 150, "alkalinity": 34}
"""A water analysis worked in an encyclopedia text, read on public pool-care and question pages. mg/L"""


def water(**found: float) -> Water:
    with reading(System.METRIC):
        return Water.model_validate(found)


# T [°C], A + B - C - D and index of that text; the indices from memory of it.
WORKED = [(25, 0.15 + 2.09 - 1.78 - 1.53, -0.7), (82, 0.15 + 1.09 - 1.78 - 1.53, 0.3)]


@pytest.mark.parametrize(("temperature", "terms", "index"), WORKED)
def test_index_is_that_of_the_worked_analysis(temperature, terms, index):
    ph = saturation_ph(dissolved_solids=0.320, calcium_hardness=0.150, alkalinity=0.034, temperature=temperature)
    assert ph == pytest.approx(9.3 + terms, abs=0.02)
    assert 7.5 - ph == pytest.approx(index, abs=0.05)


# Saturation index sample problems of a pool operator training: pH, alkalinity, calcium hardness, °F, index by table.
# The full formula needs dissolved solids, which the problems do not give: 1000 mg/L, and the index within 0.2.
PROBLEMS = [(7.0, 50, 200, 76, -0.9), (7.6, 75, 300, 84, 0.2), (8.0, 150, 400, 94, 1.1)]


@pytest.mark.parametrize(("ph", "alkalinity", "calcium", "fahrenheit", "index"), PROBLEMS)
def test_index_is_near_that_of_the_factor_table(ph, alkalinity, calcium, fahrenheit, index):
    found = langelier(
        water(
            ph=ph,
            alkalinity=alkalinity,
            calcium_hardness=calcium,
            dissolved_solids=1000,
            warmest_temperature=(fahrenheit - 32) / 1.8,
        )
    )
    assert found is not None
    assert found.index == pytest.approx(index, abs=0.2)


# The same table: calcium and alkalinity in mg/L as CaCO3 with their factors, rounded to one decimal. One copy prints
# 2.0 for calcium of 1000: a misprint, log10(1000) - 0.4 is 2.6.
CALCIUM = [
    (5, 0.3),
    (25, 1.0),
    (50, 1.3),
    (75, 1.5),
    (100, 1.6),
    (150, 1.8),
    (200, 1.9),
    (300, 2.1),
    (400, 2.2),
    (1000, 2.6),
]
ALKALINITY = [(5, 0.7), (25, 1.4), (50, 1.7), (75, 1.9), (100, 2.0), (150, 2.2), (200, 2.3), (400, 2.6), (1000, 3.0)]


@pytest.mark.parametrize(("calcium", "factor"), CALCIUM)
def test_calcium_counts_as_in_the_factor_table(calcium, factor):
    one, other = (
        saturation_ph(dissolved_solids=0.5, calcium_hardness=1e-3 * each, alkalinity=0.1, temperature=25)
        for each in (calcium, 10**0.4)  # whose factor is nought
    )
    assert other - one == pytest.approx(factor, abs=0.05)


@pytest.mark.parametrize(("alkalinity", "factor"), ALKALINITY)
def test_alkalinity_counts_as_in_the_factor_table(alkalinity, factor):
    one, other = (
        saturation_ph(dissolved_solids=0.5, calcium_hardness=0.1, alkalinity=1e-3 * each, temperature=25)
        for each in (alkalinity, 1)
    )
    assert other - one == pytest.approx(factor, abs=0.05)


def test_scale_is_judged_at_the_warmest_water_in_the_pipes():
    cool, warm = (
        langelier(water(**WHOLE, temperature=25)),
        langelier(water(**WHOLE, temperature=25, warmest_temperature=50)),
    )
    assert cool is not None
    assert warm is not None
    assert (cool.temperature, warm.temperature) == (25, 50)
    assert warm.index > cool.index


@pytest.mark.parametrize("left_out", PARTNERS)
def test_no_index_without_all_four_values_and_what_lacks_is_told(left_out):
    some = water(**{name: value for name, value in WHOLE.items() if name != left_out})
    assert langelier(some) is None
    assert missing_partners(some) == (left_out,)
    assert left_out in next(note for note in notes(some) if note.code == "lab-values-incomplete").told.said(System.US)


def test_values_of_use_by_themselves_lack_nothing():
    assert missing_partners(water(ph=7, dissolved_solids=300)) == ()


@pytest.mark.parametrize("none", ["calcium_hardness", "alkalinity"])
def test_water_without_calcium_or_alkalinity_leaves_no_scale(none):
    assert langelier(water(**{**WHOLE, none: 0})) is None
    assert "scaling" not in {note.code for note in notes(water(**{**WHOLE, none: 0}))}


def test_distilled_dissolved_solids_give_a_finite_index():
    found = langelier(water(**{**WHOLE, "dissolved_solids": 0}))
    assert found is not None
    assert math.isfinite(found.index)
