"""Sieve numbers and the openings they stand for."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

MESH_OPENINGS = (
    (10, 2000), (20, 850), (30, 600), (40, 425), (50, 300), (60, 250), (70, 212), (80, 180), (100, 150), (120, 125),
    (140, 106), (150, 100), (170, 90), (200, 75), (230, 63), (270, 53), (325, 45), (400, 38),
)  # fmt: skip
"""Mesh and opening in µm. [-, µm]

ASTM E11, nominal openings of test sieves; rows 200, 325 and 400 read in a public table, the others from memory. 150 is
no number of that series: trade lists give it 100 (read in a public table).
"""

_MESH, _OPENING = (np.array(column, dtype=float) for column in zip(*MESH_OPENINGS, strict=True))


@lru_cache(maxsize=1024)
def opening_of(mesh: float) -> float:
    """Opening that a sieve number stands for, between rows by the line through their logarithms. [m]

    >>> round(opening_of(200) * 1e6, 9)
    75.0
    """
    opening = np.exp(np.interp(np.log(mesh), np.log(_MESH), np.log(_OPENING)))
    # Past either end the product of mesh and opening stays that of the last row.
    beyond = mesh / float(np.clip(mesh, _MESH[0], _MESH[-1]))
    return float(opening) / beyond * 1e-6


def coarsest_mesh(opening: float) -> int | None:
    """Smallest sieve number of the table that is as fine as an opening [m], None where none is.

    >>> coarsest_mesh(100e-6), coarsest_mesh(120e-6), coarsest_mesh(1e-6)
    (150, 140, None)
    """
    for mesh, size in MESH_OPENINGS:
        if size * 1e-6 <= opening * (1 + 1e-9):
            return mesh
    return None
