"""Every finding has a zone that brings it about and a near twin that does not."""

from __future__ import annotations

import re
from dataclasses import dataclass

import pytest

from service.schemas.answers import CheckAnswer, Finding, Severity, Verdict
from service.schemas.zone import Zone
from service.units.dimensions import System, from_si
from service.units.sentence import Measured, figure
from service.zones.check import check
from service.zones.findings.case import pressure, say
from service.zones.findings.codes import CODES
from service.zones.findings.judge import MOST_ALIKE, judge, verdict
from tests.zones.flower_plot import (
    FILTER,
    HEAD,
    LOOSE,
    PREVENTER,
    REGULATOR,
    STEADY,
    TESTED,
    VALVE,
    Json,
    ask,
    bed,
    outlets,
    plot,
)

FAIL, CAUTION, NOTE = Severity.FAIL, Severity.CAUTION, Severity.NOTE

TUBING = {"inside_diameter": 0.6, "material": "pe"}
UNREGULATED = [PREVENTER, VALVE, FILTER]
LINE = {"pipe": {"inside_diameter": 0.622, "material": "copper", "max_pressure": 100}, "length": 120}
UNMEASURED = {"device": "backflow_preventer", "kind": "pressure_vacuum_breaker", "loss": {"fixed": 3}}
SLACK = {"static_pressure": 22, "flow_test": {"flow": 8, "residual_pressure": 21.9}}
DISC = {"device": "filter", "type": "disc", "mesh": 140, "loss": {"fixed": 1}, "dirty_allowance": 3}
INJECTOR = {"device": "injector", "loss": {"fixed": 1}}
OPEN_HEAD = [{**device, "loss": {"fixed": 0}, "dirty_allowance": 0} if device is FILTER else device for device in HEAD]


@dataclass(frozen=True)
class Row:
    """A code, the zone that brings it about and the one that does not; value and limit in US units, by hand."""

    code: str
    severity: Severity
    zone: Json
    twin: Json
    where: str = "bed"
    value: float | None = None
    limit: float | None = None


def power(flow: float, exponent: float, **more: float) -> Json:
    return {"flow": flow, "at_pressure": 20, "exponent": exponent, "variation": 0.03, "passage": 0.05, **more}


def preventer(**changed: object) -> list[Json]:
    return [{**PREVENTER, **changed}, VALVE, FILTER, REGULATOR]


def sprung(loss: float) -> Json:
    """A preventer whose table says what its springs take at 2 gpm."""
    return {**PREVENTER, "loss": {"table": [[2, loss], [8, loss]]}}


def lab(**found: float) -> Json:
    return {"source": "municipal", "temperature": 68, **found}


def breaker(kind: str, height: float, *after: Json) -> list[Json]:
    device = {"device": "backflow_preventer", "kind": kind, "height": height, "loss": {"fixed": 3}}
    return [VALVE, device, FILTER, REGULATOR, *after]


def level_header(*laterals: Json) -> list[Json]:
    return [{"id": "header", "pipe": "pe-0.75in", "length": 10}, *laterals]


def lateral(name: str, length: float) -> Json:
    return bed(id=name, length=length, **{"from": "header", "from_at": 5})


def climbing_header(rise: float) -> list[Json]:
    """Two laterals along the contour of a slope, on a header of 10 ft; what feeds it falls steeply."""
    loose = outlets({**STEADY, "variation": 0.1})
    return [
        {"id": "feed", "pipe": "pvc-sch40-0.75in", "length": 10, "rise": -1},
        {"id": "header", "from": "feed", "pipe": "pvc-sch40-0.75in", "length": 10, "rise": rise},
        bed(id="near", outlets=loose, **{"from": "header", "from_at": 1}),
        bed(id="far", outlets=loose, **{"from": "header", "from_at": 10}),
    ]


def strip(name: str, flow: float, spacing: float, apart: float = 3) -> Json:
    """Two rows of a header, so far apart."""
    placed = {"from": "header", "from_at": 0, "copies": {"count": 2, "apart": apart}}
    return bed(id=name, length=40, outlets=outlets({**STEADY, "flow": flow}, spacing), **placed)


