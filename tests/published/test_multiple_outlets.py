"""The reduction factor of a pipe with many outlets, F: friction with them over friction of the full flow.

F is no formula of the service: it comes out of its solver for a lateral whose outlets all give the same flow, with the
power law of friction that the factor assumes.
"""

from collections.abc import Callable
from functools import partial
from math import sqrt

from tests.networks import Drawing
from tests.published.laterals import Lateral, constant
from tests.published.pipes import PowerLaw
from tests.published.row import Row, Way, agrees, each
from tests.published.sources import ANWAR, CHRISTIANSEN, JENSEN_FRATINI, NATIONAL_HANDBOOK_HALF, SUM_OF_POWERS

COUNTS = [1, 2, 3, 4, 5, 10, 20, 50, 100]

HANDBOOK = {
    1.75: [1.0, 0.65, 0.546, 0.498, 0.469, 0.415, 0.389, 0.374, 0.369],
    1.85: [1.0, 0.639, 0.535, 0.486, 0.457, 0.402, 0.376, 0.361, 0.356],
    1.9: [1.0, 0.634, 0.528, 0.48, 0.451, 0.396, 0.37, 0.355, 0.35],
    2.0: [1.0, 0.625, 0.518, 0.469, 0.44, 0.385, 0.359, 0.343, 0.338],
}

EXACT = {
    1.75: [1.0, 0.64865, 0.54603, 0.49753, 0.46935, 0.41508, 0.389, 0.37369, 0.36865],
    1.852: [1.0, 0.6385, 0.53422, 0.48518, 0.45675, 0.40217, 0.37602, 0.36069, 0.35565],
    1.9: [1.0, 0.63397, 0.52895, 0.47966, 0.45113, 0.39641, 0.37022, 0.35489, 0.34984],
    2.0: [1.0, 0.625, 0.51852, 0.46875, 0.44, 0.385, 0.35875, 0.3434, 0.33835],
}

EXACT_HALF = {
    1.75: [1.0, 0.53153, 0.45524, 0.42575, 0.41039, 0.38429, 0.37333, 0.36737, 0.36548],
    1.852: [1.0, 0.51801, 0.44106, 0.41163, 0.39639, 0.3707, 0.36002, 0.35424, 0.35241],
    1.9: [1.0, 0.51196, 0.43474, 0.40533, 0.39014, 0.36464, 0.35407, 0.34837, 0.34658],
    2.0: [1.0, 0.5, 0.42222, 0.39286, 0.37778, 0.35263, 0.34231, 0.33677, 0.33503],
}

HALF_HANDBOOK = [(1, 1.0), (2, 0.512), (3, 0.434), (4, 0.405), (5, 0.39), (10, 0.365)]  # at m = 1.9

WITH_OUTFLOW = [
    # N, outflow at the far end over the flow of all outlets, G at m = 1.852
    (2, 0, 0.6385), (2, 0.25, 0.69414), (2, 0.5, 0.73597), (2, 1.0, 0.79348), (5, 0, 0.45675), (5, 0.25, 0.53245),
    (5, 0.5, 0.59246), (5, 1.0, 0.67781), (10, 0, 0.40217), (10, 0.25, 0.48222), (10, 0.5, 0.54712), (10, 1.0, 0.64063),
    (20, 0, 0.37602), (20, 0.25, 0.4578), (20, 0.5, 0.52492), (20, 1.0, 0.6223), (50, 0, 0.36069), (50, 0.25, 0.44337),
    (50, 0.5, 0.51175), (50, 1.0, 0.61138),
]  # fmt: skip

FLOW = 1e-6  # of one outlet, 3.6 L/h

GRADIENT = 0.1  # of the full flow [-]; the factor does not depend on it


def factor(exponent: float, outlets: int, *, first: float = 1.0, outflow: float = 0.0) -> float:
    """F or G of the service's solution, first outlet a part of the spacing from the inlet."""

    beyond = outflow * outlets * FLOW
    full_flow = outlets * FLOW + beyond

    def law(drawing: Drawing) -> PowerLaw:
        return PowerLaw(GRADIENT * drawing.length / full_flow**exponent, exponent)

    lateral = Lateral(
        inlet_head=50.0,
        outlets=outlets,
        spacing=0.5,
        first=0.5 * first,
        kind=constant(FLOW),
        bore=0.016,
        law=law,
        at_end=constant(beyond) if beyond else None,
    )
    solution = lateral.solve()
    lost = 50.0 - float(solution.head[0, outlets - 1])
    return lost / (GRADIENT * float(lateral.lengths.sum()))


PRINTED = "three digits printed; the handbook's formula is within 0.001 of the exact sum"


def christiansen(exponent: float, outlets: int) -> float:
    """F = 1/(m + 1) + 1/2N + √(m - 1)/6N², the formula of the handbook for more than one outlet."""
    return 1 / (exponent + 1) + 1 / (2 * outlets) + sqrt(exponent - 1) / (6 * outlets**2)


def from_half(exponent: float, outlets: int) -> float:
    """(2 N F - 1) / (2 N - 1), for a first outlet at half a spacing."""
    return (2 * outlets * christiansen(exponent, outlets) - 1) / (2 * outlets - 1)


def by_formula(formula: Callable[[float, int], float], exponent: float, outlets: int) -> Way | None:
    """The handbook's way to its number; one outlet needs none."""
    return Way("by the handbook's formula", partial(formula, exponent, outlets), abs=1.1e-3) if outlets > 1 else None


FIVE = "five digits computed"

ROWS = [
    *(
        Row(f"F of {n} outlets, m {m}", f, lambda m=m, n=n: factor(m, n), CHRISTIANSEN, PRINTED, abs=0.0015,
            way=by_formula(christiansen, m, n))
        for m, factors in HANDBOOK.items()
        for n, f in zip(COUNTS, factors, strict=True)
    ),
    *(
        Row(f"exact F of {n} outlets, m {m}", f, lambda m=m, n=n: factor(m, n), SUM_OF_POWERS, FIVE, abs=6e-6)
        for m, factors in EXACT.items()
        for n, f in zip(COUNTS, factors, strict=True)
    ),
    *(
        Row(f"exact F of {n} outlets, first at half, m {m}", f, lambda m=m, n=n: factor(m, n, first=0.5),
            JENSEN_FRATINI, FIVE, abs=6e-6)
        for m, factors in EXACT_HALF.items()
        for n, f in zip(COUNTS, factors, strict=True)
    ),
    *(
        Row(f"F of {n} outlets, first at half, m 1.9", f, lambda n=n: factor(1.9, n, first=0.5), NATIONAL_HANDBOOK_HALF,
            PRINTED, abs=0.0015, way=by_formula(from_half, 1.9, n))
        for n, f in HALF_HANDBOOK
    ),
    *(
        Row(f"G of {n} outlets, {r} going on", g, lambda n=n, r=r: factor(1.852, n, outflow=r), ANWAR, FIVE, abs=6e-6)
        for n, r, g in WITH_OUTFLOW
    ),
]  # fmt: skip


@each(ROWS)
def test_reduction_factor_comes_out_of_the_solver(row: Row):
    agrees(row)
