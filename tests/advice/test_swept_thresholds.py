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
"""How far from a threshold every step is tried in a quick run; a thorough one tries all of them. [psi]"""

FAR = 37.3
"""Step of the quick sweep everywhere else, so that nothing turns twice. [psi]"""

HIGHEST = 280.0
"""Highest supply that a request may state, less a little. [psi]"""

NONE = {("tank", "works_with_regulator"), ("tank", "lowest_with_regulator")}
"""Thresholds that do not exist: the tank's zone bears 9 psi, and the catalogue sets no regulator below 10."""


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
    _turns_once_at(at, tried, [turned(ask(at_supply(zone, pressure))) for pressure in tried])


@pytest.mark.thorough
@pytest.mark.parametrize("name", SWEPT)
def test_every_step_from_end_to_end_tells_the_same(name: str) -> None:
    for head in dict.fromkeys(turn.head for turn in TURNS):
        turns = [turn for turn in TURNS if turn.head is head and (name, turn.name) not in NONE]
        if not turns:
            continue
        zone = head(SWEPT[name])
        told = [turn.turns(SWEPT[name]) for turn in turns]
        tried = np.arange(least_supply(zone), HIGHEST, STEP).round(4).tolist()
        answers = (ask(at_supply(zone, pressure)) for pressure in tried)
        found = [[turned(answer) for turned in told] for answer in answers]
        for turn, column in zip(turns, zip(*found, strict=True), strict=True):
            at = threshold(name, turn.name)
            assert at is not None
            _turns_once_at(at, tried, list(column))


def _turns_once_at(at: float, tried: list[float], found: list[bool]) -> None:
    """What is found at the pressures tried turns once, in the small step that holds a threshold. [psi]"""
    assert found == sorted(found), "it turns once"
    below = max((p for p, turned in zip(tried, found, strict=True) if not turned), default=-np.inf)
    above = min((p for p, turned in zip(tried, found, strict=True) if turned), default=np.inf)
    assert below - PROMISE <= at <= above + PROMISE
    assert above - below < 1.5 * STEP, "the turn lies among the small steps"