ROWS = [
    Row(
        "no-flow",
        FAIL,
        plot(bed(), supply={"water_level": -1}, head=[]),
        plot(bed(), supply={"water_level": 1}, head=[]),
        where="zone",
        value=-0.4328,
    ),
    # Water at 68 °F presses 0.4328 psi a foot: of 25 psi at the valve 7.3 are left 41 ft up, and the emitter needs 8.
    Row("outlet-pressure-low", FAIL, plot(bed(rise=41)), plot(bed(rise=35)), limit=8),
    Row(
        "outlet-pressure-low",
        CAUTION,
        plot(bed(rise=41, outlets=outlets(power(1, 0.1)))),
        plot(bed(rise=30, outlets=outlets(power(1, 0.1)))),
        limit=10,
    ),
    # Static pressure at no flow is 64 psi; 51 are left at 8 gpm. An emitter rated to 50 psi sees more than that.
    Row("outlet-pressure-high", FAIL, plot(head=[PREVENTER, VALVE]), plot(), limit=50),
    Row(
        "outlet-pressure-high",
        CAUTION,
        plot(bed(outlets=outlets(power(1, 0.1))), head=UNREGULATED),
        plot(bed(outlets=outlets(power(1, 0.1)))),
        limit=40,
    ),
    Row("outlet-margin-small", CAUTION, plot(bed(rise=37)), plot(bed(rise=33)), limit=2),
    # Over a crest 100 ft high the 40 psi of the supply are 43.3 psi short of nothing.
    Row(
        "negative-pressure",
        FAIL,
        plot(
            {"id": "over", "pipe": "pvc-sch40-0.75in", "length": 250, "ground": [[0, 0], [110, 100], [250, -30]]},
            bed(**{"from": "over"}),
            supply={"static_pressure": 40},
            head=[],
        ),
        plot(
            {"id": "over", "pipe": "pvc-sch40-0.75in", "length": 250, "ground": [[0, 0], [110, 90], [250, -30]]},
            bed(**{"from": "over"}),
            supply={"static_pressure": 40},
            head=[],
        ),
        where="over",
        limit=0,
    ),
    Row(
        "pipe-pressure-high",
        FAIL,
        plot(bed(pipe={"inside_diameter": 0.8, "material": "pe", "max_pressure": 24})),
        plot(bed(pipe={"inside_diameter": 0.8, "material": "pe", "max_pressure": 26})),
        value=25,
        limit=24,
    ),
    # With the flow shut off a feed without outlets stands at the static 64 psi, unregulated; in use it has less.
    Row(
        "shut-off-pressure-high",
        FAIL,
        plot(
            {"id": "feed", "pipe": {"inside_diameter": 0.8, "material": "pe", "max_pressure": 63}, "length": 20},
            bed(**{"from": "feed"}),
            head=UNREGULATED,
        ),
        plot(
            {"id": "feed", "pipe": {"inside_diameter": 0.8, "material": "pe", "max_pressure": 65}, "length": 20},
            bed(**{"from": "feed"}),
            head=UNREGULATED,
        ),
        where="feed",
        value=64,
        limit=63,
    ),
    # PVC keeps half of its rating at 110 °F: ASTM D1785 pipe in public tables of the trade.
    Row(
        "pipe-pressure-high",
        FAIL,
        plot(
            bed(pipe={"inside_diameter": 0.8, "material": "pvc", "max_pressure": 49}),
            water={"source": "municipal", "temperature": 110},
        ),
        plot(bed(pipe={"inside_diameter": 0.8, "material": "pvc", "max_pressure": 49})),
        value=25,
        limit=24.5,
    ),
    # In use the valve sees 64 psi less 13 (0.5/8)^1.852 = 0.077 of the main and 8 of the preventer: 55.9.
    Row(
        "device-pressure-high",
        FAIL,
        plot(head=[PREVENTER, {**VALVE, "max_pressure": 55.5}, FILTER, REGULATOR]),
        plot(head=[PREVENTER, {**VALVE, "max_pressure": 56}, FILTER, REGULATOR]),
        where="valve",
        value=64 - 0.077 - 8,
        limit=55.5,
    ),
    Row(
        "shut-off-pressure-high",
        FAIL,
        plot(head=[PREVENTER, {**VALVE, "max_pressure": 60}, FILTER, REGULATOR]),
        plot(head=[PREVENTER, {**VALVE, "max_pressure": 65}, FILTER, REGULATOR]),
        where="valve",
        value=64,
        limit=60,
    ),
    # The catalogue's meters are rated 150 psi.
    Row(
        "shut-off-pressure-high",
        FAIL,
        plot(supply={"static_pressure": 151, "meter_size": "0.75in"}),
        plot(supply={"static_pressure": 149, "meter_size": "0.75in"}),
        where="water meter",
        value=151,
        limit=150,
    ),
    # A service line that falls 100 ft stands 43.28 psi higher at its lower end.
    Row(
        "shut-off-pressure-high",
        FAIL,
        plot(supply={"static_pressure": 64, "service_line": {**LINE, "rise": -100}}),
        plot(supply={"static_pressure": 64, "service_line": {**LINE, "rise": -80}}),
        where="service line",
        value=64 + 43.28,
        limit=100,
    ),
    Row(
        "pipe-pressure-high",
        FAIL,
        plot(bed(outlets=outlets(STEADY, tube={"pipe": {**TUBING, "max_pressure": 24}, "length": 1}))),
        plot(bed(outlets=outlets(STEADY, tube={"pipe": {**TUBING, "max_pressure": 26}, "length": 1}))),
        value=25,
        limit=24,
    ),
    Row(
        "regulator-set-high",
        CAUTION,
        plot(head=[PREVENTER, VALVE, FILTER, {**REGULATOR, "set_pressure": 52}]),
        plot(head=[PREVENTER, VALVE, FILTER, {**REGULATOR, "set_pressure": 50}]),
        where="regulator",
        value=52,
    ),
    Row(
        "regulator-not-holding",
        NOTE,
        plot(head=[PREVENTER, VALVE, FILTER, {**REGULATOR, "set_pressure": 55}]),
        plot(head=[PREVENTER, VALVE, FILTER, {**REGULATOR, "set_pressure": 50}]),
        where="regulator",
        limit=55 + 5 * (0.5 / 7) ** 2,
    ),
    # 5 ft/s in 0.6 in of bore carry 4.406 gpm (continuity, v = 0.40853 Q/d²); 26 emitters of 10 gph take 4.333.
    Row(
        "velocity-high",
        CAUTION,
        plot(bed(pipe=TUBING, outlets=outlets({**STEADY, "flow": 10}, count=27))),
        plot(bed(pipe=TUBING, outlets=outlets({**STEADY, "flow": 10}, count=26))),
        value=0.40853 * 4.5 / 0.36,
        limit=5,
    ),
    # 5 ft/s in a tube of 0.17 in carry 0.3537 gpm, 21.2 gph (continuity again); in the pipe nothing runs that fast.
    Row(
        "velocity-high",
        CAUTION,
        plot(
            bed(outlets=[{"at": 30, "emitter": {**STEADY, "flow": 22}, "tube": {"pipe": "tubing-0.25in", "length": 1}}])
        ),
        plot(
            bed(outlets=[{"at": 30, "emitter": {**STEADY, "flow": 21}, "tube": {"pipe": "tubing-0.25in", "length": 1}}])
        ),
        value=0.40853 * 22 / 60 / 0.17**2,
        limit=5,
    ),
    Row(
        "flushing-slow",
        CAUTION,
        plot(bed(pipe=TUBING, length=3000, outlets=outlets(STEADY, 30))),
        plot(bed(pipe=TUBING, length=400, outlets=outlets(STEADY, 30))),
        limit=1,
    ),
    # 5 ft/s in 0.622 in of bore are 4.735 gpm (continuity, v = 0.40853 Q/d²).
    Row(
        "velocity-high",
        CAUTION,
        plot(supply={"static_pressure": 64, "service_line": LINE, "other_flow": 4.3}),
        plot(supply={"static_pressure": 64, "service_line": LINE, "other_flow": 4.2}),
        where="service line",
        value=0.40853 * 4.8 / 0.622**2,
        limit=5,
    ),
    Row(
        "supply-curve-passed",
        NOTE,
        plot(supply={**TESTED, "other_flow": 7.6}),
        plot(supply={**TESTED, "other_flow": 7.4}),
        where="supply",
        value=8.1,
        limit=8,
    ),
    Row(
        "supply-curve-passed",
        NOTE,
        plot(supply={"pump_curve": [[0, 64], [0.4, 60]]}),
        plot(supply={"pump_curve": [[0, 64], [0.6, 60]]}),
        where="supply",
        value=0.5,
        limit=0.4,
    ),
    Row("supply-untested", CAUTION, plot(supply={"static_pressure": 64}), plot(), where="supply", value=64),
    # A 5/8 in meter runs 10 gpm for hours and 20 gpm at most, of which 75 % are 15 (ANSI/AWWA C700).
    Row(
        "meter-flow-high",
        CAUTION,
        plot(
            bed(outlets=outlets({**STEADY, "flow": 20.2})),
            supply={"static_pressure": 45, "meter_size": "0.625in"},
            head=[],
        ),
        plot(
            bed(outlets=outlets({**STEADY, "flow": 19.8})),
            supply={"static_pressure": 45, "meter_size": "0.625in"},
            head=[],
        ),
        where="water meter",
        value=10.1,
        limit=10,
    ),
    Row(
        "meter-loss-high",
        CAUTION,
        plot(
            bed(outlets=outlets({**STEADY, "flow": 19.8})),
            supply={"static_pressure": 30, "meter_size": "0.625in"},
            head=[],
        ),
        plot(
            bed(outlets=outlets({**STEADY, "flow": 19.8})),
            supply={"static_pressure": 49, "meter_size": "0.625in"},
            head=[],
        ),
        where="water meter",
        limit=3,
    ),
    Row(
        "device-flow-low",
        CAUTION,
        plot(head=[PREVENTER, {**VALVE, "flow_range": [0.6, 12]}, FILTER, REGULATOR]),
        plot(head=[PREVENTER, {**VALVE, "flow_range": [0.4, 12]}, FILTER, REGULATOR]),
        where="valve",
        value=0.5,
        limit=0.6,
    ),
    Row(
        "device-flow-high",
        CAUTION,
        plot(head=[PREVENTER, VALVE, FILTER, {**REGULATOR, "flow_range": [0.1, 0.4]}]),
        plot(head=[PREVENTER, VALVE, FILTER, {**REGULATOR, "flow_range": [0.1, 0.6]}]),
        where="regulator",
        value=0.5,
        limit=0.4,
    ),
    # Half a gallon a minute of this zone and 4 of its neighbour run through the regulator and the filter before it.
    Row(
        "device-flow-high",
        CAUTION,
        plot(head=[PREVENTER, VALVE, {**FILTER, "flow_range": [0, 4.4]}, {**REGULATOR, "shared_flow": 4}]),
        plot(head=[PREVENTER, VALVE, {**FILTER, "flow_range": [0, 4.6]}, {**REGULATOR, "shared_flow": 4}]),
        where="filter",
        value=4.5,
        limit=4.4,
    ),
    Row(
        "device-loss-unstated",
        CAUTION,
        plot(head=[*HEAD, {"device": "other", "name": "flow sensor"}]),
        plot(head=[*HEAD, {"device": "other", "name": "flow sensor", "loss": {"fixed": 1}}]),
        where="flow sensor",
    ),
    Row(
        "device-curve-passed",
        NOTE,
        plot(head=[PREVENTER, VALVE, {**FILTER, "loss": {"table": [[0.2, 0.1], [0.4, 0.2]]}}, REGULATOR]),
        plot(head=[PREVENTER, VALVE, {**FILTER, "loss": {"table": [[0.2, 0.1], [0.6, 0.2]]}}, REGULATOR]),
        where="filter",
        value=0.5,
        limit=0.4,
    ),
    # 0.5 gpm is a quarter of the first row's flow, so that a straight line credits a quarter of its loss. Springs may
    # take the rest as well, which a regulator makes up for as long as it holds; without one the outlets must spare it.
    Row(
        "device-curve-passed",
        NOTE,
        plot(head=preventer(loss={"table": [[2, 12], [8, 12]]})),
        plot(head=preventer(loss={"table": [[0.5, 12], [8, 12]]})),
        where="backflow preventer",
        value=0.5,
        limit=2,
    ),
    # 22 psi less 3 of the preventer and 3 of the dirty filter are 8 above the minimum: 6 can be spared, but not 9.
    Row(
        "device-curve-passed",
        CAUTION,
        plot(head=[sprung(12), VALVE, FILTER], supply=SLACK),
        plot(head=[sprung(7), VALVE, FILTER], supply=SLACK),
        where="backflow preventer",
        value=0.5,
        limit=2,
    ),
    Row(
        "device-curve-passed",
        CAUTION,
        plot(head=[sprung(12), VALVE, FILTER], supply=SLACK),
        plot(head=[{**sprung(12), "kind": "atmospheric_vacuum_breaker"}, VALVE, FILTER], supply=SLACK),
        where="backflow preventer",
        limit=2,
    ),
    Row(
        "backflow-curve-falls",
        NOTE,
        plot(head=preventer(loss={"table": [[0.2, 9], [8, 8]]})),
        plot(head=preventer(loss={"table": [[0.2, 8], [8, 9]]})),
        where="backflow preventer",
    ),
    # The table falls beyond what the zone draws: nothing was taken for higher.
    Row(
        "backflow-curve-falls",
        NOTE,
        plot(head=preventer(loss={"table": [[0.2, 9], [0.4, 8]]})),
        plot(head=preventer(loss={"table": [[0.2, 8], [0.5, 9], [8, 8]]})),
        where="backflow preventer",
    ),
    Row(
        "valve-range-unstated",
        NOTE,
        plot(head=[PREVENTER, {"device": "valve", "loss": {"cv": 9}}, FILTER, REGULATOR]),
        plot(),
        where="valve",
    ),
    Row("backflow-preventer-missing", CAUTION, plot(head=[VALVE, FILTER, REGULATOR]), plot(), where="head"),
    # An atmospheric breaker stands half a foot above the highest outlet, a pressure type a foot.
    Row(
        "vacuum-breaker-low",
        FAIL,
        plot(bed(rise=0.9), head=breaker("atmospheric_vacuum_breaker", 1.39)),
        plot(bed(rise=0.9), head=breaker("atmospheric_vacuum_breaker", 1.41)),
        where="backflow preventer",
        limit=0.5,
    ),
    Row(
        "vacuum-breaker-low",
        FAIL,
        plot(bed(rise=0.9), head=breaker("pressure_vacuum_breaker", 1.89)),
        plot(bed(rise=0.9), head=breaker("pressure_vacuum_breaker", 1.91)),
        where="backflow preventer",
        limit=1,
    ),
    Row(
        "vacuum-breaker-low",
        CAUTION,
        plot(head=[VALVE, UNMEASURED, FILTER, REGULATOR]),
        plot(head=[VALVE, {**PREVENTER, "kind": "pressure_vacuum_breaker", "height": 2}, FILTER, REGULATOR]),
        where="backflow preventer",
        limit=1,
    ),
    Row(
        "valve-after-vacuum-breaker",
        FAIL,
        plot(head=[{"device": "backflow_preventer", "kind": "atmospheric_vacuum_breaker", "height": 1}, VALVE, FILTER]),
        plot(head=[{"device": "backflow_preventer", "kind": "pressure_vacuum_breaker", "height": 1}, VALVE, FILTER]),
        where="backflow preventer",
    ),
    Row(
        "vacuum-breaker-long-pressure",
        FAIL,
        plot(head=breaker("atmospheric_vacuum_breaker", 1), run_time=721),
        plot(head=breaker("atmospheric_vacuum_breaker", 1), run_time=719),
        where="backflow preventer",
        value=721,
        limit=720,
    ),
    Row(
        "vacuum-breaker-injection",
        FAIL,
        plot(head=breaker("pressure_vacuum_breaker", 1, {"device": "injector", "loss": {"fixed": 1}})),
        plot(head=[*HEAD, {"device": "injector", "loss": {"fixed": 1}}]),
        where="backflow preventer",
    ),
    Row(
        "double-check-injection",
        CAUTION,
        plot(head=[{**PREVENTER, "kind": "double_check"}, VALVE, FILTER, REGULATOR, INJECTOR]),
        plot(head=[PREVENTER, VALVE, FILTER, REGULATOR, INJECTOR]),
        where="head",
    ),
    Row(
        "air-gap-in-line",
        FAIL,
        plot(head=preventer(kind="air_gap")),
        plot(supply={"pump_curve": [[0, 64], [8, 51]]}, head=preventer(kind="air_gap")),
        where="backflow preventer",
        value=64,
    ),
    Row("head-order", CAUTION, plot(head=[PREVENTER, VALVE, REGULATOR, FILTER]), plot(), where="regulator"),
    Row("head-order", CAUTION, plot(head=[PREVENTER, REGULATOR, VALVE, FILTER]), plot(), where="regulator"),
    Row("head-order", CAUTION, plot(head=[INJECTOR, *HEAD]), plot(head=[*HEAD, INJECTOR]), where="injector"),
    Row("head-order", NOTE, plot(head=[PREVENTER, FILTER, VALVE, REGULATOR]), plot(), where="filter"),
    Row("head-order", NOTE, plot(head=[VALVE, PREVENTER, FILTER, REGULATOR]), plot(), where="valve"),
    Row("filter-missing", CAUTION, plot(head=[PREVENTER, VALVE, REGULATOR]), plot(), where="head"),
    # A tenth of 0.05 in is 127 µm. 100 mesh holds back about 150 µm, 120 mesh about 125.
    Row(
        "filter-coarse",
        CAUTION,
        plot(head=[PREVENTER, VALVE, {**FILTER, "mesh": 100}, REGULATOR]),
        plot(head=[PREVENTER, VALVE, {**FILTER, "mesh": 120}, REGULATOR]),
        where="filter",
        limit=127,
    ),
    Row(
        "filter-very-fine",
        NOTE,
        plot(bed(outlets=outlets({**STEADY, "passage": 0.029})), head=HEAD),
        plot(bed(outlets=outlets({**STEADY, "passage": 0.030})), head=HEAD),
        where="head",
        value=0.1 * 0.029 * 25_400,
        limit=75,
    ),
    Row(
        "filter-type-unsuited",
        CAUTION,
        plot(water={"source": "pond", "temperature": 68}),
        plot(water={"source": "pond", "temperature": 68}, head=[PREVENTER, VALVE, DISC, FILTER, REGULATOR]),
        where="head",
    ),
    # Limits of Bucks, Nakayama & Gilbert 1979 and of Pitts 1990, as in tests/advice/test_water_quality.py.
    Row(
        "clogging-hazard",
        CAUTION,
        plot(water=lab(iron=1.51)),
        plot(water=lab(iron=1.49)),
        where="water",
        value=1.51,
        limit=1.5,
    ),
    Row(
        "clogging-hazard",
        NOTE,
        plot(water=lab(ph=7.01)),
        plot(water=lab(ph=6.99)),
        where="water",
        value=7.01,
        limit=7,
    ),
    # pHs = 8.231 at 25 °C (77 °F): the worked analysis of the encyclopedia text, whose index is the pH less that.
    Row(
        "scaling",
        CAUTION,
        plot(water=lab(ph=8.25, dissolved_solids=320, calcium_hardness=150, alkalinity=34, temperature=77)),
        plot(water=lab(ph=8.20, dissolved_solids=320, calcium_hardness=150, alkalinity=34, temperature=77)),
        where="water",
        limit=0,
    ),
    # 2 meq/L of bicarbonate are 100 mg/L as CaCO3 (Schwankl, University of California ANR, levels of concern).
    Row(
        "scaling",
        CAUTION,
        plot(water=lab(ph=7.6, alkalinity=101)),
        plot(water=lab(ph=7.6, alkalinity=100)),
        where="water",
        value=101,
        limit=100.08,
    ),
    Row("iron", NOTE, plot(water=lab(iron=0.6)), plot(water=lab(iron=0.09)), where="water", value=0.6, limit=0.5),
    Row(
        "hydrogen-sulfide",
        NOTE,
        plot(water=lab(hydrogen_sulfide=0.21)),
        plot(water=lab(hydrogen_sulfide=0.19)),
        where="water",
        value=0.21,
    ),
    Row("lab-values-incomplete", NOTE, plot(water=lab(alkalinity=90)), plot(water=lab()), where="water"),
    Row("lab-values-doubtful", CAUTION, plot(water=lab(ph=3.9)), plot(water=lab(ph=4.1)), where="water", limit=4),
    # 300 mg/L of hardness hold 120 of calcium, 200 of alkalinity 120 of carbonate (atomic weights, IUPAC).
    Row(
        "lab-values-doubtful",
        CAUTION,
        plot(water=lab(ph=6, dissolved_solids=238, calcium_hardness=300, alkalinity=200)),
        plot(water=lab(ph=6, dissolved_solids=242, calcium_hardness=300, alkalinity=200)),
        where="water",
        value=238,
        limit=240,
    ),
    # q = k p^0.5 with 0.4328 psi to the foot: 15 ft fall from 25 psi make (31.5/25)^0.5 = 1.12, 5 ft 1.04, 40 ft 1.30.
    Row(
        "flow-variation",
        CAUTION,
        plot(bed(rise=-15, outlets=outlets(LOOSE))),
        plot(bed(rise=-5, outlets=outlets(LOOSE))),
        where="zone",
        limit=10,
    ),
    Row(
        "flow-variation",
        FAIL,
        plot(bed(rise=-40, outlets=outlets(LOOSE))),
        plot(bed(rise=-20, outlets=outlets(LOOSE))),
        where="zone",
        limit=20,
    ),
    # 1 - 1.27 Cv is 0.8984 for a Cv of 0.08 and 0.9111 for 0.07: either side of the 90 % of point sources.
    Row(
        "emission-uniformity-low",
        CAUTION,
        plot(bed(outlets=outlets({**STEADY, "variation": 0.08}))),
        plot(bed(outlets=outlets({**STEADY, "variation": 0.07}))),
        where="zone",
        value=89.84,
        limit=90,
    ),
    # A Cv of 0.1 leaves 87.3 %: enough on a slope of more than 2 %, too little on one of less, if it lies between
    # outlets. The header is blank, but carries the water of one lateral on from the other.
    Row(
        "emission-uniformity-low",
        CAUTION,
        plot(*climbing_header(0.19)),
        plot(*climbing_header(0.21)),
        where="zone",
        value=87.3,
        limit=90,
    ),
    # One outlet is as even as itself, however it is made.
    Row(
        "emission-uniformity-low",
        CAUTION,
        plot(bed(outlets=outlets({**STEADY, "variation": 0.1}, count=2))),
        plot(bed(outlets=outlets({**STEADY, "variation": 0.1}, count=1))),
        where="zone",
        value=87.3,
        limit=90,
    ),
    Row(
        "manufacturing-variation",
        NOTE,
        plot(bed(outlets=outlets({**STEADY, "variation": 0.071}))),
        plot(bed(outlets=outlets({**STEADY, "variation": 0.070}))),
        where="zone",
        value=0.071,
        limit=0.07,
    ),
    Row(
        "outlet-kinds-mixed",
        CAUTION,
        plot(bed(outlets=[{"at": 10, "emitter": STEADY}, {"at": 20, "emitter": {**STEADY, "flow": 2}}])),
        plot(bed(outlets=[{"at": 10, "emitter": STEADY}, {"at": 20, "emitter": {**STEADY, "flow": 1.2}}])),
        where="zone",
        value=2,
        limit=1,
    ),
    # 1 gph to 2 ft by 3 ft of ground are 231 in³ on 864 in², 0.2674 in an hour; 2 gph give twice that, or as much where
    # they stand twice as far apart.
    Row(
        "outlet-kinds-mixed",
        CAUTION,
        plot(*level_header(strip("few", 1, 2), strip("much", 2, 2))),
        plot(*level_header(strip("few", 1, 2), strip("much", 2, 4))),
        where="zone",
        value=2 * 231 / 864,
        limit=231 / 864,
    ),
    Row(
        "outlet-kinds-mixed",
        CAUTION,
        plot(*level_header(strip("few", 1, 2), strip("many", 1.01, 1))),
        plot(*level_header(strip("few", 1, 2), strip("many", 1.01, 1, apart=6))),
        where="zone",
        value=2.02 * 231 / 864,
        limit=231 / 864,
    ),
    Row(
        "lateral-long",
        NOTE,
        plot(bed(pipe=TUBING, length=101)),
        plot(bed(pipe=TUBING, length=100)),
        value=101,
        limit=100,
    ),
    Row(
        "lateral-long",
        NOTE,
        plot(bed(pipe="dripline-17mm", length=301, outlets=outlets("inline-compensating-0.6gph", 1))),
        plot(bed(pipe="dripline-17mm", length=300, outlets=outlets("inline-compensating-0.6gph", 1))),
        value=301,
        limit=300,
    ),
    Row(
        "centre-feed",
        NOTE,
        plot(*level_header(lateral("left", 30), lateral("right", 41))),
        plot(*level_header(lateral("left", 30), lateral("right", 39))),
        where="header",
        value=41,
        limit=40,
    ),
    # Of a rise over 60 ft the last outlet, at 59 ft, stands 59/60 higher.
    Row(
        "centre-feed",
        NOTE,
        plot(*level_header(lateral("left", 30), lateral("right", 41))),
        plot(*level_header({**lateral("left", 30), "closes_to": {"run": "right", "at": 41}}, lateral("right", 41))),
        where="header",
    ),
    Row("uphill-feed", NOTE, plot(bed(rise=3.1)), plot(bed(rise=3.0)), value=3.1 * 59 / 60 * 0.4328),
    Row("air-relief", NOTE, plot(bed(rise=-3.05)), plot(bed(rise=-3)), value=3.05),
    Row("slope-placing", NOTE, plot(bed(rise=-1.3)), plot(bed(rise=-1.1)), value=100 * 1.3 / 60),
    # 200 ft of 0.824 in bore hold 5.54 gal above the lowest outlet, 60 ft 1.66 gal; the zone takes 0.5 gpm.
    Row(
        "drain-back",
        NOTE,
        plot(
            {"id": "feed", "pipe": "pvc-sch40-0.75in", "length": 200},
            bed(rise=-0.9, **{"from": "feed"}),
        ),
        plot(
            {"id": "feed", "pipe": "pvc-sch40-0.75in", "length": 200},
            bed(rise=-0.9, outlets=outlets({**STEADY, "closing_pressure": 2}), **{"from": "feed"}),
        ),
        where="zone",
    ),
    Row(
        "drain-back",
        NOTE,
        plot(bed(rise=-0.9), run_time=30),
        plot(bed(rise=-0.9), run_time=60),
        where="zone",
    ),
    # Water stands 18 ft above the last outlet, 7.79 psi: outlets that close at 7.8 keep it, at 6 not all of it. The
    # 1.66 gal of the pipe run to the outlets of the lowest 3 ft, five or six, which give 1 gph each.
    Row(
        "drain-back",
        NOTE,
        plot(bed(rise=-18), run_time=120),
        plot(bed(rise=-18, outlets=outlets({**STEADY, "closing_pressure": 7.8})), run_time=120),
        where="zone",
    ),
    Row(
        "drain-back",
        NOTE,
        plot(bed(rise=-18, outlets=outlets({**STEADY, "closing_pressure": 6})), run_time=30),
        plot(bed(rise=-18, outlets=outlets({**STEADY, "closing_pressure": 6})), run_time=600),
        where="zone",
    ),
    # Polyethylene grows 1 % in 50 K, so half a percent in the 25 K reckoned with: 6 in from 100 ft on.
    Row("surface-tubing", NOTE, plot(bed(pipe=TUBING, length=101)), plot(bed(pipe=TUBING, length=99)), value=0.505),
    Row(
        "surface-tubing",
        NOTE,
        plot(bed(pipe=TUBING, length=101)),
        plot(bed(pipe={**TUBING, "material": "pvc"}, length=101)),
    ),
    Row(
        "alike-left-out",
        NOTE,
        plot(
            bed(),
            head=[*OPEN_HEAD, *({"device": "other", "name": f"tap {n}"} for n in range(MOST_ALIKE + 1))],
            supply={"static_pressure": 64},
        ),
        plot(
            bed(),
            head=[*OPEN_HEAD, *({"device": "other", "name": f"tap {n}"} for n in range(MOST_ALIKE))],
            supply={"static_pressure": 64},
        ),
        where="zone",
        value=MOST_ALIKE + 1,
        limit=MOST_ALIKE,
    ),
]


