"""Losses in small smooth tubing against the power laws that drip handbooks use instead of Darcy-Weisbach."""

from collections.abc import Callable
from functools import partial

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.published.pipes import darcy_weisbach
from tests.published.row import Row, Way, agrees, each
from tests.published.sources import WATTERS_KELLER, WATTERS_KELLER_DERIVED
from tests.published.units import GALLON_PER_MINUTE, INCH, LITRE_PER_SECOND, MILLIMETRE

VISCOSITY = 1.0034e-6
"""Water at 20 °C. [m²/s] IAPWS R12-08 and IAPWS-95."""

TUBING = [
    # id in., gpm, ft per 100 ft
    (0.52, 1.0, 2.97054), (0.52, 2.0, 9.99167), (0.6, 1.0, 1.50534), (0.6, 2.0, 5.06332), (0.62, 1.0, 1.28822),
    (0.62, 2.0, 4.33305), (0.7, 1.0, 0.723829), (0.7, 2.0, 2.43466),
]  # fmt: skip

TOO_SLOW = [(0.52, 0.5, 0.883148), (0.6, 0.5, 0.447539), (0.62, 0.5, 0.382991), (0.7, 0.5, 0.215196)]
"""Re 2250 to 3030, where the law is printed too, though the flow is no longer turbulent."""

BLASIUS = (
    "f = 0.32/Re^0.25 is 1 % above Blasius' own 0.3164, and Churchill's smooth pipe up to 3 % below that at Re 1e4"
)


def ours(bore: float, flow: float) -> float:
    """Service's loss in 100 of any length. [the same length]"""
    return darcy_weisbach(length=100.0, bore=bore, roughness=0.0, viscosity=VISCOSITY, flow=flow)


def power_law(bore: float, gpm: float) -> float:
    """J = 0.133 Q^1.75 / D^4.75. [ft/100 ft]"""
    return 0.133 * gpm**1.75 / bore**4.75


def of_blasius(bore: float, flow: float) -> float:
    """Loss in 100 of any length with f = 0.32/Re^0.25, by hand, in water of 20 °C as handbooks of the time have it."""
    velocity = flow / (np.pi / 4 * bore**2)
    return 0.32 / (velocity * bore / 1.007e-6) ** 0.25 * 100.0 / bore * velocity**2 / (2 * 9.80665)


def metric(loss: Callable[[float, float], float]) -> float:
    """K of 100 J = K (L/s)^1.75 / mm^4.75, from 0.1 L/s in 16 mm."""
    return loss(16 * MILLIMETRE, 0.1 * LITRE_PER_SECOND) * 16**4.75 / 0.1**1.75


def customary(loss: Callable[[float, float], float]) -> float:
    """K of 100 J = K gpm^1.75 / in.^4.75, from 1.5 gpm in 0.62 in."""
    return loss(0.62 * INCH, 1.5 * GALLON_PER_MINUTE) * 0.62**4.75 / 1.5**1.75


ROWS = [
    Row("K in L/s and mm, at 0.1 L/s in 16 mm", 7.89e7,
        partial(metric, ours), WATTERS_KELLER, BLASIUS, rel=0.03,
        way=Way("with f = 0.32/Re^0.25", partial(metric, of_blasius), rel=6.4e-4)),
    Row("K in gpm and inches, at 1.5 gpm in 0.62 in.", 0.133,
        partial(customary, ours), WATTERS_KELLER, BLASIUS, rel=0.03,
        way=Way("with f = 0.32/Re^0.25", partial(customary, of_blasius), rel=3.8e-3)),
    Row("K in L/s and mm, another constant in circulation", 7.83e7,
        partial(metric, ours), WATTERS_KELLER, BLASIUS, rel=0.03,
        way=Way("with f = 0.32/Re^0.25, in water a degree or two warmer", partial(metric, of_blasius), rel=8e-3)),
    *(
        Row(f"{bore} in. tubing at {gpm} gpm, ft", loss, lambda a=bore, b=gpm: ours(a * INCH, b * GALLON_PER_MINUTE),
            WATTERS_KELLER_DERIVED, BLASIUS, rel=0.04,
            way=Way("by the handbook's law", partial(power_law, bore, gpm), rel=1e-5))
        for bore, gpm, loss in TUBING
    ),
]  # fmt: skip

TRANSITION = [
    Row(f"{bore} in. tubing at {gpm} gpm, leaving laminar flow, ft", loss,
        lambda a=bore, b=gpm: ours(a * INCH, b * GALLON_PER_MINUTE), WATTERS_KELLER_DERIVED,
        "the handbook's law is one of turbulent flow and asks for up to half as much again at Re 2250 to 3030",
        rel=0.36, way=Way("by the handbook's law", partial(power_law, bore, gpm), rel=1e-5))
    for bore, gpm, loss in TOO_SLOW
]  # fmt: skip


@each(ROWS)
def test_tubing_agrees_with_the_handbook_power_law(row: Row):
    agrees(row)


@each(TRANSITION)
def test_in_transition_the_model_lies_between_laminar_flow_and_the_handbook(row: Row):
    agrees(row)
    assert row.compute() < row.expected


@pytest.mark.parametrize(("bore", "gpm", "printed"), TOO_SLOW)
def test_no_flow_in_transition_loses_less_than_laminar_flow(bore, gpm, printed):
    diameter, flow = bore * INCH, gpm * GALLON_PER_MINUTE
    laminar = 100.0 * 128 * VISCOSITY * flow / (np.pi * 9.80665 * diameter**4)
    assert laminar < ours(diameter, flow) < printed


@given(
    reynolds=st.floats(1.0, 1500.0).filter(lambda reynolds: abs(reynolds - 1188.0) > 5.0), bore=st.floats(0.002, 0.02)
)
def test_blasius_asks_for_too_little_where_a_lateral_ends(reynolds, bore):
    """By hand: 64/Re passes 0.3164/Re^0.25 at Re 1188; below it laminar flow, and so the model, loses more."""
    flow = reynolds * VISCOSITY * np.pi / 4 * bore
    velocity = flow / (np.pi / 4 * bore**2)
    blasius = 0.3164 / reynolds**0.25 * 100.0 / bore * velocity**2 / (2 * 9.80665)
    assert (ours(bore, flow) > blasius) == (reynolds < 1188.0)
