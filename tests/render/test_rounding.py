"""Rounding for reading."""

import pytest

from service.render.rounding import decimals, fixed


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