def named(row: Row) -> str:
    return f"{row.code}-{row.severity}"


ASKED: dict[int, CheckAnswer] = {}


def asked(zone: Json) -> CheckAnswer:
    """The answer for a zone of the table, worked out once for all tests."""
    if id(zone) not in ASKED:
        ASKED[id(zone)] = ask(zone)
    return ASKED[id(zone)]


def found(zone: Json, code: str, severity: Severity) -> list[Finding]:
    return [finding for finding in asked(zone).findings if (finding.code, finding.severity) == (code, severity)]


@pytest.mark.parametrize("row", ROWS, ids=named)
def test_a_zone_brings_it_about_and_its_near_twin_does_not(row):
    brought = [finding for finding in found(row.zone, row.code, row.severity) if finding.where == row.where]
    assert brought, [(finding.code, finding.severity, finding.where) for finding in asked(row.zone).findings]
    assert not [finding for finding in found(row.twin, row.code, row.severity) if finding.where == row.where]


@pytest.mark.parametrize("row", [row for row in ROWS if row.value is not None or row.limit is not None], ids=named)
def test_value_and_limit_are_those_reckoned_by_hand(row):
    finding = found(row.zone, row.code, row.severity)[0]
    for said, expected in ((finding.value, row.value), (finding.limit, row.limit)):
        if expected is not None:
            assert in_system(said, System.US) == pytest.approx(expected, rel=2e-3, abs=1e-9)


