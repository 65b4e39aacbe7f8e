"""What parts bear, and which of many sees most more than that."""

from __future__ import annotations

import re

import pytest

from service.schemas.answers import Finding
from service.units.dimensions import System
from tests.advice.supplies import FOOT_OF_WATER, Json, ask
from tests.zones.flower_plot import HEAD, STEADY, bed, outlets, plot, psi

WARM_LINE = {"inside_diameter": 0.8, "material": "pvc", "max_pressure": 200}
"""Rigid pipe for 200 psi. At 140 °F PVC keeps 0.22 of that: public data tables for PVC pipe, as in tests/parts."""


def found(zone: Json, code: str) -> Finding:
    return next(finding for finding in ask(zone).findings if finding.code == code)


def hillside(rise: float) -> Json:
    """Outlets from 20 ft below the zone inlet down a slope, of which the lowest bears least more; 60 of them."""
    feed = {"id": "feed", "pipe": "pvc-sch40-1in", "length": 100, "rise": -20}
    row = bed(**{"from": "feed", "length": 120, "rise": rise, "outlets": outlets(STEADY)})
    return plot(feed, row, head=[*HEAD[:-1], {**HEAD[-1], "set_pressure": 45}])


def test_of_more_overloaded_outlets_than_are_named_the_worst_is_told():
    """All 60 outlets see more than their 50 psi: 45 psi and 20 ft of water are 53.7. The last lies 30 ft lower yet."""
    zone = hillside(rise=-30)
    standing = 45 + FOOT_OF_WATER * (20 + 30 * 119 / 120) - 50  # 1 gpm then loses some tenths of a psi on the way
    told = found(zone, "regulator-set-high").message.said(System.US)
    assert "the outlet at 119 ft of bed sees" in told
    reason = "\n".join(one.said(System.US) for one in ask(zone).regulator.reasons)
    puts = re.search(r"puts (\S+) psi more on the outlet at 119 ft of bed", reason)
    assert puts is not None
    assert standing - 0.5 < float(puts[1]) < standing
    first = "\n".join(one.said(System.US) for one in ask(hillside(rise=30)).regulator.reasons)
    assert "more on the outlet at 1 ft of bed" in first


def fed_through(water: Json) -> Json:
    feed = {"id": "feed", "pipe": WARM_LINE, "length": 50}
    line = {"pipe": WARM_LINE, "length": 20}
    supply = {"static_pressure": 90, "service_line": line}
    return plot(feed, bed(**{"from": "feed"}), supply=supply, water={"source": "municipal", **water}, head=[])


@pytest.mark.parametrize("water", [{"temperature": 140}, {"temperature": 60, "warmest_temperature": 140}])
def test_pipe_is_weakened_by_the_warmest_water_that_it_carries(water):
    """0.22 of 200 psi are 44: of the pipe in the zone, of the service line, and of a small tube."""
    answer = ask(fed_through(water))
    shut_off = answer.regulator.thresholds.highest_shut_off
    assert shut_off is not None
    assert psi(shut_off.pressure) == pytest.approx(44)
    assert {part.said(System.US) for part in shut_off.decided_by} == {"service line", "pipe of feed"}
    told = {one.where for one in answer.findings if "above its rating of 44 psi" in one.message.said(System.US)}
    assert told >= {"feed", "service line"}


def test_small_tube_is_weakened_by_the_warmest_water_too():
    tube = {"pipe": {**WARM_LINE, "inside_diameter": 0.16}, "length": 3}
    strong = {**STEADY, "pressure_range": [8, 200]}
    zone = plot(
        bed(outlets=outlets(strong, tube=tube)),
        supply={"static_pressure": 90},
        head=[],
        water={"source": "municipal", "temperature": 60, "warmest_temperature": 140},
    )
    assert "small tube" in found(zone, "pipe-pressure-high").message.said(System.US)
