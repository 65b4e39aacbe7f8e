"""Each threshold is where a finding of the plain check turns, found by trying supply pressures one after another."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from service.schemas.answers import CheckAnswer
from service.units.dimensions import System, from_si
from tests.advice.supplies import ask, at_supply, least_supply
from tests.advice.swept import SWEPT
from tests.advice.turns import TURNS, Turn

STEP, PROMISE = 0.1, 0.05
"""Step of the sweep, and how far from it a threshold may lie. [psi]"""

NEAR = 0.2
"""How far from a threshold every step is tried. [psi] All steps were tried once from end to end, to the same end."""

FAR = 37.3
"""Step of the sweep everywhere else, so that nothing turns twice. [psi]"""

HIGHEST = 280.0
"""Highest supply that a request may state, less a little. [psi]"""

NONE = {("tank", "works_with_regulator"), ("tank", "lowest_with_regulator")}
"""Thresholds that do not exist: the tank's zone stands 9 psi, and the catalogue sets no regulator below 10."""


@cache
def answer_of(zone: str) -> CheckAnswer:
    return ask(SWEPT[zone])


@cache
def threshold(zone: str, name: str) -> float | None:
    found = getattr(answer_of(zone).regulator.thresholds, name)
    return None if found is None else from_si(found.pressure, "pressure", System.US)


CASES = [(zone, turn) for zone in SWEPT for turn in TURNS]


@pytest.mark.parametrize(("name", "turn"), CASES, ids=[f"{zone}-{turn.name}" for zone, turn in CASES])
def test_the_finding_turns_in_the_step_that_holds_the_threshold(name: str, turn: Turn) -> None:
    at = threshold(name, turn.name)
    assert (at is None) == ((name, turn.name) in NONE)
    if at is None:
        return
    zone, turned = turn.head(SWEPT[name]), turn.turns(SWEPT[name])
    least = least_supply(zone)
    nearest = round(at / STEP) * STEP
    near = nearest + STEP * np.arange(round(-NEAR / STEP), round(NEAR / STEP) + 1)
    far = np.arange(least, HIGHEST, FAR)
    tried = [p for p in sorted({*near.round(4).tolist(), *far.tolist()}) if least <= p <= HIGHEST]
    found = [turned(ask(at_supply(zone, pressure))) for pressure in tried]
    assert found == sorted(found), "it turns once"
    below = max((p for p, turned in zip(tried, found, strict=True) if not turned), default=-np.inf)
    above = min((p for p, turned in zip(tried, found, strict=True) if turned), default=np.inf)
    assert below - PROMISE <= at <= above + PROMISE
    assert above - below < 1.5 * STEP, "the turn lies among the small steps"