@pytest.mark.parametrize("system", System)
@pytest.mark.parametrize("row", ROWS, ids=named)
def test_the_message_tells_the_value_and_the_limit_in_the_callers_units(row, system):
    for finding in found(row.zone, row.code, row.severity):
        message = finding.message.said(system)
        assert message[0] != "{"
        assert "{" not in message
        assert finding.source
        for quantity in (finding.value, finding.limit):
            if quantity is not None and in_system(quantity, system) != 0:
                assert any(text in message for text in tellings(quantity, system)), (message, quantity)


def in_system(quantity: Measured | float | None, system: System) -> float:
    assert quantity is not None
    return from_si(quantity.value, quantity.dimension, system) if isinstance(quantity, Measured) else quantity


def tellings(quantity: Measured | float, system: System) -> list[str]:
    """A figure with three digits, or as many more as it takes to tell it from another."""
    if isinstance(quantity, Measured):
        return [quantity.said(system, digits) for digits in range(3, 8)]
    return [figure(quantity, digits) for digits in range(3, 8)]


def test_every_code_has_a_row():
    assert {row.code for row in ROWS} == set(CODES)


def test_usual_severities_are_those_of_the_list():
    assert {row.code: row.severity for row in reversed(ROWS)} == {code: usual for code, (usual, _) in CODES.items()} | {
        "flow-variation": CAUTION,
    }


