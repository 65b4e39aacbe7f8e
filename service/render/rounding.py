"""Figures rounded for reading. Documents keep theirs unrounded; only what is rendered passes through here."""

import math
from collections.abc import Iterable

DIGITS = 3
"""Significant digits of the largest figure of a column. [-] Gauges on site read no finer."""

FEWEST_DECIMALS, MOST_DECIMALS = 1, 3


def decimals(values: Iterable[float]) -> int:
    """Decimal places for a column of figures: enough for the largest to be told with three digits.

    >>> decimals([64.0, 0.52]), decimals([2.2, 0.5]), decimals([441.3])
    (1, 2, 1)
    """
    largest = max(map(abs, values), default=0.0)
    if largest == 0:
        return FEWEST_DECIMALS
    wanted = DIGITS - 1 - math.floor(math.log10(largest))
    return min(max(wanted, FEWEST_DECIMALS), MOST_DECIMALS)


def fixed(value: float, places: int) -> str:
    """A figure with `places` decimals, and never a minus before nought.

    >>> fixed(2.345, 1), fixed(-0.01, 1)
    ('2.3', '0.0')
    """
    return f"{round(value, places) + 0.0:.{places}f}"
