"""Figures that are published or were worked out elsewhere, put to the whole check: a zone in the caller's units.

Other rows ask the solver or one law. These go the whole way: through the request, its units, the supply, the pipework
and the findings. A tank stands in for a head at the inlet, for its level is a head whatever the water weighs.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cache, partial

import numpy as np
import pytest

from service.hydraulics.water import Water
from service.schemas.answers import CheckAnswer
from tests.published.row import Row, Way, agrees, each
from tests.published.sources import (
    CAL_POLY_EXAM,
    CONTINUITY,
    DRIP_EVALUATION,
    FAO_MANUAL,
    FLUSHING_PAGE,
    INCHES_OF_A_GALLON,
    IRRIGATION_COURSE,
    LATERAL_RULE,
    LATERALS,
    MILLIMETRES_OF_A_LITRE,
    TEACHING_MANUAL,
)
from tests.published.units import FOOT, GALLON_PER_MINUTE, INCH, LITRE_PER_HOUR, POUND_PER_SQUARE_INCH
from tests.zones.flower_plot import Json, ask, feet, gph, gpm

HOUR = 3600.0


def us_constant(bore_inches: float) -> float:
    """Friction of the US handbook form of Hazen-Williams over that of the service's SI form, in pipe of a bore.

    h = 0.002083 L (100/C)^1.852 Q^1.852 / d^4.8655 in ft, gpm and in; h = 10.67 L Q^1.852 / (C^1.852 D^4.8704) in SI.
    """
    bore, flow = bore_inches * INCH, 1e-3
    gallons = flow / 3.785411784e-3 * 60
    us = 0.002083 * 100**1.852 * gallons**1.852 / bore_inches**4.8655
    return us / (10.67 * flow**1.852 / bore**4.8704)


def smoothness(stated: float, bore_inches: float) -> float:
    """C that makes the SI form lose what the US form loses with `stated`."""
    return stated / us_constant(bore_inches) ** (1 / 1.852)


def lateral(count: int, spacing: float, *, bore: float, c: float, emitter: Json, first: float, **more: float) -> Json:
    """A run of equal spacings, in feet and inches."""
    pipe = {"inside_diameter": bore, "material": "pe", "hazen_williams_c": c}
    length = round(first + (count - 1) * spacing, 6)
    outlets = {"emitter": emitter, "spacing": spacing, "first_at": first, "count": count}
    return {"id": "lateral", "pipe": pipe, "length": length, "outlets": outlets, **more}


def zone(*runs: Json, head: float) -> Json:
    """Runs on a head of water in feet, by Hazen-Williams."""
    options = {"friction": "hazen_williams", "detail": "outlets"}
    return {"water": {"temperature": 68}, "supply": {"water_level": head}, "runs": list(runs), "options": options}


def of_head(flow: float, head: float) -> Json:
    """A square-root emitter that gives `flow` [gph] at a head [ft], as the service takes it: at a pressure."""
    pressure = head * FOOT * Water.at(20.0).specific_weight / POUND_PER_SQUARE_INCH
    return {"flow": flow, "at_pressure": pressure, "exponent": 0.5, "pressure_range": [1, 100]}


def constant(flow: float) -> Json:
    """An emitter whose flow no pressure changes. `flow` in gph."""
    return {"flow": flow, "pressure_range": [1, 100]}


def in_feet(answer: CheckAnswer, pressure: float) -> float:
    """A pressure as feet of the answer's water."""
    return pressure / Water.at(answer.method.water.temperature).specific_weight / FOOT


CONSTANT = {"level": (1.0, 0.8616244, 56.888376), "first outlet at half": (0.5, 0.8495109, 56.900489)}
"""First outlet [ft], friction, end head [ft]: 100 outlets of 0.9 gph, 1 ft apart, 0.62 in., C 140, on 57.75 ft."""

ORIFICES = {
    # slope; inlet flow gpm, end head, least head, its outlet, first and last gph, mean, variation, Cv, low quarter
    "level": (0.0, 1.89351392, 44.2205208, 44.2205208, 100,
              1.15400118, 1.12969266, 1.13610835, 0.021064554, 0.00621196728, 0.994461446),
    "3 % downhill": (-0.03, 1.93932823, 48.6074131, 46.1053062, 14,
                     1.15453208, 1.18440337, 1.16359694, 0.0260779445, 0.00834557634, 0.991602328),
    "2 % uphill": (0.02, 1.86213466, 41.2964522, 41.2964522, 100,
                   1.15364731, 1.09170362, 1.1172808, 0.0536937847, 0.0158491309, 0.981460984),
}  # fmt: skip
"""100 outlets of 1 gph at 34.65 ft, 1.5 ft apart, 0.62 in., C 140, on 46.2 ft."""

