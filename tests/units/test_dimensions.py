"""Conversions against an independent units library; against print: tests/published/test_velocities.py."""

import math

import numpy as np
import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.units.dimensions import DIMENSIONS, System, from_si, labels, to_si

PINT_UNITS = {
    # dimension: (SI, us, metric), in the words of the library
    "pressure": ("pascal", "psi", "kilopascal"),
    "length": ("meter", "foot", "meter"),
    "flow": ("meter**3/second", "gallon/minute", "liter/minute"),
    "outlet_flow": ("meter**3/second", "gallon/hour", "liter/hour"),
    "diameter": ("meter", "inch", "millimeter"),
    "velocity": ("meter/second", "foot/second", "meter/second"),
    "area": ("meter**2", "foot**2", "meter**2"),
    "temperature": ("degC", "degF", "degC"),
    "volume": ("meter**3", "gallon", "liter"),
    "roughness": ("meter", "micrometer", "micrometer"),
    "depth": ("meter", "inch", "millimeter"),
    "rate": ("meter/second", "inch/hour", "millimeter/hour"),
    "duration": ("second", "minute", "minute"),
    "concentration": ("kilogram/meter**3", "milligram/liter", "milligram/liter"),
}

PINT = pint.UnitRegistry()


def test_every_dimension_has_a_second_opinion():
    assert set(PINT_UNITS) == set(DIMENSIONS)


@given(
    dimension=st.sampled_from(sorted(PINT_UNITS)),
    system=st.sampled_from(System),
    value=st.floats(-1e6, 1e6).filter(lambda value: value == 0 or abs(value) > 1e-6),
)
def test_conversion_agrees_with_an_independent_library_both_ways(dimension, system, value):
    si, us, metric = PINT_UNITS[dimension]
    unit = us if system is System.US else metric
    # An offset scale loses the last digits of small numbers, whoever converts.
    slack = 1e-9 if dimension == "temperature" else 0.0
    there = PINT.Quantity(value, unit).to(si).magnitude
    back = PINT.Quantity(value, si).to(unit).magnitude
    assert to_si(value, dimension, system) == pytest.approx(there, rel=1e-12, abs=slack)
    assert from_si(value, dimension, system) == pytest.approx(back, rel=1e-12, abs=slack)


@given(
    dimension=st.sampled_from(sorted(DIMENSIONS)), system=st.sampled_from(System), value=st.floats(-1e9, 1e9, width=32)
)
def test_there_and_back_changes_nothing(dimension, system, value):
    again = from_si(to_si(value, dimension, system), dimension, system)
    assert math.isclose(again, value, rel_tol=1e-12, abs_tol=1e-12)


def test_columns_convert_as_their_numbers_do():
    column = np.array([0.0, 10.0, 25.0])
    assert to_si(column, "pressure", System.US).tolist() == [to_si(p, "pressure", System.US) for p in (0.0, 10.0, 25.0)]


def test_labels_are_those_of_the_contract():
    assert labels(System.US) == {
        "pressure": "psi", "length": "ft", "flow": "gpm", "outlet_flow": "gph", "diameter": "in", "velocity": "ft/s",
        "area": "ft²", "temperature": "°F", "volume": "gal", "roughness": "µm", "depth": "in", "rate": "in/h",
        "duration": "min", "concentration": "mg/L",
    }  # fmt: skip
    assert labels(System.METRIC) == {
        "pressure": "kPa", "length": "m", "flow": "L/min", "outlet_flow": "L/h", "diameter": "mm", "velocity": "m/s",
        "area": "m²", "temperature": "°C", "volume": "L", "roughness": "µm", "depth": "mm", "rate": "mm/h",
        "duration": "min", "concentration": "mg/L",
    }  # fmt: skip
