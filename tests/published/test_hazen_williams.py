"""Hazen-Williams losses against print, and against the other constants in circulation."""

from functools import partial
from math import log2
from typing import Any

import numpy as np
import pytest

from tests.published.pipes import hazen_williams
from tests.published.row import Row, Way, agrees, each
from tests.published.sources import (
    KELLER_BLIESNER,
    PE_HANDBOOK,
    PVC_FLOW_DERIVED,
    PVC_FLOW_SHEET,
    REFERENCE_PAGE,
    UNIT_HEADLOSS,
)
from tests.published.units import FOOT, GALLON_PER_MINUTE, INCH, LITRE_PER_SECOND, MILLIMETRE

CONSTANTS = (
    "rounded constants in circulation differ by up to 0.8 %, rounded exponents of the bore by 0.5 % more at 2 in."
)

SCHEDULE_40 = [
    # id in., gpm, ft per 100 ft at C 150
    (0.622, 1, 0.990561), (0.622, 2, 3.57593), (0.622, 4, 12.9091), (0.824, 2, 0.91019), (0.824, 4, 3.28579),
    (0.824, 8, 11.8617), (1.049, 4, 1.01508), (1.049, 8, 3.66444), (1.049, 13, 9.00551), (1.38, 8, 0.96496),
    (1.38, 12, 2.0447), (1.38, 22, 6.2828), (1.61, 12, 0.96583), (1.61, 20, 2.48751), (1.61, 30, 5.27091),
    (2.067, 20, 0.737542), (2.067, 35, 2.07919), (2.067, 50, 4.02505),
]  # fmt: skip

TUBING = [
    # id in., gpm, ft per 100 ft at C 140, 130 and 150
    (0.52, 0.5, 0.745312, 0.854957, 0.655913), (0.52, 1, 2.69058, 3.0864, 2.36785),
    (0.52, 2, 9.713, 11.1419, 8.54794), (0.52, 4, 35.064, 40.2223, 30.8581),
    (0.6, 0.5, 0.371499, 0.426151, 0.326938), (0.6, 1, 1.34111, 1.53841, 1.18025),
    (0.6, 2, 4.84142, 5.55365, 4.2607), (0.6, 4, 17.4775, 20.0487, 15.3811),
    (0.62, 0.5, 0.316717, 0.36331, 0.278727), (0.62, 1, 1.14335, 1.31155, 1.00621),
    (0.62, 2, 4.12749, 4.73469, 3.6324), (0.62, 4, 14.9002, 17.0923, 13.113),
    (0.7, 0.5, 0.17548, 0.201296, 0.154432), (0.7, 1, 0.633484, 0.726677, 0.557499),
    (0.7, 2, 2.28688, 2.62331, 2.01257), (0.7, 4, 8.25564, 9.47015, 7.26539),
    (0.82, 0.5, 0.0812627, 0.0932175, 0.0715154), (0.82, 1, 0.293359, 0.336515, 0.258171),
    (0.82, 2, 1.05903, 1.21482, 0.931997), (0.82, 4, 3.82308, 4.38551, 3.36451),
]  # fmt: skip


def ours(bore: float, gpm: float, smoothness: float, length: float = 100.0) -> float:
    """Service's loss in a length in ft. [ft]"""
    loss = hazen_williams(length=length * FOOT, bore=bore * INCH, smoothness=smoothness, flow=gpm * GALLON_PER_MINUTE)
    return loss / FOOT


def by_the_sheet(bore: float, gpm: float, smoothness: float, length: float = 100.0) -> float:
    """0.2083 (100/C)^1.852 gpm^1.852 / in.^4.8655, the formula of the flow sheet. [ft]"""
    return length / 100 * 0.2083 * (100 / smoothness * gpm) ** 1.852 / bore**4.8655


def sheet(*of_what: float, rel: float, digits: float = 5e-6) -> dict[str, Any]:
    """How far a row lies from the sheet's formula, and that formula, which gives the number to its last digit."""
    return {"rel": rel, "way": Way("by the sheet's own formula", partial(by_the_sheet, *of_what), rel=digits)}


def constant_us() -> float:
    """K of ft/100 ft = K (gpm/C)^1.852 / in.^4.87, from the service's loss in one-inch pipe."""
    return ours(1.0, 100.0, 100.0)


def constant_metric() -> float:
    """K of m/100 m = K (L/s/C)^1.852 / mm^4.87, from the service's loss in 25 mm pipe."""
    loss = hazen_williams(length=100.0, bore=25 * MILLIMETRE, smoothness=100.0, flow=LITRE_PER_SECOND)
    return loss * 100**1.852 * 25**4.87


def constant_si() -> float:
    """K of m = K L (m³/s/C)^1.852 / m^4.87, from the service's loss of 1 m³/s in pipe of 1 m."""
    return hazen_williams(length=1.0, bore=1.0, smoothness=100.0, flow=1.0) * 100**1.852