BARBS = {"bare": (0.0, 216.547079, 11.6288512, 2.18994964, 2.15674302, 0.0151631863),
         "barbs of 0.136 m": (0.136, 215.870664, 11.5310256, 2.18970009, 2.14765226, 0.0192025495)}  # fmt: skip
"""Connection [m]; inlet flow, end head, first and last flow, variation: 100 of 2 L/h at 10 m on 14 mm, 12 m of head."""


@cache
def of_constant_flow(first: float, *, own_c: bool) -> CheckAnswer:
    """100 outlets of 0.9 gph, with C 140 as it stands, or made up for the constant of the US form."""
    c = 140 if own_c else smoothness(140, 0.62)
    return ask(zone(lateral(100, 1.0, bore=0.62, c=c, emitter=constant(0.9), first=first), head=57.75))


@cache
def of_orifices(slope: float) -> CheckAnswer:
    """100 outlets of 1 gph at 34.65 ft."""
    c, emitter = smoothness(140, 0.62), of_head(1.0, 34.65)
    return ask(zone(lateral(100, 1.5, bore=0.62, c=c, emitter=emitter, first=1.5, rise=150 * slope), head=46.2))


@cache
def subunit() -> CheckAnswer:
    """Five laterals of 50 emitters on a manifold of 0.824 in."""
    pipe = {"inside_diameter": 0.824, "material": "pvc", "hazen_williams_c": smoothness(150, 0.824)}
    manifold = {"id": "manifold", "pipe": pipe, "length": 22}
    emitter = {**of_head(1.0, 34.65), "variation": 0.05}
    line = lateral(50, 1.5, bore=0.62, c=smoothness(140, 0.62), emitter=emitter, first=1.5)
    line |= {"from": "manifold", "from_at": 10, "copies": {"count": 5, "apart": 3}}
    return ask(zone(manifold, line, head=46.2))


@cache
def with_barbs(connection: float) -> CheckAnswer:
    """100 emitters of 2 L/h at 10 m, 0.5 m apart on 14 mm of 1.5 µm, by Darcy-Weisbach."""
    kilopascal = 10 * Water.at(20.0).specific_weight / 1000
    emitter = {"flow": 2, "at_pressure": kilopascal, "exponent": 0.5, "connection_length": connection}
    outlets = {"emitter": {**emitter, "pressure_range": [10, 400]}, "spacing": 0.5, "first_at": 0.5}
    pipe = {"inside_diameter": 14, "material": "pe", "roughness": 1.5}
    run = {"id": "lateral", "pipe": pipe, "length": 50, "outlets": outlets}
    tank = {"supply": {"water_level": 12}, "water": {"temperature": 20}}
    return ask({"units": "metric", **tank, "runs": [run], "options": {"detail": "outlets"}})


def flows(answer: CheckAnswer) -> np.ndarray:
    """Of each outlet of the last run. (n,) [m³/s]"""
    return np.asarray(answer.runs[-1].profile.columns["outlet_flow"][1:])


ORIFICE_FIGURES: dict[str, Callable[[CheckAnswer], float]] = {
    "inlet flow, gpm": lambda answer: gpm(answer.flow),
    "end head, ft": lambda answer: in_feet(answer, answer.runs[0].end_pressure),
    "least head, ft": lambda answer: in_feet(answer, answer.lowest_outlet.pressure),
    "outlet with the least head": lambda answer: feet(answer.lowest_outlet.at) / 1.5,
    "first flow, gph": lambda answer: gph(flows(answer)[0]),
    "last flow, gph": lambda answer: gph(flows(answer)[-1]),
    "mean flow, gph": lambda answer: gph(flows(answer).mean()),
    "flow variation": lambda answer: answer.uniformity.flow_variation / 100,
    "coefficient of variation": lambda answer: 1 - answer.uniformity.statistical_uniformity / 100,
    "low quarter over mean": lambda answer: answer.uniformity.low_quarter / 100,
}

