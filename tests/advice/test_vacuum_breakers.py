"""Vacuum breakers, also those inside a valve, against the highest pipe and the highest outlet beyond them.

Least heights of six inches and a foot: EPA Cross-Connection Control Manual and AWWA M14, from memory.
"""

from __future__ import annotations

import pytest

from service.schemas.answers import Severity
from service.units.dimensions import System
from tests.advice.supplies import Json, ask
from tests.zones.flower_plot import FILTER, PREVENTER, REGULATOR, STEADY, VALVE, bed, outlets, plot

SIPHON_FREE = {**VALVE, "name": "anti-siphon valve", "anti_siphon": True}


def found(zone: Json) -> dict[str, Severity]:
    """Findings about keeping zone water out of the supply, by code."""
    about = ("vacuum-breaker", "backflow-preventer", "valve-after")
    return {one.code: one.severity for one in ask(zone).findings if one.code.startswith(about)}


def by_valve(height: float | None, *after: Json, **changed: object) -> Json:
    valve = SIPHON_FREE if height is None else {**SIPHON_FREE, "height": height}
    return plot(bed(rise=0.9), head=[valve, *after, FILTER, REGULATOR], **changed)


def test_a_valve_that_holds_a_breaker_is_a_backflow_preventer():
    assert found(by_valve(1.5)) == {}
    assert "backflow-preventer-missing" in found(plot(head=[VALVE, FILTER, REGULATOR]))


@pytest.mark.parametrize(("height", "told"), [(1.39, Severity.FAIL), (1.41, None), (None, Severity.CAUTION)])
def test_its_breaker_stands_six_inches_above_all_beyond_it(height, told):
    assert found(by_valve(height)).get("vacuum-breaker-low") == told


def test_no_valve_stands_after_it_and_it_rests_within_twelve_hours():
    assert "valve-after-vacuum-breaker" in found(by_valve(1.5, VALVE))
    assert "vacuum-breaker-long-pressure" in found(by_valve(1.5, run_time=721))
    assert found(by_valve(1.5, run_time=719)) == {}


@pytest.mark.parametrize(("kind", "above"), [("atmospheric_vacuum_breaker", 0.5), ("pressure_vacuum_breaker", 1.0)])
def test_outlets_on_tubes_up_a_wall_count_where_they_stand(kind, above):
    """Tubes of 4 ft lift the outlets 3 ft above a level pipe."""
    tube = {"pipe": {"inside_diameter": 0.16, "material": "vinyl"}, "length": 4, "rise": 3}
    for short, told in ((0.01, True), (-0.01, False)):
        breaker = {**PREVENTER, "kind": kind, "height": 3 + above - short}
        head = [VALVE, breaker] if kind.startswith("atmospheric") else [breaker, VALVE]
        zone = plot(bed(outlets=outlets(STEADY, tube=tube)), head=[*head, FILTER, REGULATOR])
        assert ("vacuum-breaker-low" in found(zone)) is told


def test_how_high_it_must_stand_is_told():
    (low,) = [one for one in ask(by_valve(1)).findings if one.code == "vacuum-breaker-low"]
    told = low.message.said(System.US)
    assert told.startswith("The anti-siphon valve stands 0.1 ft above the highest pipe or outlet")
    assert "and some codes ask for 1 ft." in told
