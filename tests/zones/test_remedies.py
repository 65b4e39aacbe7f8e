"""What a finding says to do follows from what causes it, and agrees with what the advice on regulators says."""

from __future__ import annotations

import pytest

from service.units.dimensions import System
from tests.zones.flower_plot import HEAD, LOOSE, PREVENTER, STEADY, VALVE, Json, ask, bed, outlets, plot

TUBING = {"inside_diameter": 0.6, "material": "pe"}

LONG = bed(pipe=TUBING, length=1500, outlets=outlets(STEADY, 5))


def said(zone: Json, code: str) -> str:
    return next(one.message.said(System.US) for one in ask(zone).findings if one.code == code)


def tall(rise: float) -> Json:
    """A bed at the valve and one so far above it [ft], regulated to leave the upper one 12 psi."""
    up = {"id": "up", "pipe": "pvc-sch40-0.75in", "length": 2 * rise, "rise": rise}
    regulator = {**HEAD[-1], "set_pressure": 12 + 0.4328 * rise}
    supply = {"static_pressure": 150, "flow_test": {"flow": 8, "residual_pressure": 140}}
    return plot(up, bed(**{"from": "up"}), bed(id="low"), head=[*HEAD[:-1], regulator], supply=supply)


PRESSURES = [
    # Water at 68 °F presses 0.4328 psi a foot: 97 ft apart are as much as lies between 8 and 50 psi.
    ("tall", tall(110), "outlet-pressure-high", "No one pressure suits outlets at such different heights"),
    ("not so tall", tall(90), "outlet-pressure-high", "Fit a regulator, or one with a lower set pressure"),
    ("uphill", plot(bed(rise=41)), "outlet-pressure-low", "the zone inlet has 25 psi and the outlet stands 40.3 ft"),
    ("weak", plot(supply={"static_pressure": 7}, head=[]), "outlet-pressure-low", "the zone inlet has only 7 psi"),
    ("long", plot(LONG), "outlet-pressure-low", "Shorten or divide the line"),
    ("long and strong", plot(LONG, head=[PREVENTER, VALVE]), "outlet-pressure-high", "then regulate"),
]


@pytest.mark.parametrize(("zone", "code", "remedy"), [row[1:] for row in PRESSURES], ids=[row[0] for row in PRESSURES])
def test_what_to_do_about_pressure_depends_on_what_takes_it(zone, code, remedy):
    assert remedy in said(zone, code)


EVENNESS = [
    ("a hill", plot(bed(rise=-15, outlets=outlets(LOOSE))), "flow-variation", "Heights make most of it"),
    ("a hill", plot(bed(rise=-40, outlets=outlets(LOOSE))), "emission-uniformity-low", "Heights make most of it"),
    ("friction", plot(bed(pipe=TUBING, length=400, outlets=outlets(LOOSE))), "flow-variation", "Shorten the laterals"),
    ("starved", plot(bed(rise=50)), "flow-variation", "Some are outside the 8 psi to 50 psi in which they compensate"),
    # 1 - 1.27 Cv is 0.8984 for a Cv of 0.08.
    (
        "as made",
        plot(bed(outlets=outlets({**STEADY, "variation": 0.08}))),
        "emission-uniformity-low",
        "they reach 89.8 % at best",
    ),
]


@pytest.mark.parametrize(("zone", "code", "remedy"), [row[1:] for row in EVENNESS], ids=[row[0] for row in EVENNESS])
def test_what_to_do_about_uneven_outlets_depends_on_what_makes_them_so(zone, code, remedy):
    assert remedy in said(zone, code)


ADVICE = [
    ("long", plot(LONG), "shorten or divide its lines"),
    ("weak", plot(supply={"static_pressure": 7}, head=[]), "raise the pressure, take less of it in the head"),
    ("tall", tall(110), "split it by height"),
]


@pytest.mark.parametrize(("zone", "remedy"), [row[1:] for row in ADVICE], ids=[row[0] for row in ADVICE])
def test_the_advice_on_regulators_says_to_do_the_same(zone, remedy):
    assert remedy in " ".join(reason.said(System.US) for reason in ask(zone).regulator.reasons)


def test_a_clean_filter_is_spoken_of_only_where_there_is_one_to_soil():
    zone = bed(outlets=outlets({**STEADY, "pressure_range": [8, 20]}))
    assert "25 psi with a clean filter, above" in said(plot(zone), "outlet-pressure-high")
    assert "clean filter" not in said(plot(zone, head=[PREVENTER, VALVE]), "outlet-pressure-high")


def test_a_vacuum_breaker_below_an_outlet_stands_no_negative_height_above_it():
    breaker = {"device": "backflow_preventer", "kind": "pressure_vacuum_breaker", "height": 1, "loss": {"fixed": 3}}
    assert "stands 2 ft below the highest pipe" in said(plot(bed(rise=3), head=[breaker]), "vacuum-breaker-low")
    assert "stands 0.5 ft above the highest pipe" in said(plot(bed(rise=0.5), head=[breaker]), "vacuum-breaker-low")


@pytest.mark.parametrize(
    ("supply", "state"),
    [({"static_pressure": 64}, "state a flow test, or the meter"), ({"water_level": 60}, "the pipe from the tank")],
)
def test_what_to_state_of_an_unlimited_supply_is_something_that_it_takes(supply, state):
    open_head = [{"device": "valve", "loss": {"fixed": 1}}]
    assert state in " ".join(
        reason.said(System.US) for reason in ask(plot(supply=supply, head=open_head)).supply.reasons
    )
