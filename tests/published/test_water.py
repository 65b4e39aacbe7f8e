"""Water against published tables and against two independent implementations of the IAPWS formulations."""

import chemicals
import numpy as np
import pytest
from iapws import IAPWS95
from iapws._iapws import _Viscosity

from service.hydraulics.water import Water, density, dynamic_viscosity
from tests.published.row import Row, agrees, each
from tests.published.sources import (
    IAPWS_DERIVED,
    IAPWS_VISCOSITY,
    IRRIGATION_COURSE,
    TREATMENT_TABLE,
    US_WATER_TABLE,
    WATER_TABLE,
)
from tests.published.units import FOOT, POUND_PER_SQUARE_INCH

SATURATED = [
    # °C   kg/m³   mPa s
    (0, 999.79, 1.7912),
    (10, 999.65, 1.3056),
    (20, 998.16, 1.0014),
    (30, 995.60, 0.79719),
    (40, 992.17, 0.65285),
    (50, 987.99, 0.54674),
]

AT_ONE_ATMOSPHERE = [
    # °C  kg/m³    Pa s
    (5, 999.967, 0.0015182),
    (10, 999.703, 0.0013059),
    (15, 999.103, 0.0011376),
    (20, 998.207, 0.0010016),
    (25, 997.048, 0.00089002),
    (30, 995.650, 0.00079722),
    (40, 992.216, 0.00065273),
]

IN_SQUARE_METRES = [
    (5, 1.5182e-6), (10, 1.3063e-6), (15, 1.1386e-6), (20, 1.0034e-6), (25, 8.9266e-7), (30, 8.0071e-7),
    (40, 6.5785e-7),
]  # fmt: skip
"""°C, m²/s at one atmosphere"""

TREATMENT = [
    # °C  kN/m³  kg/m³  mPa s
    (5, 9.807, 1000.0, 1.518),
    (10, 9.804, 999.7, 1.307),
    (15, 9.798, 999.1, 1.139),
    (20, 9.789, 998.2, 1.002),
    (25, 9.777, 997.0, 0.890),
    (30, 9.764, 995.7, 0.798),
    (40, 9.730, 992.2, 0.653),
]

KINEMATIC = [(40, 1.664e-5), (50, 1.407e-5), (60, 1.210e-5), (70, 1.052e-5), (80, 0.926e-5)]  # °F, ft²/s

SATURATION = "the table is at saturation, 5e-5 lighter than at one atmosphere; five digits printed"
CORRELATION = "the correlation of Kestin and others stays within 0.1 % of IAPWS up to 50 °C, the table within 0.03 %"
THREE_DIGITS = "three digits printed; older viscosity data differ from IAPWS by up to 0.7 %"

