"""Velocities, flushing flows and conversions against print."""

from service.units.dimensions import DIMENSIONS, System
from tests.published.pipes import pipe
from tests.published.row import Row, agrees, each
from tests.published.sources import CONTINUITY, FLUSHING_PAGE, MERKLEY_ALLEN, VELOCITY_CONSTANT
from tests.published.units import FOOT, GALLON_PER_MINUTE, INCH

FIVE_FEET_A_SECOND = [
    # id in., gpm
    (0.52, 3.309), (0.6, 4.406), (0.622, 4.735), (0.824, 8.31), (1.049, 13.47), (1.38, 23.31), (1.61, 31.72),
    (2.067, 52.29),
]  # fmt: skip


def speed(bore: float, gpm: float) -> float:
    """Velocity in a pipe. [ft/s]"""
    return gpm * GALLON_PER_MINUTE / float(pipe(length=1.0, bore=bore * INCH).area[0]) / FOOT


def flow_at(bore: float, speed: float) -> float:
    """Flow of a pipe at a velocity in ft/s. [gpm]"""
    return speed * FOOT * float(pipe(length=1.0, bore=bore * INCH).area[0]) / GALLON_PER_MINUTE


def us(dimension: str) -> float:
    """The US unit of a dimension, in SI, as the service converts it."""
    return DIMENSIONS[dimension].unit(System.US).factor


UP = "printed rounded up to a whole gallon"

ROWS = [
    Row("velocity constant of gpm and inches", 0.4085, lambda: speed(1.0, 1.0), VELOCITY_CONSTANT, "4 digits",
        abs=5e-5),
    *(
        Row(f"gpm at 5 ft/s in {bore} in.", gpm, lambda bore=bore: flow_at(bore, 5.0), CONTINUITY, "4 digits", rel=3e-4)
        for bore, gpm in FIVE_FEET_A_SECOND
    ),
    Row("gpm to flush a 5/8 in. lateral", 1.0, lambda: flow_at(0.625, 1.0), FLUSHING_PAGE, UP, abs=0.05),
    Row("gpm to flush a 7/8 in. lateral", 2.0, lambda: flow_at(0.875, 1.0), FLUSHING_PAGE, UP, abs=0.13),
    Row("gpm in 1 L/s", 15.85, lambda: 1e-3 / us("flow"), MERKLEY_ALLEN, "4 digits", rel=5e-4),
    Row("kPa in 1 psi", 6.89, lambda: us("pressure") / 1e3, MERKLEY_ALLEN, "3 digits, cut off", rel=8e-4),
    Row("ft of water in 1 psi", 2.308, lambda: us("pressure") / (1000.0 * 9.80665) / us("length"), MERKLEY_ALLEN,
        "4 digits, of water at 62.4 lb/ft³", rel=1e-3),
    Row("litres in 1 gal", 3.7854, lambda: us("volume") / 1e-3, MERKLEY_ALLEN, "5 digits", rel=2e-5),
]  # fmt: skip


@each(ROWS)
def test_velocities_and_conversions_agree_with_print(row: Row):
    agrees(row)