BARB_FIGURES: dict[str, Callable[[CheckAnswer], float]] = {
    "inlet flow, L/h": lambda answer: answer.flow / LITRE_PER_HOUR,
    "end head, m": lambda answer: in_feet(answer, answer.runs[0].end_pressure) * FOOT,
    "first flow, L/h": lambda answer: flows(answer)[0] / LITRE_PER_HOUR,
    "last flow, L/h": lambda answer: flows(answer)[-1] / LITRE_PER_HOUR,
    "flow variation": lambda answer: answer.uniformity.flow_variation / 100,
}

SUBUNIT: dict[str, tuple[float, Callable[[CheckAnswer], float]]] = {
    "inlet flow, gpm": (4.770327, lambda answer: gpm(answer.flow)),
    **{
        f"head at lateral {number}, ft": (
            head, lambda answer, at=number: in_feet(answer, answer.runs[at].inlet_pressure)
        )
        for number, head in enumerate([45.744702, 45.654403, 45.601419, 45.57642, 45.569495], start=1)
    },
    "farthest emitter, ft": (45.286537, lambda answer: in_feet(answer, answer.lowest_outlet.pressure)),
    "least flow, gph": (1.14322823, lambda answer: gph(min(all_flows(answer)))),
    "largest flow, gph": (1.1487988, lambda answer: gph(max(all_flows(answer)))),
    "mean flow, gph": (1.14487848, lambda answer: gph(float(np.mean(all_flows(answer))))),
    "emission uniformity, %": (93.5150108, lambda answer: answer.uniformity.emission_uniformity),
    "flow variation, %": (0.484904303, lambda answer: answer.uniformity.flow_variation),
}  # fmt: skip


def all_flows(answer: CheckAnswer) -> list[float]:
    """Of every outlet on the laterals. [m³/s]"""
    return [flow for run in answer.runs[1:] for flow in run.profile.columns["outlet_flow"][1:]]


def three_quarters(share: float) -> float:
    """Head of the mean flow, and a share of the friction: three quarters up, a quarter down. [ft]"""
    answer = of_orifices(0.0)
    return 34.65 * gph(flows(answer).mean()) ** 2 + share * in_feet(answer, answer.runs[0].friction_loss)


def one_emitter(*, exponent: float, level: float) -> float:
    """Flow of a 4 L/h emitter of 10 m a hand's breadth from a tank. [L/h]"""
    emitter = {"flow": 4, "at_pressure": 98.0, "exponent": exponent, "pressure_range": [10, 400]}
    run = {"id": "stub", "pipe": {"inside_diameter": 20, "material": "pe"}, "length": 0.1}
    run["outlets"] = [{"at": 0.1, "emitter": emitter}]
    return ask({"units": "metric", "supply": {"water_level": level}, "runs": [run]}).flow / LITRE_PER_HOUR


def begins(found: Callable[[float], bool], low: float, high: float) -> float:
    """Where a finding comes or goes, by halving between a place without and a place with the other verdict."""
    there = found(high)
    assert found(low) is not there
    for _ in range(14):
        middle = 0.5 * (low + high)
        low, high = (low, middle) if found(middle) is there else (middle, high)
    return 0.5 * (low + high)


def too_fast(bore: float, flow: float) -> bool:
    """Whether a flow in gpm is found too fast in a pipe of a bore in inches."""
    emitter = {"flow": flow * 60 / 20, "pressure_range": [1, 200]}
    run = {"id": "feed", "pipe": {"inside_diameter": bore, "material": "pvc"}, "length": 1}
    run["outlets"] = [{"at": 1, "emitter": emitter, "per_place": 20}]
    answer = ask({"supply": {"static_pressure": 100}, "runs": [run]})
    return any(finding.code == "velocity-high" for finding in answer.findings)


def flushed(bore: float, flow: float) -> bool:
    """Whether a line is flushed by a pump that gives a flow in gpm and no more."""
    run = {"id": "line", "pipe": {"inside_diameter": bore, "material": "pe"}, "length": 10}
    run["outlets"] = [{"at": 5, "emitter": {"flow": 0.01, "pressure_range": [1, 100]}}]
    supply = {"pump_curve": [[0, 40], [flow * 0.9999, 39], [flow * 1.0001, 0]]}
    return all(finding.code != "flushing-slow" for finding in ask({"supply": supply, "runs": [run]}).findings)


def whole_gallons(bore: float) -> float:
    """Flow at a foot a second in a bore in inches, rounded up. [gpm]"""
    return math.ceil(np.pi / 4 * (bore * INCH) ** 2 * FOOT / GALLON_PER_MINUTE)


