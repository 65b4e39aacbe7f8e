"""Outlet laws against worked examples."""

import numpy as np

from service.hydraulics.outlets import OutletLaw, OutletLaws, Outlets
from tests.networks import NEVER
from tests.published.row import Row, agrees, each
from tests.published.sources import CAL_POLY_EXAM, EMITTER_ARITHMETIC, FAO_INVERSE, FAO_MANUAL, HAWAII_BULLETIN
from tests.published.units import GALLON_PER_HOUR, LITRE_PER_HOUR, POUND_PER_SQUARE_INCH

WEIGHT = 9789.0  # of water at 20 °C [N/m³]


def emitter_flow(*, nominal: float, at: float, exponent: float, head: float) -> float:
    """Flow of one outlet. [m³/s]"""
    law = OutletLaw(OutletLaws(*(np.array([value]) for value in (nominal, at, exponent, 0.0, NEVER))))
    return float(law.flow(np.array([head]))[0][0])


def head_for(flow: float, *, nominal: float, at: float, exponent: float) -> float:
    """Head at which an outlet gives a flow, by halving. [m]"""
    low, high = 0.0, 100.0
    for _ in range(100):
        middle = 0.5 * (low + high)
        gives = emitter_flow(nominal=nominal, at=at, exponent=exponent, head=middle)
        low, high = (middle, high) if gives < flow else (low, middle)
    return 0.5 * (low + high)


def psi(pressure: float) -> float:
    return pressure * POUND_PER_SQUARE_INCH / WEIGHT


def _exponent_between() -> float:
    """Slope in logarithms between the two points of the example."""
    low, high = (emitter_flow(nominal=4.0, at=10.0, exponent=0.42, head=head) for head in (10.0, 12.011))
    return float(np.log(high / low) / np.log(12.011 / 10.0))


SCALING = {
    0.0: [1.0, 1.0, 1.0, 1.0, 1.0],
    0.5: [0.707107, 0.866025, 1.0, 1.11803, 1.22474],
    0.7: [0.615572, 0.817604, 1.0, 1.16906, 1.3282],
    1.0: [0.5, 0.75, 1.0, 1.25, 1.5],
}

VARIATION = [(0.0, 0.0), (0.3, 0.0647516), (0.5, 0.105573), (0.7, 0.144612), (1.0, 0.2)]


def gallon_an_hour(pressure: float, exponent: float) -> float:
    """Flow of a 1 gph emitter of 20 psi. [gph]  A compensating one is held between 10 and 30 psi."""
    at = psi(10.0) if exponent == 0.0 else psi(20.0)
    flow = emitter_flow(nominal=GALLON_PER_HOUR, at=at, exponent=exponent, head=psi(pressure))
    return flow / GALLON_PER_HOUR


def variation(exponent: float) -> float:
    """1 - q(0.8 h)/q(h)."""
    at = 1.0 if exponent == 0.0 else 10.0
    most, least = (emitter_flow(nominal=1e-6, at=at, exponent=exponent, head=head) for head in (10.0, 8.0))
    return 1 - least / most


EXACT = "exact arithmetic, printed to the digits shown"

ROWS = [
    Row("head that gives 4.32 L/h, m", 12.0,
        lambda: head_for(4.32 * LITRE_PER_HOUR, nominal=4.0 * LITRE_PER_HOUR, at=10.0, exponent=0.42), FAO_MANUAL,
        "printed rounded from 12.01", rel=0.005),
    Row("exponent between the two points", 0.42, _exponent_between, FAO_INVERSE, "printed to two digits", abs=0.0005),
    Row("rise of flow from 15 to 20 psi at x = 0.55, %", 17.0,
        lambda: 100 * (emitter_flow(nominal=1.0, at=psi(15.0), exponent=0.55, head=psi(20.0)) - 1), CAL_POLY_EXAM,
        "printed to a whole percent", abs=0.5),
    *(
        Row(f"1 gph emitter at {pressure} psi, x {x}", flow, lambda x=x, p=pressure: gallon_an_hour(p, x),
            EMITTER_ARITHMETIC, EXACT, rel=1e-5)
        for x, flows in SCALING.items()
        for pressure, flow in zip((10, 15, 20, 25, 30), flows, strict=True)
    ),
    *(
        Row(f"flow variation of 20 % of head, x {x}", q, lambda x=x: variation(x), HAWAII_BULLETIN, EXACT, abs=1e-6)
        for x, q in VARIATION
    ),
]  # fmt: skip


@each(ROWS)
def test_outlet_laws_meet_worked_examples(row: Row):
    agrees(row)


def test_an_outlet_group_counts_each_of_its_outlets():
    law = OutletLaws(*(np.array([value]) for value in (1e-6, 10.0, 0.5, 0.0, NEVER)))
    outlets = Outlets(node=np.array([0]), count=np.array([3.0]), laws=law)
    assert outlets.discharge(np.array([[10.0]])).flow[0, 0] == 3e-6
    assert outlets.nominal_flow == 3e-6
