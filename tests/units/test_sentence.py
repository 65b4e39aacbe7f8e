"""Figures in sentences: few digits, the reader's unit, nothing misleading."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.units.dimensions import System
from service.units.sentence import Measured, Sentence, figure


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (13.5678, "13.6"),
        (25.0, "25"),
        (9.996, "10"),
        (1234.5678, "1235"),
        (0.012345, "0.0123"),
        (-0.0, "0"),
        (-1e-12, "0"),
        (-2.5, "-2.5"),
        (120.0, "120"),
        (1000.0, "1000"),
    ],
)
def test_a_figure_reads_as_a_person_would_write_it(value, text):
    assert figure(value) == text


@given(st.floats(-1e6, 1e6).filter(lambda value: abs(value) > 1e-3))
def test_a_figure_is_within_half_a_percent_of_its_value(value):
    text = figure(value)
    assert math.isclose(float(text), value, rel_tol=5e-3)
    assert "e" not in text
    assert not ("." in text and text.endswith("0"))


VELOCITY = Sentence(
    "Water runs at {velocity} in {where}; keep it under {limit}.",
    {"velocity": Measured(1.7, "velocity"), "limit": Measured(1.524, "velocity"), "where": "header"},
)


def test_a_sentence_is_said_in_the_units_of_its_reader():
    assert VELOCITY.said(System.US) == "Water runs at 5.58 ft/s in header; keep it under 5 ft/s."
    assert VELOCITY.said(System.METRIC) == "Water runs at 1.7 m/s in header; keep it under 1.52 m/s."


def test_figures_that_differ_are_told_apart():
    close = Sentence("{have} < {need}", {"have": Measured(99_960.0, "pressure"), "need": Measured(1e5, "pressure")})
    assert close.said(System.METRIC) == "99.96 kPa < 100 kPa"
    same = Sentence("{have} = {need}", {"have": Measured(1e5, "pressure"), "need": Measured(1e5, "pressure")})
    assert same.said(System.METRIC) == "100 kPa = 100 kPa"


def test_a_sentence_may_stand_in_another():
    both = Sentence("{reason} So look again.", {"reason": VELOCITY})
    assert both.said(System.US).startswith("Water runs at 5.58 ft/s")
    assert both.said(System.US).endswith("So look again.")


def test_figures_that_nobody_could_tell_apart_are_left_alike():
    pair = {"a": Measured(1e5, "pressure"), "b": Measured(1e5 + 1e-3, "pressure")}
    assert Sentence("{a} {b}", pair).said(System.METRIC) == "100 kPa 100 kPa"


def test_counts_texts_and_ratios_are_facts_too():
    sentence = Sentence(
        "{count} copies of {run}, {share} %: {braces}",
        {"count": 1234, "run": "row", "share": 12.345, "braces": "{run}"},
    )
    assert sentence.said(System.US) == "1234 copies of row, 12.3 %: {run}"
