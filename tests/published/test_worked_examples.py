"""Worked examples of textbooks, courses and examinations: the whole question put to the service."""

import fluids
import numpy as np
from scipy.optimize import brentq

from service.hydraulics.friction import friction_law
from service.hydraulics.solve import FixedHead, solve
from service.hydraulics.supply import FlowTestDrop
from service.hydraulics.water import Water
from service.parts.loss import Loss
from tests.networks import Sketch
from tests.published.laterals import constant
from tests.published.pipes import PowerLaw, by_colebrook, darcy_weisbach, hazen_williams, loss, pipe
from tests.published.row import Row, Way, agrees, each
from tests.published.test_friction_factor import factor
from tests.published.units import FOOT, GALLON, GALLON_PER_MINUTE, INCH, POUND, POUND_PER_SQUARE_INCH
from tests.published.worked_sources import (
    CITRUS_HYDRAULICS,
    CRANE_PLASTIC,
    CRANE_PUMPING,
    FLOW_TEST,
    IN_SERIES,
    LAMINAR_EXAM,
    LOOPED_NETWORK,
    MAURER,
    OIL_LINES,
    PARALLEL_EXAM,
    PUMPED_NETWORK,
    SPRINKLER_SUPPLY,
    VALVE_EXAMPLE,
    VALVE_TABLE,
)

CHART = "printed to three digits, read off a chart or computed with another approximation of Colebrook's formula"
CHURCHILL = "the source uses Colebrook's factor, the service Churchill's, which is within 3.1 % of it above Re 4000"
COLEBROOK = "with Colebrook's factor"


def pumping_head() -> float:
    """100 gpm of water at 70 °F through 500 ft of 3 in. steel, four elbows, two valves and an exit, 400 ft up. [ft]"""
    bore, flow = 3.068 * INCH, 100 * GALLON_PER_MINUTE
    viscosity = 0.95e-3 / (62.298 * POUND / FOOT**3)
    local = 1.0 + fluids.K_gate_valve_Crane(bore, bore, 0.0) + 4 * 30 * fluids.ft_Crane(bore)
    local += fluids.K_lift_check_valve_Crane(2.469 * INCH, bore, angled=False)
    pipes = pipe(length=500 * FOOT, bore=bore, roughness=0.0022 * INCH, local=local)
    return 400 + loss(friction_law(pipes, law="darcy_weisbach", viscosity=viscosity), flow) / FOOT


OIL = {"length": 500.0, "bore": 0.2, "roughness": 0.26e-3, "viscosity": 1e-5, "flow": 0.2}
"""SI."""

US_OIL = {
    "length": 1600 * FOOT,
    "bore": 8 * INCH,
    "roughness": 8.5e-4 * FOOT,
    "viscosity": 1.15e-4 * FOOT**2,
    "flow": 1500 * GALLON_PER_MINUTE,
}

MAIN = {
    "length": 10_560 * FOOT,
    "bore": 20 * INCH,
    "roughness": 0.0005 * FOOT,
    "viscosity": 4 * FOOT**3 / (np.pi / 4 * 20 * INCH * 248_625),
    "flow": 4 * FOOT**3,
}
"""4 ft³/s at the Reynolds number that is printed: the source's water of 60 °F is 1.7 % stiffer than that of IAPWS."""


def laminar() -> float:
    """0.01 m³/s in a kilometre of 100 mm at Re 800: the viscosity is the one that makes this Reynolds number. [m]"""
    flow, bore = 0.01, 0.1
    return darcy_weisbach(length=1000.0, bore=bore, roughness=0.0, viscosity=flow / (np.pi / 4 * bore * 800), flow=flow)


def in_parallel() -> float:
    """Bore of the one pipe that does what three do, over theirs, all losing by one friction factor. [-]"""

    def lost(pipes: int) -> float:
        sketch = Sketch()
        end = sketch.junction()
        for _ in range(pipes):
            sketch.chain(0, end, length=[50.0, 50.0], bore=0.05)
        sketch.outlet(constant(1e-3), at=end)
        drawing = sketch.drawing()
        law = PowerLaw(1e4 * drawing.length, 2.0)
        return 50.0 - float(solve(drawing.network(friction=law), FixedHead(np.array([50.0]))).head[0, -1])

    return (lost(1) / lost(3)) ** 0.2