def test_the_plot_that_works_has_nothing_to_find():
    answer = ask(plot())
    assert answer.findings == []
    assert answer.verdict is Verdict.PASS


@pytest.mark.parametrize("row", ROWS, ids=named)
def test_the_verdict_follows_from_the_findings(row):
    answer = asked(row.zone)
    severities = {finding.severity for finding in answer.findings}
    worst = next(severity for severity in (FAIL, CAUTION, NOTE) if severity in severities)
    assert answer.verdict == {FAIL: Verdict.FAIL, CAUTION: Verdict.CAUTION, NOTE: Verdict.PASS}[worst]
    assert answer.verdict is verdict(answer.findings)
    ranks = [(FAIL, CAUTION, NOTE).index(finding.severity) for finding in answer.findings]
    assert ranks == sorted(ranks)


@pytest.mark.parametrize("row", ROWS, ids=named)
def test_a_finding_is_about_a_run_by_its_address_a_device_by_its_name_or_the_whole(row):
    answer = asked(row.zone)
    devices = {one.get("name", one["device"].replace("_", " ")) for one in row.zone["head"]}
    places = {"zone", "head", "supply", "water", "water meter", "service line"}
    assert {one.where for one in answer.findings} <= {run.run for run in answer.runs} | devices | places


def test_findings_name_runs_by_the_address_of_one_of_them():
    """Copies within copies that are too long, on a slope, on tubing and unlike in length."""
    rows = {"from": "header", "from_at": 1, "copies": {"count": 2, "apart": 3}}
    zone = plot(
        {"id": "feed", "pipe": "pvc-sch40-0.75in", "length": 20},
        {
            "id": "header",
            "from": "feed",
            "from_at": 5,
            "pipe": "pe-0.75in",
            "length": 10,
            "copies": {"count": 2, "apart": 9},
        },
        bed(id="long", pipe=TUBING, length=120, rise=4, **rows),
        bed(id="short", pipe=TUBING, length=50, **rows),
    )
    found = {finding.code: finding for finding in ask(zone).findings}
    where = {code: found[code].where for code in ("lateral-long", "slope-placing", "surface-tubing", "centre-feed")}
    assert where.pop("centre-feed") == "header:1"
    assert where == dict.fromkeys(where, "header:1/long:1") | {"lateral-long": found["lateral-long"].where}
    assert where["lateral-long"] == "header:2/long:2"
    assert all(found[code].where in found[code].message.said(System.US) for code in where)


