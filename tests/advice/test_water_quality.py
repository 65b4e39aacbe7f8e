"""Clogging hazards against the published tables, each row with where it was read."""

from __future__ import annotations

import pytest

from service.schemas.water import Water
from service.units.dimensions import System, to_si
from service.units.reading import reading
from service.zones.water_notes import notes
from service.zones.water_quality import BUCKS, PITTS, clogging_hazard, hazards, treatments

SLIGHT, MODERATE, SEVERE = "slight", "moderate", "severe"


def water(**found: float | str) -> Water:
    """Water with these laboratory values, mg/L."""
    with reading(System.US):
        return Water.model_validate(found)


# Columns: constituent, then a value in each class, those at the limits included: "50-100" is moderate from 50 to 100.
# Table 4 of a public advisory page on operating drip systems, attributed to Bucks, Nakayama & Gilbert, "Trickle
# irrigation water quality and preventive maintenance", Agricultural Water Management 2 (1979) 149-162 (the first page
# of the article seen; that the table is its own is from memory).
OF_BUCKS = [
    ("suspended_solids", (0, 49.9), (50, 75, 100), (100.1, 5000)),
    ("ph", (4, 6.99), (7, 7.5, 8), (8.01, 9.5)),
    ("dissolved_solids", (0, 499), (500, 2000), (2001, 9000)),
    ("manganese", (0, 0.09), (0.1, 1.5), (1.51, 5)),
    ("iron", (0, 0.09), (0.1, 1.5), (1.51, 5)),
    ("hydrogen_sulfide", (0, 0.49), (0.5, 2), (2.01, 8)),
    ("bacteria", (0, 9_999), (10_000, 50_000), (50_001, 1e8)),
]

# "Testing the Irrigation Water Source", table 1, after Pitts 1990: University of Florida IFAS. The page prints the
# severe cells of dissolved and suspended solids swapped; put right here. Its row for hardness repeats the calcium
# figures, which looks like a copying error: calcium is taken, 1 mg/L of it as 100.09/40.08 = 2.497 mg/L of hardness.
OF_PITTS = [
    ("ph", (4, 6.99), (7, 7.5), (7.51, 9.5)),
    ("dissolved_solids", (0, 499), (500, 2000), (2001, 9000)),
    ("suspended_solids", (0, 49.9), (50, 100), (100.1, 5000)),
    ("iron", (0, 0.09), (0.1, 1.5), (1.51, 5)),
    ("manganese", (0, 0.09), (0.1, 1.5), (1.51, 5)),
    ("calcium_hardness", (0, 39.9 * 2.497), (40 * 2.4974, 80 * 2.4972), (80.1 * 2.498, 900)),
    ("hydrogen_sulfide", (0, 0.19), (0.2, 2), (2.01, 8)),
    ("bacteria", (0, 9_999), (10_000, 50_000), (50_001, 1e8)),
]

ROWS = [
    (table, constituent, value, word)
    for table, rows in ((BUCKS, OF_BUCKS), (PITTS, OF_PITTS))
    for constituent, *classes in rows
    for word, values in zip((SLIGHT, MODERATE, SEVERE), classes, strict=True)
    for value in values
]


@pytest.mark.parametrize(("table", "constituent", "value", "word"), ROWS)
def test_a_value_is_in_the_class_that_the_table_puts_it_in(table, constituent, value, word):
    (hazard,) = hazards(water(**{constituent: value}))
    assert {source.source: told for source, told in hazard.by_table}[table.source] == word


def test_each_table_has_the_rows_that_were_read_and_no_others():
    assert set(BUCKS.limits) == {row[0] for row in OF_BUCKS}
    assert set(PITTS.limits) == {row[0] for row in OF_PITTS}


# Where the two differ the stricter one stands, and both are named: pH above 7.5 and sulfide from 0.2 mg/L.
DISPUTED = [("ph", 7.7, SEVERE, MODERATE), ("hydrogen_sulfide", 0.3, MODERATE, SLIGHT)]