def rise_of_a_foot() -> float:
    """What a lateral that climbs 10 ft shows of it in the loss budget, a foot. [psi]"""
    line = lateral(1, 1.0, bore=0.62, c=140, emitter=constant(0.5), first=10, rise=10)
    rise = next(stage for stage in ask(zone(line, head=100)).loss_budget if stage.kind == "friction").elevation_change
    return rise / POUND_PER_SQUARE_INCH / 10


def rate(units: str, flow: float, row: float, spacing: float) -> float:
    """Application rate that a zone tells of rows so far apart, when a slower kind of outlet is on its valve. [m/s]"""
    grid = {"copies": {"count": 4, "apart": row}}
    length = spacing * 10
    slow = {"flow": flow / 10, "pressure_range": [70, 400] if units == "metric" else [8, 60]}
    fast = {**slow, "flow": flow}
    header = {"id": "header", "pipe": {"inside_diameter": 20 if units == "metric" else 0.8, "material": "pe"}}
    header |= {"length": row * 9}
    beds = [
        {"id": name, "from": "header", "from_at": at, "pipe": header["pipe"], "length": length, **grid,
         "outlets": {"emitter": emitter, "spacing": spacing, "first_at": spacing / 2}}
        for name, at, emitter in (("slow", 0.0, slow), ("fast", row * 5, fast))
    ]  # fmt: skip
    pressure = 300 if units == "metric" else 45
    answer = ask({"units": units, "supply": {"static_pressure": pressure}, "runs": [header, *beds]})
    mixed = next(finding for finding in answer.findings if finding.code == "outlet-kinds-mixed")
    assert mixed.value.dimension == "rate"
    return mixed.value.value


def drip_rate(flow: float, row: float, spacing: float) -> float:
    """Of gph on a grid in inches. [in/h]"""
    return rate("us", flow, row / 12, spacing / 12) / INCH * HOUR


OF_DRIPLINE = [
    # gph, in. between rows, in. between emitters, in/h
    (0.6, 18, 12, 0.64167), (0.9, 18, 12, 0.9625), (0.9, 12, 12, 1.4437), (1.0, 24, 18, 0.53472),
    (0.5, 18, 18, 0.35648), (0.26, 12, 12, 0.41708),
]  # fmt: skip

LIMITS = [(0.52, 3.309), (0.6, 4.406), (0.622, 4.735), (0.824, 8.31), (1.049, 13.47), (1.38, 23.31), (2.067, 52.29)]
"""Bore [in], flow at 5 ft/s [gpm]."""

MADE_UP = "with C made up for the constant of the US form; eight digits computed"
OWN_C = "with C 140 as it stands: the two constants are 0.8 % of the friction apart"
FIVE_DIGITS = "five digits computed"