CRITERIA = [
    ("flow-variation", plot(bed(rise=-5, outlets=outlets(LOOSE))), {"flow_variation": 2}),
    ("emission-uniformity-low", plot(), {"emission_uniformity": 97}),
    ("outlet-margin-small", plot(), {"pressure_margin": 20}),
    ("velocity-high", plot(), {"velocity": 0.2}),
    ("flushing-slow", plot(), {"flushing_velocity": 60}),
    ("meter-flow-high", plot(supply={"static_pressure": 80, "meter_size": "0.75in"}), {"meter_flow_share": 1}),
    ("meter-loss-high", plot(supply={"static_pressure": 80, "meter_size": "0.75in"}), {"meter_loss_share": 0}),
    ("filter-coarse", plot(), {"filter_opening_share": 1}),
]


@pytest.mark.parametrize(("code", "zone", "criteria"), CRITERIA, ids=[code for code, _, _ in CRITERIA])
def test_a_criterion_of_the_caller_decides_and_is_listed(code, zone, criteria):
    stricter = {**zone, "options": {"criteria": criteria}}
    assert code not in {finding.code for finding in ask(zone).findings}
    answer = ask(stricter)
    assert code in {finding.code for finding in answer.findings}
    assert {f"criteria.{name}" for name in criteria} <= {one.what for one in answer.assumed}


