"""Velocities, flushing flows and conversions against print."""

from functools import partial

from service.hydraulics.water import Water
from service.units.dimensions import DIMENSIONS, System, from_si, labels, to_si
from tests.published.pipes import pipe
from tests.published.row import Row, agrees, each
from tests.published.sources import CONTINUITY, FLUSHING_PAGE, MERKLEY_ALLEN, UNITS_GUIDE, VELOCITY_CONSTANT
from tests.published.units import FOOT, GALLON_PER_MINUTE, INCH

FIVE_FEET_A_SECOND = [
    # id in., gpm
    (0.52, 3.309), (0.6, 4.406), (0.622, 4.735), (0.824, 8.31), (1.049, 13.47), (1.38, 23.31), (1.61, 31.72),
    (2.067, 52.29),
]  # fmt: skip


SCHEDULE_40 = [
    # id in., gpm, ft/s
    (0.622, 1, 1.05595), (0.622, 2, 2.1119), (0.622, 4, 4.2238), (0.824, 2, 1.20337), (0.824, 4, 2.40674),
    (0.824, 8, 4.81348), (1.049, 4, 1.48502), (1.049, 8, 2.97004), (1.049, 13, 4.82632), (1.38, 8, 1.71615),
    (1.38, 12, 2.57423), (1.38, 22, 4.71942), (1.61, 12, 1.89127), (1.61, 20, 3.15212), (1.61, 30, 4.72817),
    (2.067, 20, 1.91237), (2.067, 35, 3.34666), (2.067, 50, 4.78094),
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
    *(
        Row(f"velocity of {gpm} gpm in {bore} in., ft/s", velocity, lambda a=bore, b=gpm: speed(a, b), CONTINUITY,
            "worked with 0.40853 for the constant, which is 0.40850", rel=1e-4)
        for bore, gpm, velocity in SCHEDULE_40
    ),
    Row("gpm to flush a 5/8 in. lateral", 1.0, lambda: flow_at(0.625, 1.0), FLUSHING_PAGE, UP, abs=0.05),
    Row("gpm to flush a 7/8 in. lateral", 2.0, lambda: flow_at(0.875, 1.0), FLUSHING_PAGE, UP, abs=0.13),
    Row("gpm in 1 L/s", 15.85, lambda: 1e-3 / us("flow"), MERKLEY_ALLEN, "4 digits", rel=5e-4),
    Row("kPa in 1 psi", 6.89, lambda: us("pressure") / 1e3, MERKLEY_ALLEN, "3 digits, cut off", rel=8e-4),
    Row("ft of water in 1 psi", 2.308, lambda: us("pressure") / (1000.0 * 9.80665) / us("length"), MERKLEY_ALLEN,
        "4 digits, of water at 62.4 lb/ft³", rel=1e-3),
    Row("kPa of a metre of water", 9.81, lambda: Water.at(20.0).specific_weight / 1e3, MERKLEY_ALLEN,
        "3 digits, of water at 1000 kg/m³", rel=3e-3),
    Row("litres in 1 gal", 3.7854, lambda: us("volume") / 1e-3, MERKLEY_ALLEN, "5 digits", rel=2e-5),
]  # fmt: skip


def converted(value: float, dimension: str) -> float:
    """A metric reading as the service writes it for a US caller."""
    return from_si(to_si(value, dimension, System.METRIC), dimension, System.US)


DEFINITIONS = [
    *(
        Row(f"{metric:g} {labels(System.METRIC)[dimension]} of {dimension}, {labels(System.US)[dimension]}", customary,
            partial(converted, metric, dimension), UNITS_GUIDE, "exact by definition", rel=1e-12)
        for dimension, metric, customary in (
            ("length", 0.3048, 1.0), ("diameter", 25.4, 1.0), ("depth", 25.4, 1.0), ("rate", 25.4, 1.0),
            ("velocity", 0.3048, 1.0), ("area", 0.09290304, 1.0),
        )
    ),
    Row("pressure of a pound on a square inch, kPa", 6.894757,
        lambda: us("pressure") / 1e3, UNITS_GUIDE, "seven digits", rel=1e-7),
    Row("gallon, L", 3.785412, lambda: us("volume") / 1e-3, UNITS_GUIDE, "seven digits", rel=1e-7),
    Row("32 °F in °C", 0.0, lambda: to_si(32.0, "temperature", System.US), UNITS_GUIDE, "(t - 32) / 1.8", abs=1e-9),
    Row("212 °F in °C", 100.0, lambda: to_si(212.0, "temperature", System.US), UNITS_GUIDE, "(t - 32) / 1.8", abs=1e-9),
]  # fmt: skip


@each(ROWS)
def test_velocities_and_conversions_agree_with_print(row: Row):
    agrees(row)


@each(DEFINITIONS)
def test_units_are_as_they_are_defined(row: Row):
    agrees(row)