ROWS = [
    *(
        Row(f"zone of constant flow, {case}: friction, ft", friction,
            lambda first=first: in_feet(a := of_constant_flow(first, own_c=False), a.runs[0].friction_loss), LATERALS,
            MADE_UP, rel=1e-6)
        for case, (first, friction, _) in CONSTANT.items()
    ),
    *(
        Row(f"zone of constant flow, {case}: end head, ft", head,
            lambda first=first: in_feet(a := of_constant_flow(first, own_c=False), a.runs[0].end_pressure), LATERALS,
            MADE_UP, abs=1e-6)
        for case, (first, _, head) in CONSTANT.items()
    ),
    *(
        Row(f"zone of constant flow, C as stated, {case}: friction, ft", friction,
            lambda first=first: in_feet(a := of_constant_flow(first, own_c=True), a.runs[0].friction_loss), LATERALS,
            OWN_C, rel=0.008)
        for case, (first, friction, _) in CONSTANT.items()
    ),
    *(
        Row(f"zone of orifices, {case}: {figure}", value,
            lambda slope=slope, read=read: read(of_orifices(slope)), LATERALS, MADE_UP,
            rel=2e-3 if "variation" in figure else 1e-5)
        for case, (slope, *values) in ORIFICES.items()
        for (figure, read), value in zip(ORIFICE_FIGURES.items(), values, strict=True)
    ),
    *(
        Row(f"subunit as a zone: {figure}", value, lambda read=read: read(subunit()), LATERALS, MADE_UP,
            rel=1e-4 if "variation" in figure else 1e-5)
        for figure, (value, read) in SUBUNIT.items()
    ),
    *(
        Row(f"metric zone, {case}: {figure}", value, lambda barb=barb, read=read: read(with_barbs(barb)), LATERALS,
            "water of 20 °C is 0.05 % stiffer than that of the case", rel=2e-3 if "variation" in figure else 3e-5)
        for case, (barb, *values) in BARBS.items()
        for (figure, read), value in zip(BARB_FIGURES.items(), values, strict=True)
    ),
    Row("zone of orifices: inlet head by the three quarters rule, ft", 46.2, partial(three_quarters, 0.75),
        LATERAL_RULE, "a rule of thumb for one pipe size on level ground", abs=0.02),
    Row("zone of orifices: end head by the three quarters rule, ft", 44.2205, partial(three_quarters, -0.25),
        LATERAL_RULE, "a rule of thumb for one pipe size on level ground", abs=0.02),
    Row("zone of one emitter at 12 m, L/h", 4.32, lambda: one_emitter(exponent=0.42, level=12.0), FAO_MANUAL,
        "printed for 12 m rounded from 12.01", rel=0.005),
    Row("zone of one emitter, rise of flow from 15 to 20 psi at x = 0.55, %", 17.0,
        lambda: 100 * (one_emitter(exponent=0.55, level=40 / 3) / one_emitter(exponent=0.55, level=10.0) - 1),
        CAL_POLY_EXAM, "printed to a whole percent", abs=0.5),
    *(
        Row(f"where a flow is found too fast in {bore} in., gpm", flow,
            lambda bore=bore, flow=flow: begins(partial(too_fast, bore), 0.9 * flow, 1.1 * flow), CONTINUITY,
            "at 5 ft/s; four digits", rel=3e-4)
        for bore, flow in LIMITS
    ),
    *(
        Row(f"where a {size} in. line is found flushed, gpm", flow,
            lambda bore=bore, flow=flow: begins(partial(flushed, bore), 0.8 * flow, 1.2 * flow), FLUSHING_PAGE,
            "printed rounded up to a whole gallon", rel=0.065,
            way=Way("velocity times area, rounded up", partial(whole_gallons, bore), abs=1e-9))
        for size, bore, flow in (("5/8", 0.625, 1.0), ("7/8", 0.875, 2.0))
    ),
    Row("a foot of rise in the loss budget, psi", 0.433, rise_of_a_foot, IRRIGATION_COURSE,
        "printed to three digits, for 62.4 lb/ft³, which is 0.1 % more than at 20 °C", rel=0.0015),
    *(
        Row(f"application of {flow} gph on {row} by {spacing} in., in/h", told, partial(drip_rate, flow, row, spacing),
            INCHES_OF_A_GALLON, FIVE_DIGITS, rel=1e-4)
        for flow, row, spacing, told in OF_DRIPLINE
    ),
    Row("application of 2 L/h on 0.45 by 0.3 m, mm/h", 14.8148, lambda: rate("metric", 2.0, 0.45, 0.3) * 1000 * HOUR,
        MILLIMETRES_OF_A_LITRE, "six digits computed", rel=1e-5),
    Row("in/h of 1 gph on each square foot", 1.6042, partial(drip_rate, 1.0, 12, 12), INCHES_OF_A_GALLON, FIVE_DIGITS,
        rel=1e-4),
    Row("gallons of an inch on a square foot", 0.623, lambda: 1 / drip_rate(1.0, 12, 12), DRIP_EVALUATION,
        "three decimals printed", abs=5e-4),
    Row("gallons of an inch on an acre", 27154, lambda: 43560 / drip_rate(1.0, 12, 12), TEACHING_MANUAL,
        "printed to a whole gallon", abs=0.5),
    Row("hours to an inch by tape of 0.75 gpm on 100 ft, beds of 2 ft", 2.76, lambda: 1 / drip_rate(0.45, 24, 12),
        TEACHING_MANUAL, "printed with its digits cut off, for an acre of 218 beds, which are 217.8", abs=0.0125,
        way=Way("over 218 beds", lambda: 27154 / (218 * 0.75 * 60), abs=0.01)),
    Row("in/h of 1 gpm on each square foot", 96.25, lambda: 60 * drip_rate(1.0, 12, 12), INCHES_OF_A_GALLON,
        "four digits, exact", rel=1e-6),
]  # fmt: skip


@each(ROWS)
def test_the_whole_check_comes_to_the_same(row: Row):
    agrees(row)


def test_the_two_forms_of_hazen_williams_are_as_near_as_they_are_said_to_be():
    assert us_constant(0.62) == pytest.approx(1.0, abs=0.008)
    assert us_constant(0.62) != pytest.approx(1.0, abs=1e-4)
