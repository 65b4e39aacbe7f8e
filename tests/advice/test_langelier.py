"""When the Langelier index is told; that it is right stands in tests/published/test_water_quality.py."""

from __future__ import annotations

import math

import pytest

from service.schemas.water import Water
from service.units.dimensions import System
from service.units.reading import reading
from service.zones.langelier import PARTNERS, langelier, missing_partners
from service.zones.water_notes import notes
from service.zones.water_quality import NAMES

WHOLE = {"ph": 7.5, "dissolved_solids": 320, "calcium_hardness": 150, "alkalinity": 34}
"""A worked analysis: tests/published/practice_sources.py, LANGELIER_EXAMPLE. mg/L"""


def water(**found: float) -> Water:
    with reading(System.METRIC):
        return Water.model_validate(found)


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
    told = next(note for note in notes(some) if note.code == "lab-values-incomplete").told.said(System.US)
    assert f"cannot be told without {NAMES.get(left_out, left_out)}:" in told


def test_what_lacks_is_named_as_people_say_it():
    told = next(note for note in notes(water(calcium_hardness=150)) if note.code == "lab-values-incomplete").told
    assert "without pH, dissolved solids, alkalinity:" in told.said(System.US)


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
