"""What holds for the thresholds of any zone."""

from __future__ import annotations

from copy import deepcopy
from itertools import pairwise

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from service.schemas.answers import CheckAnswer
from service.schemas.head_answers import Thresholds
from service.units.dimensions import System, from_si, to_si
from tests import strategies
from tests.advice.supplies import Json, ask, at_supply, least_supply, with_filter_due
from tests.advice.turns import TURNS

PROMISE = 0.05
"""Greatest error of a threshold. [psi]"""

LOOSE = to_si(0.01, "pressure", System.US)
"""What the search may be off by when thresholds are compared with one another. [Pa]"""

LOWEST = ("lowest_without_regulator", "works_with_regulator", "lowest_with_regulator")
HIGHEST = ("highest_without_regulator", "highest_shut_off")


@st.composite
def rated_zones(draw: st.DrawFn) -> Json:
    """Random zones, some of whose devices state a rating; water of a tank is at 68 °F, where a foot of it is known."""
    zone = {"head": [], **draw(strategies.zones())}
    for device in zone["head"]:
        rating = draw(st.sampled_from([None, 80, 120]))
        if rating is not None:
            device["max_pressure"] = rating
    if "water_level" in zone["supply"]:
        zone.pop("water", None)
    return zone


def thresholds_of(answer: CheckAnswer) -> Thresholds:
    return answer.regulator.thresholds


def pressure(answer: CheckAnswer, name: str) -> float | None:
    """A threshold in Pa, None where there is none."""
    found = getattr(thresholds_of(answer), name)
    return None if found is None else float(found.pressure)


def part_of(answer: CheckAnswer) -> str | None:
    """The regulator that its thresholds are met with, where the head has none."""
    return None if answer.regulator.suggestion is None else answer.regulator.suggestion.part


@settings(max_examples=40)
@given(rated_zones())
def test_a_check_to_either_side_of_each_threshold_tells_them_apart(zone):
    answer = ask(zone)
    for turn in TURNS:
        found = pressure(answer, turn.name)
        if found is None:
            continue
        at = from_si(found, "pressure", System.US)
        variant, turned = turn.head(with_filter_due(zone)), turn.turns(zone)
        if least_supply(variant) + PROMISE < at < 280:
            assert not turned(ask(at_supply(variant, at - PROMISE))), turn.name
            assert turned(ask(at_supply(variant, at + PROMISE))), turn.name


@settings(max_examples=60)
@given(rated_zones())
def test_less_is_needed_without_a_regulator_than_with_one_and_most_where_it_holds(zone):
    found = [value for name in LOWEST if (value := pressure(ask(zone), name)) is not None]
    assert all(less <= more + LOOSE for less, more in pairwise(found))


@settings(max_examples=30)
@given(rated_zones(), strategies.decimals(20, 100, 1))
def test_thresholds_are_the_zones_own_however_strong_its_supply(zone, other):
    assume(other > least_supply(zone))
    one, two = ask(zone), ask(at_supply(zone, other))
    assume(part_of(one) == part_of(two))  # one that would not hold, or burst, on a supply is not suggested for it
    for name in (*LOWEST, *HIGHEST):
        before, after = pressure(one, name), pressure(two, name)
        assert (before is None) == (after is None), name
        if before is not None and after is not None:
            assert abs(before - after) <= LOOSE, name


@settings(max_examples=30)
@given(rated_zones(), st.data())
def test_more_outlets_ask_for_more_supply_and_bear_no_less(zone, data):
    """T1: equal outlets added where one stands, without connection length, lower no pressure's distance from static."""
    more = deepcopy(zone)
    run = data.draw(st.sampled_from([run for run in more["runs"] if "outlets" in run]))
    places = run["outlets"] if isinstance(run["outlets"], list) else [run["outlets"]]
    place = data.draw(st.sampled_from(places))
    assume(not isinstance(place["emitter"], dict) or not place["emitter"].get("connection_length"))
    assume(not isinstance(place["emitter"], str))
    place["per_place"] = place.get("per_place", 1) + 1
    before, after = ask(zone), ask(more)
    assume(part_of(before) == part_of(after))
    for name in (*LOWEST[:2], *HIGHEST):
        old, new = pressure(before, name), pressure(after, name)
        if old is not None and new is not None:
            assert new >= old - LOOSE, name


@settings(max_examples=30)
@given(rated_zones())
def test_the_suggested_set_pressure_leaves_a_margin_at_both_ends_of_what_the_zone_tolerates(zone):
    regulator = ask(zone).regulator
    if regulator.suggestion is None or regulator.tolerates is None:
        assert regulator.suggested_set_pressure is None
        return
    own = any(device["device"] == "regulator" for device in zone["head"])
    assert regulator.suggestion.margin_below > -LOOSE
    assert regulator.suggestion.margin_above is None or regulator.suggestion.margin_above > -LOOSE
    if not own:
        assert regulator.tolerates.least <= regulator.suggestion.set_pressure
        assert regulator.suggestion.part in [one.part for one in regulator.suits]