def carried() -> float:
    """Flow of 500 mm, roughness 0.046 mm, at a slope of 0.006, water of 20 °C. [m³/s]"""
    viscosity = Water.at(20.0).kinematic_viscosity

    def short(flow: float) -> float:
        return darcy_weisbach(length=10.0, bore=0.5, roughness=4.6e-5, viscosity=viscosity, flow=flow) - 0.06

    return brentq(short, 0.01, 2.0)


def rated_capacity(static: float, residual: float, flow: float) -> float:
    """Flow at 20 psi of a main that stands at a pressure and keeps another at a flow; psi and gpm. [gpm]"""
    drop = FlowTestDrop(flow=flow * GALLON_PER_MINUTE, drop=(static - residual) * POUND_PER_SQUARE_INCH)
    return brentq(lambda gpm: (static - 20) * POUND_PER_SQUARE_INCH - drop.at(gpm * GALLON_PER_MINUTE), 1.0, 1e4)


def cast_iron(flow: float, length: float, bore: float, relative: float) -> float:
    """Loss in water of 1e-6 m²/s, which is what the source's Reynolds numbers are of. [m]"""
    return darcy_weisbach(length=length, bore=bore, roughness=relative * bore, viscosity=1e-6, flow=flow)


IRON_PIPES = [
    # m³/s, m, m, relative roughness, m
    (0.20, 300.0, 0.30, 0.00087, 7.95), (0.10, 250.0, 0.25, 0.00104, 4.34), (0.08, 350.0, 0.20, 0.00130, 12.47),
    (0.12, 125.0, 0.20, 0.00130, 9.94), (0.07, 350.0, 0.20, 0.00130, 9.58), (0.03, 125.0, 0.20, 0.00130, 0.65),
    (0.10, 300.0, 0.20, 0.00130, 16.62), (0.05, 125.0, 0.15, 0.00173, 7.87), (0.05, 350.0, 0.20, 0.00130, 4.94),
    (0.10, 125.0, 0.15, 0.00173, 31.11),
]  # fmt: skip


def in_series() -> float:
    """0.5 m³/s through 300 m of 0.6 m and 300 m of 0.4 m of new cast iron, between reservoirs. [m]"""
    wide = pipe(length=300.0, bore=0.6, roughness=2.6e-4, local=0.5)
    narrow = pipe(length=300.0, bore=0.4, roughness=2.6e-4, local=0.24 + 1.0)
    return sum(loss(friction_law(part, law="darcy_weisbach", viscosity=1.31e-6), 0.5) for part in (wide, narrow))


def valve_loss(cv: float, gpm: float) -> float:
    """[psi]"""
    return Loss(cv=cv).resistance * (gpm * GALLON_PER_MINUTE) ** 2 / POUND_PER_SQUARE_INCH


VALVES = [
    # Cv, psi at 10 gpm
    (1, 100.0), (1.5, 44.444), (2, 25.0), (2.5, 16.0), (3, 11.111), (4, 6.25), (5, 4.0), (7.5, 1.778), (10, 1.0),
    (12, 0.694), (15, 0.444), (20, 0.25), (25, 0.16), (30, 0.111), (40, 0.063), (50, 0.04), (60, 0.028), (75, 0.018),
    (100, 0.01),
]  # fmt: skip