@pytest.mark.parametrize(("constituent", "value", "strict", "mild"), DISPUTED)
def test_where_the_tables_disagree_the_stricter_stands_and_both_are_named(constituent, value, strict, mild):
    (hazard,) = hazards(water(**{constituent: value}))
    assert hazard.worst == strict
    assert {word for _, word in hazard.by_table} == {strict, mild}
    told = next(notes(water(**{constituent: value}))).told.said(System.US)
    assert f"a {strict} clogging hazard" in told
    assert "Pitts 1990" in told
    assert f"Bucks calls it {mild}" in told


def test_suspended_solids_are_safe_below_50_and_plug_above_100():
    """WateReuse Foundation, Salinity Management Guide, suspended solids."""
    assert clogging_hazard(hazards(water(suspended_solids=49))) == SLIGHT
    assert clogging_hazard(hazards(water(suspended_solids=101))) == SEVERE


def test_the_worst_constituent_decides_and_nothing_measured_is_unknown():
    assert clogging_hazard(hazards(water(iron=0.05, bacteria=20_000, ph=6.5))) == MODERATE
    assert clogging_hazard(hazards(water())) == "unknown"


def test_treatments_are_families_without_a_dose():
    found = hazards(
        water(suspended_solids=120, iron=2, hydrogen_sulfide=1, bacteria=90_000, ph=8.5, dissolved_solids=3000)
    )
    told = dict(treatments(found, scaling=True))
    assert set(told) == {
        "suspended solids",
        "high pH",
        "carbonate scale",
        "iron and manganese",
        "hydrogen sulfide",
        "slime",
        "salts",
    }
    assert not any(character.isdigit() for family in told.values() for character in family)
    assert dict(treatments(hazards(water(iron=0.01)), scaling=False)) == {}


# Levels of concern, Schwankl, Maintenance of Microirrigation Systems, University of California ANR: bicarbonate of 2
# meq/L (100 mg/L of alkalinity as CaCO3) at pH 7.5, iron of 0.5 mg/L at pH 4.
CONCERNS = [
    ({"alkalinity": 101, "ph": 7.6}, "scaling", True),
    ({"alkalinity": 99, "ph": 7.6}, "scaling", False),
    ({"alkalinity": 101, "ph": 7.5}, "scaling", False),
]


@pytest.mark.parametrize(("found", "code", "told"), CONCERNS)
def test_alkaline_water_gives_reason_to_fear_scale_before_the_index_can_be_had(found, code, told):
    assert (code in {note.code for note in notes(water(**found))}) == told


def test_iron_is_told_with_the_level_of_concern_only_above_it():
    low, high = (next(n for n in notes(water(iron=iron)) if n.code == "iron") for iron in (0.2, 0.6))
    assert "0.5 mg/L" not in low.told.said(System.US)
    assert "0.5 mg/L" in high.told.said(System.US)


@pytest.mark.parametrize(("ph", "told"), [(3.9, False), (4.1, True), (5, True), (7, True)])
def test_iron_is_of_concern_above_a_ph_of_four(ph, told):
    note = next(n for n in notes(water(iron=1, ph=ph)) if n.code == "iron").told.said(System.US)
    assert ("at a pH above 4" in note) is told


def test_sulfide_with_iron_is_told_to_fall_out_black():
    told = [note.told.said(System.US) for note in notes(water(iron=0.3, hydrogen_sulfide=0.6))]
    assert any("black" in one for one in told)
    assert not any("black" in note.told.said(System.US) for note in notes(water(hydrogen_sulfide=0.6)))


def test_limits_are_kept_in_si():
    assert BUCKS.limits["iron"] == pytest.approx((0.1e-3, 1.5e-3))
    assert BUCKS.limits["bacteria"] == (10_000, 50_000)
    assert to_si(1, "concentration", System.METRIC) == pytest.approx(1e-3)
