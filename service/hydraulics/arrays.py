"""The array types that every numeric module speaks, and the one sum that numpy has no name for."""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Bools = NDArray[np.bool_]


class RowSums:
    """Sums, row by row, of the values that share a target."""

    def __init__(self, target: Ints, size: int) -> None:
        """Fix the target of each column, (k,), below size."""
        self._target = target
        self._size = size
        self._flat = (1, target)  # rows, and the targets of that many rows as one vector

    def __call__(self, values: Floats) -> Floats:
        """Sums of (a, k) values, (a, size)."""
        rows = len(values)
        known, flat = self._flat
        if rows != known:
            flat = (np.arange(rows)[:, None] * self._size + self._target).ravel()
            self._flat = rows, flat  # as one, for another thread may be summing too
        sums = np.bincount(flat, values.ravel(), minlength=rows * self._size)
        return sums.reshape(rows, self._size).astype(np.float64, copy=False)