ROWS = [
    Row("f in plastic pipe at Re 100 600", 0.0179, lambda: factor(100_600, 0.0), CRANE_PLASTIC, CHART, rel=0.01),
    Row("head of a pump for 100 gpm, ft", 421.0, pumping_head, CRANE_PUMPING,
        "printed to a whole foot; the fittings are the source's own", abs=1.0),
    Row("0.2 m³/s of oil in 500 m of 200 mm, m", 117.0, lambda: darcy_weisbach(**OIL), OIL_LINES, CHURCHILL, rel=0.012,
        way=Way(COLEBROOK, lambda: by_colebrook(**OIL), rel=0.005)),
    Row("1500 gpm of oil in 1600 ft of 8 in., ft", 83.7, lambda: darcy_weisbach(**US_OIL) / FOOT, OIL_LINES, CHURCHILL,
        rel=0.015, way=Way(COLEBROOK, lambda: by_colebrook(**US_OIL) / FOOT, rel=0.005)),
    Row("laminar loss in a kilometre of 100 mm, m", 66.1, laminar, LAMINAR_EXAM,
        "the solution rounds 12.1 for π² g / 8", rel=0.002),
    Row("bore of one pipe for three in parallel", 1.55, in_parallel, PARALLEL_EXAM, "three digits", abs=0.005),
    Row("fall between reservoirs of two pipes in series, m", 13.337, in_series, IN_SERIES,
        "friction factors read off a diagram", rel=0.01),
    Row("f of 4 ft³/s in 20 in.", 0.0173, lambda: factor(248_625, 0.0005 / (20 / 12)), MAURER, CHURCHILL, rel=0.01),
    Row("4 ft³/s in 10 560 ft of 20 in., ft", 5.72, lambda: darcy_weisbach(**MAIN) / FOOT, MAURER, CHURCHILL, rel=0.01,
        way=Way(COLEBROOK, lambda: by_colebrook(**MAIN) / FOOT, rel=0.001)),
    Row("flow of 500 mm at a slope of 0.006, m³/s", 0.41, carried, MAURER, "two digits", abs=0.005),
    Row("600 gpm in 1800 ft of 8 in., C 120, ft", 15.0,
        lambda: hazen_williams(length=1800, bore=8 * INCH, smoothness=120.0, flow=600 * GALLON_PER_MINUTE),
        PUMPED_NETWORK, "'most nearly 15'", abs=0.5),
    Row("flow of a main at 20 psi, gpm", 800 * 3**0.54, lambda: rated_capacity(65, 50, 800), FLOW_TEST,
        "0.54 is 1/1.852 rounded", rel=2e-3),
    Row("flow at 20 psi of a main of 90 psi, gpm", 1780.0, lambda: rated_capacity(90, 65, 1000), SPRINKLER_SUPPLY,
        "read off a graph with a thick line", rel=0.025),
    Row("flow through Cv 10 at 25 psi, gpm", 50.0,
        lambda: 10 * (25 / valve_loss(10, 10)) ** 0.5, VALVE_EXAMPLE, "exact arithmetic", rel=1e-9),
    Row("Cv of a valve of Kv 1", 1.156, lambda: (valve_loss(1, 1) / valve_loss_of_kv()) ** 0.5, VALVE_EXAMPLE,
        "four digits", abs=5e-4),
    *(
        Row(f"loss of Cv {cv:g} at 10 gpm, psi", psi, lambda cv=cv: valve_loss(cv, 10.0), VALVE_TABLE,
            "three decimals printed", abs=5.5e-4)
        for cv, psi in VALVES
    ),
    *(
        Row(f"{flow:g} m³/s in {length:g} m of {bore * 1000:g} mm cast iron, m", metres,
            lambda pipe=(flow, length, bore, relative): cast_iron(*pipe), LOOPED_NETWORK,
            "two decimals printed, of a relative roughness printed to three digits; the source's factor is "
            "Churchill's too", abs=0.007)
        for flow, length, bore, relative, metres in IRON_PIPES
    ),
    Row("weight of a gallon of water, lb", 8.34, lambda: Water.at(20.0).density * GALLON / POUND, CITRUS_HYDRAULICS,
        "printed for 62.4 lb/ft³, which is 0.1 % more than at 20 °C", rel=0.0015),
    Row("weight of a cubic foot of water, lb", 62.4, lambda: Water.at(20.0).density * FOOT**3 / POUND,
        CITRUS_HYDRAULICS, "printed to three digits; 0.1 % more than at 20 °C", rel=0.0015),
]  # fmt: skip


def valve_loss_of_kv() -> float:
    """Of Kv 1 at 1 gpm. [psi]"""
    return Loss(kv=1).resistance * GALLON_PER_MINUTE**2 / POUND_PER_SQUARE_INCH


@each(ROWS)
def test_worked_examples_come_out_as_printed(row: Row):
    agrees(row)
