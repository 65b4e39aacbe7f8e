"""Whether two answers are alike: numbers within a tolerance, everything else the same."""

import math
from collections.abc import Iterator
from typing import Any

TOLERANCE = 1e-6
"""Relative difference of numbers. [-]"""

NOUGHT = 1e-9
"""Difference from nought that other processors and libraries may come by. [any unit of the answers]"""

OF_THE_SOLVER = {"iterations", "residual"}
"""What tells how the solver fared, not how the zone does: it may differ between libraries."""


def differences(expected: Any, actual: Any, place: str = "") -> Iterator[str]:
    """Every place where the answers differ."""
    if isinstance(expected, dict) and isinstance(actual, dict):
        for key in expected.keys() | actual.keys():
            if key not in expected or key not in actual:
                yield f"{place}/{key}: only in one of them"
            elif key not in OF_THE_SOLVER:
                yield from differences(expected[key], actual[key], f"{place}/{key}")
    elif isinstance(expected, list) and isinstance(actual, list):
        if len(expected) != len(actual):
            yield f"{place}: {len(expected)} entries, now {len(actual)}"
        for index, pair in enumerate(zip(expected, actual, strict=False)):
            yield from differences(*pair, f"{place}/{index}")
    elif not _alike(expected, actual):
        yield f"{place}: {expected!r}, now {actual!r}"


def _alike(expected: Any, actual: Any) -> bool:
    numbers = (int, float)
    if isinstance(expected, numbers) and isinstance(actual, numbers) and not isinstance(expected, bool):
        return math.isclose(expected, actual, rel_tol=TOLERANCE, abs_tol=NOUGHT)
    return type(expected) is type(actual) and expected == actual
