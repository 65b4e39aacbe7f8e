"""Rounding for reading: what is printed must still add up. Checked against exact decimal arithmetic."""

from decimal import Decimal
from math import fsum

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.render.rounding import balanced, decimals, fixed

pressures = st.lists(st.floats(-20.0, 90.0), min_size=1, max_size=12)


@given(parts=pressures, places=st.integers(0, 3))
def test_rounded_parts_add_up_to_the_rounded_total(parts, places):
    total = fsum(parts)
    printed = [Decimal(fixed(part, places)) for part in balanced(parts, total, places)]
    assert sum(printed) == Decimal(fixed(total, places))


@given(parts=pressures, places=st.integers(0, 3))
def test_only_the_largest_part_moves_further_than_rounding_does(parts, places):
    rounded = balanced(parts, fsum(parts), places)
    largest = max(range(len(parts)), key=lambda index: abs(parts[index]))
    half = 0.5 * 10.0**-places
    for index, (part, shown) in enumerate(zip(parts, rounded, strict=True)):
        allowed = half * (len(parts) + 1) if index == largest else half
        assert abs(part - shown) <= allowed * (1 + 1e-9) + 1e-12


@pytest.mark.parametrize(
    ("values", "places"),
    [
        ([64.0, 0.52], 1),  # a main in psi
        ([441.0, 3.6], 1),  # the same in kPa
        ([2.17, 0.4], 2),  # a tank in psi
        ([0.031], 3),
        ([0.0, 0.0], 1),
        ([], 1),
    ],
)
def test_decimals_follow_the_largest_figure(values, places):
    assert decimals(values) == places


def test_nothing_is_printed_as_minus_nought():
    assert fixed(-0.04, 1) == "0.0"