def test_no_findings_pass():
    assert verdict([]) is Verdict.PASS


def test_a_milder_criterion_for_the_caution_leaves_the_limit_that_fails():
    emitter = {"flow": 2, "at_pressure": 15, "exponent": 0.5}
    run = {"id": "row", "pipe": "tubing-0.5in-520-620", "length": 300, "outlets": {"emitter": emitter, "spacing": 2}}
    zone = {"supply": {"static_pressure": 30}, "runs": [run], "options": {"criteria": {"flow_variation": 60}}}
    found = {finding.code: finding for finding in check(Zone.model_validate(zone)).findings}
    assert found["flow-variation"].severity is Severity.FAIL


def test_of_very_many_alike_the_farthest_from_their_limit_are_told_and_those_without_one_come_last():
    def rule(case):
        for number in range(30):
            limit = None if number % 3 else pressure(2e5)
            yield say(
                "velocity-high", f"run-{number}", "Said.", {}, value=pressure(1e4 * number), limit=limit, source=""
            )

    *alike, left_out = judge(None, (rule,))
    assert [one.where for one in alike] == [
        f"run-{n}" for n in range(30) if n % 3 == 0 or n in (1, 2, 4, 5, 7, 8, 10, 11, 13, 14)
    ]
    assert (left_out.code, left_out.value, left_out.limit) == ("alike-left-out", 30.0, 20.0)
    assert left_out.message.said(System.US).startswith("30 findings of velocity-high were made; the 20 farthest")


