"""What every law must do: never fall, never jump, and state its own slope."""

from collections.abc import Callable

import numpy as np
from hypothesis import strategies as st
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Law = Callable[[Floats], tuple[Floats, Floats]]


def spread(low: float, high: float) -> st.SearchStrategy[float]:
    """Positive numbers, evenly in the logarithm."""
    return st.floats(np.log(low), np.log(high)).map(lambda logarithm: float(np.exp(logarithm)))


def of_many(curve: Callable[[float], tuple[float, float]]) -> Law:
    """A law of one value at a time as a law of arrays."""

    def law(points: Floats) -> tuple[Floats, Floats]:
        values, slopes = np.array([curve(point) for point in points.tolist()]).T
        return values, slopes

    return law


def slope_is_a_slope(law: Law, at: float, step: float, rel: float = 1e-4) -> None:
    """The stated slope of one value lies between those of its chords to either side, or close to them: at kinks too."""
    low, here, high = (float(law(np.array([x]))[0][0]) for x in (at - step, at, at + step))
    stated = float(law(np.array([at]))[1][0])
    left, right = (here - low) / step, (high - here) / step
    slack = rel * max(abs(left), abs(right)) + 8e-16 * max(abs(low), abs(high)) / step
    assert min(left, right) - slack <= stated <= max(left, right) + slack


def never_jumps(law: Law, at: float, size: float) -> None:
    """Values a last bit to either side of a point are the same to a millionth of a size."""
    low, high = law(np.array([np.nextafter(at, -np.inf), np.nextafter(at, np.inf)]))[0]
    assert abs(high - low) <= 1e-6 * size


def never_falls(law: Law, points: Floats) -> None:
    """Values at rising points rise or stay, but for their last bits."""
    values = law(points)[0]
    assert (np.diff(values) >= -4e-16 * np.abs(values[1:])).all()