def constant_network() -> float:
    """K of ft = K L (ft³/s/C)^1.852 / ft^4.871, from the service's loss of 1 ft³/s in pipe of 1 ft."""
    return hazen_williams(length=FOOT, bore=FOOT, smoothness=100.0, flow=FOOT**3) / FOOT * 100**1.852


def power(of: str) -> float:
    """Exponent of the flow or the bore, from the service's losses of one and of twice as much. [-]"""
    once = {"length": 10.0, "bore": 0.025, "smoothness": 140.0, "flow": 1e-3}
    return log2(hazen_williams(**{**once, of: 2 * once[of]}) / hazen_williams(**once))


ROWS = [
    Row("K in SI, handbook", 10.67, constant_si, KELLER_BLIESNER, "four digits printed", rel=5e-4),
    Row("power of the flow, handbook", 1.852, lambda: power("flow"), KELLER_BLIESNER, "four digits", abs=5e-4),
    Row("power of the bore, handbook", -4.87, lambda: power("bore"), KELLER_BLIESNER, "three digits", abs=5e-3),
    Row("K in L/s and mm, handbook", 1.21e12, constant_metric, KELLER_BLIESNER, "three digits printed", rel=4.2e-3),
    Row("K in ft³/s and ft, network form", 4.727, constant_network, KELLER_BLIESNER,
        "four digits printed, for a bore to the power 4.871 instead of 4.8704", rel=5e-4),
    Row("K in gpm and inches, handbook", 1050.0, constant_us, KELLER_BLIESNER,
        "three digits printed, and all that a rounded exponent of the bore is worth in so small units", rel=6e-3),
    Row("K in gpm and inches", 0.2083 * 100**1.852, constant_us, PVC_FLOW_SHEET.worked_out(), CONSTANTS, rel=0.009),
    Row("1000 ft of 16 in. at 2700 gpm, C 130", 4.0, lambda: ours(16.0, 2700.0, 130.0, 1000.0), UNIT_HEADLOSS,
        "one digit printed (4 ft/1000 ft); ours lies 2.2 % below the US form, which gives 4.02", rel=0.02,
        way=Way("by the US form", lambda: by_the_sheet(16.0, 2700.0, 130.0, 1000.0), abs=0.05)),
    Row("30 ft of 3.048 in. at 200 gpm, C 140, ft", 2.7, lambda: ours(3.048, 200.0, 140.0, 30.0), REFERENCE_PAGE,
        "of a whole 9 ft/100 ft; " + CONSTANTS, rel=0.02,
        way=Way("by the US form", lambda: by_the_sheet(3.048, 200.0, 140.0, 30.0), abs=0.15)),
    Row(
        "psi per ft of 1 in. at 10 gpm, C 150",
        4.52 * 10**1.85 / (150**1.85 * 1.049**4.87),
        lambda: ours(1.049, 10.0, 150.0, 1.0) * 0.4335,
        PE_HANDBOOK.worked_out(),
        "exponents rounded to 1.85 and 4.87",
        rel=0.004,
    ),
    *(
        Row(f"{bore} in. at {gpm} gpm, C 150", printed, lambda a=bore, b=gpm: ours(a, b, 150.0), PVC_FLOW_DERIVED,
            CONSTANTS, **sheet(bore, gpm, 150.0, rel=0.0125))
        for bore, gpm, printed in SCHEDULE_40
    ),
    *(
        Row(f"{bore} in. tubing at {gpm} gpm, C {c}", loss, lambda a=bore, b=gpm, c=c: ours(a, b, c), PVC_FLOW_DERIVED,
            CONSTANTS, **sheet(bore, gpm, c, rel=0.008))
        for bore, gpm, *losses in TUBING
        for c, loss in zip((140, 130, 150), losses, strict=True)
    ),
]  # fmt: skip


@each(ROWS)
def test_hazen_williams_agrees_with_its_other_forms(row: Row):
    agrees(row)


@pytest.mark.parametrize("smoothness", [100.0, 130.0, 150.0])
@pytest.mark.parametrize("bore", [0.004, 0.0157, 0.05])
@pytest.mark.parametrize("flow", [1e-7, 1e-5, 1e-3])
def test_hazen_williams_is_its_si_form_over_all_sizes(bore, smoothness, flow):
    """By hand: h = 10.67 L Q^1.852 / (C^1.852 D^4.8704)."""
    by_hand = 10.67 * 10.0 * flow**1.852 / (smoothness**1.852 * bore**4.8704)
    assert hazen_williams(length=10.0, bore=bore, smoothness=smoothness, flow=flow) == pytest.approx(by_hand, rel=1e-12)


def test_a_wrong_choice_of_c_is_worth_fifteen_percent():
    """What the table of tubing shows: C 130 loses 14.7 % more than C 140 at any flow."""
    assert ours(0.62, 1.0, 130.0) / ours(0.62, 1.0, 140.0) == pytest.approx((140 / 130) ** 1.852, rel=1e-12)
    assert np.isclose(ours(0.62, 1.0, 130.0) / ours(0.62, 1.0, 140.0), 1.147, atol=5e-4)
