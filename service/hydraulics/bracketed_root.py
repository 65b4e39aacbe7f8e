"""Where rising functions cross zero: Newton's method between brackets that close in, for whole arrays at once."""

from collections.abc import Callable

import numpy as np

from service.hydraulics.arrays import Floats

MOST_STEPS = 200
"""Steps after which the best guess so far is handed out; halving alone would reach the last bit in fewer. [-]"""


def bracketed_root(
    excess: Callable[[Floats], tuple[Floats, Floats]],
    *,
    low: Floats,
    high: Floats,
    guess: Floats,
    nearness: float,
) -> Floats:
    """Root of a rising function, element by element.

    Parameters
    ----------
    excess : the function and its derivative, above zero, at points of the shape of the brackets
    low, high : brackets, at which the function is not above and not below zero
    guess : where to begin, between them
    nearness : a step this small, or of the last of 14 digits, is the last one

    Returns
    -------
    The root, after a last step that the caller's own evaluation is the first to see.
    """
    x, found = guess, np.zeros(guess.shape, dtype=np.bool_)
    before = np.full_like(guess, np.inf)
    for _ in range(MOST_STEPS):
        value, slope = excess(x)
        above = value > 0.0
        low, high = np.where(above, low, x), np.where(above, x, high)
        step = value / slope
        trial = x - step
        # Each step is at most half the one before, or else halves the bracket.
        safe = (trial >= low) & (trial <= high) & (2.0 * np.abs(step) <= before)
        trial = np.where(safe, trial, 0.5 * (low + high))
        # What is found stays: steps of rounding do not halve, and would set it to halving the bracket once more.
        before, x = np.abs(trial - x), np.where(found, x, trial)
        found |= before <= nearness + 1e-14 * np.abs(x)
        if found.all():
            break
    return x
