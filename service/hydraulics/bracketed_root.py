"""Where rising functions cross zero: Newton's method between brackets that close in, for whole arrays at once."""

from collections.abc import Callable

import numpy as np

from service.hydraulics.arrays import Floats

MOST_STEPS = 200
"""Steps after which the best guess so far is handed out; halving alone would reach the last bit in fewer. [-]"""

TRUSTED_STEPS = 12
"""Steps left to Newton's method alone; from then on every second one halves the bracket. [-]"""


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
    nearness : a step this small, or of a few last bits, is the last one

    Returns
    -------
    The root, after a last step that the caller's own evaluation is the first to see.
    """
    x = guess
    for number in range(MOST_STEPS):
        value, slope = excess(x)
        above = value > 0.0
        low, high = np.where(above, low, x), np.where(above, x, high)
        trial = x - value / slope
        safe = (trial >= low) & (trial <= high)
        if number >= TRUSTED_STEPS and number % 2:
            safe &= value == 0.0
        trial = np.where(safe, trial, 0.5 * (low + high))
        close = np.abs(trial - x) <= nearness + 4e-16 * np.abs(x)
        x = trial
        if close.all():
            break
    return x