ROWS = [
    *(
        Row(f"density at {t} °C, saturated", rho, lambda t=t: density(t), WATER_TABLE, SATURATION, rel=1e-4)
        for t, rho, _ in SATURATED
    ),
    *(
        Row(
            f"viscosity at {t} °C, mPa s",
            mu,
            lambda t=t: dynamic_viscosity(t) / 1e-3,
            WATER_TABLE,
            CORRELATION,
            rel=1.3e-3,
        )
        for t, _, mu in SATURATED
    ),
    *(
        Row(
            f"weight of water of {t} °C, kN/m³",
            gamma,
            lambda t=t: Water.at(t).specific_weight / 1e3,
            TREATMENT_TABLE,
            "four digits printed",
            abs=1.1e-3,
        )
        for t, gamma, _, _ in TREATMENT
    ),
    *(
        Row(
            f"density of water of {t} °C, kg/m³",
            rho,
            lambda t=t: density(t),
            TREATMENT_TABLE,
            "one decimal printed",
            abs=0.06,
        )
        for t, _, rho, _ in TREATMENT
    ),
    *(
        Row(
            f"viscosity of water of {t} °C, mPa s",
            mu,
            lambda t=t: dynamic_viscosity(t) / 1e-3,
            TREATMENT_TABLE,
            CORRELATION,
            rel=1.5e-3,
        )
        for t, _, _, mu in TREATMENT
    ),
    *(
        Row(f"density at {t} °C, 1 atm", rho, lambda t=t: density(t), IAPWS_DERIVED, "six digits", rel=5e-6)
        for t, rho, _ in AT_ONE_ATMOSPHERE
    ),
    *(
        Row(f"viscosity at {t} °C, 1 atm", mu, lambda t=t: dynamic_viscosity(t), IAPWS_DERIVED, CORRELATION, rel=1e-3)
        for t, _, mu in AT_ONE_ATMOSPHERE
    ),
    *(
        Row(
            f"kinematic viscosity at {t} °C, m²/s",
            nu,
            lambda t=t: Water.at(t).kinematic_viscosity,
            IAPWS_DERIVED,
            CORRELATION,
            rel=1e-3,
        )
        for t, nu in IN_SQUARE_METRES
    ),
    *(
        Row(
            f"kinematic viscosity at {t} °F, ft²/s",
            nu,
            lambda t=t: Water.at((t - 32) / 1.8).kinematic_viscosity / FOOT**2,
            US_WATER_TABLE,
            THREE_DIGITS,
            rel=0.007,
        )
        for t, nu in KINEMATIC
    ),
    Row(
        "pressure of a foot of water",
        0.433,
        lambda: Water.at(20.0).specific_weight * FOOT / POUND_PER_SQUARE_INCH,
        IRRIGATION_COURSE,
        "printed to three digits, for 62.4 lb/ft³, which is 0.1 % more than at 20 °C",
        rel=0.0015,
    ),
    Row(
        "feet of water in one psi",
        2.31,
        lambda: POUND_PER_SQUARE_INCH / FOOT / Water.at(20.0).specific_weight,
        IRRIGATION_COURSE,
        "printed to three digits, for 62.4 lb/ft³, which is 0.1 % more than at 20 °C",
        rel=0.0015,
    ),
]


@each(ROWS)
def test_water_agrees_with_tables(row: Row):
    agrees(row)


RELEASE_POINTS = [(298.15, 998.0, 889.735100), (298.15, 1200.0, 1437.649467), (373.15, 1000.0, 307.883622)]  # µPa s


@pytest.mark.parametrize(("kelvin", "rho", "expected"), RELEASE_POINTS)
def test_the_second_opinions_meet_the_verification_points_of_the_release(kelvin, rho, expected):
    assert chemicals.viscosity.mu_IAPWS(kelvin, rho) == pytest.approx(expected * 1e-6, rel=1e-8), IAPWS_VISCOSITY
    assert _Viscosity(rho, kelvin) == pytest.approx(expected * 1e-6, rel=1e-8), IAPWS_VISCOSITY


@pytest.mark.parametrize("celsius", np.linspace(0.0, 60.0, 25).tolist())
def test_water_agrees_with_independent_libraries(celsius):
    steam = IAPWS95(T=celsius + 273.15, P=0.101325)
    viscosity = chemicals.viscosity.mu_IAPWS(celsius + 273.15, steam.rho)
    assert density(celsius) == pytest.approx(steam.rho, rel=1e-5)
    assert dynamic_viscosity(celsius) == pytest.approx(viscosity, rel=1e-3 if celsius <= 50.0 else 2.5e-3)
    assert dynamic_viscosity(celsius) == pytest.approx(steam.mu, rel=1e-3 if celsius <= 50.0 else 2.5e-3)


def test_kinematic_viscosity_and_weight_follow_from_density():
    water = Water.at(15.0)
    assert water.kinematic_viscosity * water.density == pytest.approx(dynamic_viscosity(15.0), rel=1e-14)
    assert water.specific_weight == pytest.approx(water.density * 9.80665, rel=1e-14)
    assert (water.temperature, water.density) == (15.0, density(15.0))