NO_FIGURE = {
    "backflow-preventer-missing",
    "device-loss-unstated",
    "valve-after-vacuum-breaker",
    "backflow-curve-falls",
    "valve-range-unstated",
    "head-order",
    "vacuum-breaker-injection",
    "double-check-injection",
    "filter-type-unsuited",
    "lab-values-incomplete",
}
NO_LIMIT = {
    "no-flow",
    "uphill-feed",
    "air-relief",
    "slope-placing",
    "drain-back",
    "supply-untested",
    "regulator-set-high",
    "surface-tubing",
    "air-gap-in-line",
    "hydrogen-sulfide",
}
NO_VALUE = {"filter-missing"}
EITHER = {"vacuum-breaker-low"}
"""It has a value where the breaker's height is stated."""


@pytest.mark.parametrize("row", ROWS, ids=named)
def test_findings_carry_the_value_and_the_limit_that_there_are(row):
    for one in asked(row.zone).findings:
        if one.code not in EITHER:
            assert (one.value is None) == (one.code in NO_FIGURE | NO_VALUE), one.code
            assert (one.limit is None) == (one.code in NO_FIGURE | NO_LIMIT), one.code


@pytest.mark.parametrize("row", ROWS, ids=named)
def test_sentences_begin_and_end_as_sentences_do_and_nobody_shouts(row):
    answer = asked(row.zone)
    said = [(one.where, one.message) for one in answer.findings]
    said += [("", one.why) for one in answer.assumed] + [("", one.message) for one in answer.cautions]
    said += [("", reason) for reason in answer.regulator.reasons]
    for where, sentence in said:
        text = sentence.said(System.US)
        assert text.endswith("."), text
        assert text.startswith(where + " ") or text[0].isupper() or text[0].isdigit(), text
        assert not re.search(r"\b[A-Z]{6,}\b", text), text
        assert "XX" not in text


def test_digging_is_cautioned_against_where_pipe_or_a_service_line_is_buried():
    rigid, tubing = bed(), bed(pipe="tubing-0.5in-600-700")
    line = {"static_pressure": 64, "service_line": {"pipe": "pvc-sch40-1in", "length": 40}}

    def topics(zone: Json) -> set[str]:
        return {one.topic for one in ask(zone).cautions}

    assert "digging" in topics(plot(rigid))
    assert "digging" not in topics(plot(tubing))
    assert "digging" in topics(plot(tubing, supply=line))


@pytest.mark.parametrize(
    ("more", "tested"),
    [
        ({}, False),
        ({"flow_test": {"flow": 8, "residual_pressure": 51}}, True),
        ({"meter_size": "0.75in"}, True),
        ({"service_line": {"pipe": "pvc-sch40-1in", "length": 40}}, True),
    ],
)
def test_any_of_a_test_a_meter_and_a_service_line_says_how_the_supply_drops(more, tested):
    codes = {one.code for one in ask(plot(supply={"static_pressure": 64, **more})).findings}
    assert ("supply-untested" in codes) is not tested
