"""Whether a regulator is wanted: every rule by a zone and an example, numbers by hand where a hand can."""

from __future__ import annotations

from copy import deepcopy

import pytest

from service.api import examples
from service.schemas.head_answers import Advice, RegulatorAnswer
from service.schemas.zone import Zone
from service.units.dimensions import System, from_si
from service.zones.advice import regulator_advice
from service.zones.check import check
from tests.advice.supplies import Json, ask, at_supply, without_regulators
from tests.zones.flower_plot import (
    FILTER,
    HEAD,
    LOOSE,
    PREVENTER,
    REGULATOR,
    STEADY,
    TESTED,
    VALVE,
    bed,
    gpm,
    outlets,
    plot,
    psi,
)

REQUIRED, RECOMMENDED, OPTIONAL = Advice.REQUIRED, Advice.RECOMMENDED, Advice.OPTIONAL
LEAVE_OUT, REWORK = Advice.LEAVE_OUT, Advice.REWORK_ZONE

UNREGULATED = [PREVENTER, VALVE, FILTER]


def of(zone: Json) -> RegulatorAnswer:
    return ask(zone).regulator


def reasons(answer: RegulatorAnswer) -> str:
    return "\n".join(reason.said(System.US) for reason in answer.reasons)


def set_at(pressure: float, **more: object) -> list[Json]:
    return [*UNREGULATED, {**REGULATOR, "set_pressure": pressure, **more}]


def dear(taken: float, **more: object) -> list[Json]:
    """The head with a preventer that loses so much [psi], and its regulator changed."""
    return [{**PREVENTER, "loss": {"fixed": taken}}, VALVE, FILTER, {**REGULATOR, **more}]


# The rules in the order in which they are tried. Each example is a file of openapi_examples/.
EXAMPLES = [
    ("crest-between-hollows", REQUIRED, "above the 50.9 psi from which the outlet at 50 ft of walk"),
    ("rose-bank-on-a-high-main", REWORK, "does not protect what stands before it (valve)"),
    ("dahlia-rows-end-to-end", REWORK, "Even without a regulator the zone needs 101 psi"),
    ("dahlia-rows-on-a-weak-main", LEAVE_OUT, "With a regulator the zone needs 40.5 psi"),
    ("long-line-from-its-centre", RECOMMENDED, "within 10 psi of the 70.7 psi"),
    ("low-pressure-with-regulator", LEAVE_OUT, "A regulator holds from 30.1 psi and the supply has 25 psi"),
    ("dahlia-rows", RECOMMENDED, "not below the 60 psi from which the trade fits a regulator"),
    ("pots-on-microtubes", RECOMMENDED, "Without a regulator outlets vary by 11.1 % in flow, with one by 9.0"),
    ("low-pressure-without-regulator", OPTIONAL, "works with a regulator and without one at 25 psi"),
]


@pytest.mark.parametrize(("name", "advice", "told"), EXAMPLES, ids=[name for name, _, _ in EXAMPLES])
def test_each_rule_has_an_example_that_says_why(name, advice, told):
    answer = of(examples.request(name))
    assert answer.advice is advice
    assert told in reasons(answer)


# The flower plot takes 0.5 gpm: 13 (0.5/8)^1.852 = 0.077 psi of the main, 8 of the preventer, (0.5/9)² = 0.003 of the
# valve, 4 (0.5/8)² = 0.016 of the filter and 3 when it is due, 5 (0.5/7)² = 0.026 of the regulator; the pipe, 60 ft of
# 0.824 in with 0.3 ft for each of 30 connections, less than 0.05 psi. Emitters work from 8 to 50 psi.
BEFORE_CLEAN = 0.077 + 8 + 0.003 + 0.016
BY_HAND = {
    "lowest_without_regulator": 8 + BEFORE_CLEAN + 3,
    "works_with_regulator": 8 + BEFORE_CLEAN + 3 + 0.026,
    "lowest_with_regulator": 25 + BEFORE_CLEAN + 3 + 0.026,
    "highest_without_regulator": 50 + BEFORE_CLEAN,
}


@pytest.mark.parametrize(("name", "expected"), BY_HAND.items())
def test_thresholds_of_the_flower_plot_are_those_reckoned_by_hand(name, expected):
    found = getattr(of(plot()).thresholds, name)
    assert psi(found.pressure) == pytest.approx(expected, abs=0.06)
    assert psi(found.pressure) - expected > -0.002  # friction comes on top


# One rule after another as the supply of the flower plot rises; S against the numbers above. The rule of thumb never
# speaks here, for H - S < 10 psi comes before it. Without a rating nothing limits the supply with the flow shut off.
LADDER = [
    (18.9, REWORK),
    (19.11, LEAVE_OUT),
    (30, LEAVE_OUT),
    (36.3, OPTIONAL),
    (47.9, OPTIONAL),
    (48.3, RECOMMENDED),
    (58, RECOMMENDED),
    (58.3, REQUIRED),
    (150, REQUIRED),
]


@pytest.mark.parametrize(("supply", "advice"), LADDER)
def test_the_first_rule_that_matches_wins_as_the_supply_rises(supply, advice):
    assert of(at_supply(plot(), supply)).advice is advice


def test_from_60_psi_up_the_trade_fits_one_where_nothing_else_decides():
    """Common practice, no source."""
    strong = bed(outlets=outlets({**STEADY, "pressure_range": [8, 120]}))
    low, high = (of(at_supply(plot(strong), supply)) for supply in (59.9, 60))
    assert (low.advice, high.advice) == (OPTIONAL, RECOMMENDED)
    assert psi(high.thresholds.common_practice.pressure) == pytest.approx(60)


def test_emission_uniformity_that_only_a_regulator_brings_about_recommends_one():
    """The criterion of the caller lies between what the outlets reach without a regulator and with one."""
    zone = deepcopy(examples.request("pots-on-microtubes"))
    zone["runs"][0]["length"] = 200
    zone["supply"] = {"static_pressure": 31, "flow_test": {"flow": 8, "residual_pressure": 25}}
    reached = [ask(each).uniformity.emission_uniformity for each in (without_regulators(zone), zone)]
    zone["options"] = {"criteria": {"emission_uniformity": sum(reached) / 2}}
    answer = of(zone)
    assert answer.advice is RECOMMENDED
    assert "Without a regulator emission uniformity is" in reasons(answer)


def test_a_part_before_the_regulator_is_not_guarded_by_it():
    weak = {**VALVE, "max_pressure": 60}
    before, after = ([PREVENTER, weak, FILTER, REGULATOR], [PREVENTER, FILTER, REGULATOR, weak])
    assert of(plot(head=before)).advice is REWORK
    assert of(plot(head=after)).advice is REQUIRED


def test_a_first_regulator_guards_what_stands_between_it_and_the_last():
    weak, first = {**VALVE, "max_pressure": 60}, {**REGULATOR, "set_pressure": 55}
    assert of(plot(head=[PREVENTER, first, weak, FILTER, REGULATOR])).advice is REQUIRED


def test_a_meter_above_its_rating_is_not_helped_by_a_regulator():
    answer = of(plot(supply={"static_pressure": 151, "meter_size": "0.75in"}))
    assert answer.advice is REWORK
    assert "water meter" in reasons(answer)


def test_no_regulator_helps_where_what_one_outlet_needs_another_does_not_stand():
    steep = bed(rise=-50, length=120, outlets=outlets({**STEADY, "pressure_range": [8, 20]}))
    answer = of(plot(steep, supply={"static_pressure": 40}))
    assert answer.advice is REWORK
    assert answer.suggestion is None
    assert answer.suits == []
    assert "No regulator leaves the outlets enough without overloading a part" in reasons(answer)
    assert "something there stands less" not in reasons(answer)  # the head has a regulator of its own


# The head's own regulator suits no supply: set too low to feed the outlets, or too high for them.
UNSUITABLE = [
    (plot(head=set_at(7)), "set at 7 psi, which is too little for the 8.01 psi that the zone inlet needs"),
    (plot(head=set_at(52)), "set at 52 psi, which puts 2 psi more"),
]


@pytest.mark.parametrize(("zone", "told"), UNSUITABLE)
def test_where_the_heads_regulator_suits_no_supply_both_set_pressures_are_named(zone, told):
    answer = of(zone)
    assert told in reasons(answer)
    assert answer.suggested_set_pressure is not None
    assert psi(answer.suggested_set_pressure) == pytest.approx(15)
    assert "the advice is for one set at 15 psi" in reasons(answer)


def test_its_thresholds_stay_those_of_the_heads_regulator_while_the_advice_goes_by_the_other():
    answer = of(plot(head=set_at(7)))
    assert answer.thresholds.works_with_regulator is None
    assert answer.advice is REQUIRED  # by the one set at 15 psi: 64 psi are more than the outlets stand


# Where the rule of thumb and the computation disagree both numbers are told.
DISAGREEING = [
    (at_supply(plot(), 58.3), "do without one below 60 psi; computed, this zone bears no more than 58.1 psi"),
    (plot(head=set_at(49)), None),
    (plot(head=dear(50, loss={"fixed": 3})), "computed, the zone needs 64.1 psi with one"),
    (plot(head=dear(60)), "computed, the zone needs 71.1 psi even without one"),
    (plot(head=dear(40)), "computed, one holds from 68.1 psi only"),
    (plot(head=[PREVENTER, {**VALVE, "max_pressure": 60}, FILTER]), "one does not help a zone that bears 58.1 psi"),
    (examples.request("pots-on-microtubes"), "below 60 psi; computed, at 32 psi it takes one to water evenly"),
]


@pytest.mark.parametrize(("zone", "told"), DISAGREEING)
def test_where_the_rule_of_thumb_and_the_computation_disagree_both_numbers_are_told(zone, told):
    said = reasons(of(zone))
    assert ("rule of thumb" in said) == (told is not None)
    assert told is None or told in said


def test_a_threshold_that_does_not_exist_is_left_out_with_a_reason():
    free = bed(
        pipe={"inside_diameter": 0.8, "material": "pe"},
        outlets=outlets({"flow": 1, "at_pressure": 15, "exponent": 0.5}),
    )
    answer = of(plot(free))
    assert answer.thresholds.highest_without_regulator is None
    assert answer.thresholds.highest_shut_off is None
    assert "No part states a greatest pressure" in reasons(answer)
    assert "shut off there is no highest one" in reasons(answer)
    starved = of(plot(head=set_at(7)))
    assert starved.thresholds.works_with_regulator is None
    assert starved.thresholds.lowest_with_regulator is None


def test_a_zone_that_no_pressure_feeds_says_so():
    """Three thousand feet of a tenth of an inch: 580 psi, the most that is tried, is not enough for its far end."""
    thread = bed(pipe={"inside_diameter": 0.1, "material": "pe"}, length=3000, outlets=outlets(STEADY, 30))
    answer = of(plot(thread))
    assert answer.advice is REWORK
    assert answer.thresholds.lowest_without_regulator is None
    assert "No supply pressure gives every outlet its minimum: shorten or divide its lines" in reasons(answer)
    assert "so there is no lowest one" in reasons(answer)


def test_a_regulator_behind_one_set_lower_never_holds():
    first = {**REGULATOR, "set_pressure": 15}
    answer = of(at_supply(plot(head=[PREVENTER, VALVE, FILTER, first, REGULATOR]), 40))
    assert answer.thresholds.works_with_regulator is not None
    assert answer.thresholds.lowest_with_regulator is None
    assert answer.advice is LEAVE_OUT
    assert "would not hold on any supply, for one before it is set lower" in reasons(answer)
    assert "never holds its 25 psi, for one before it is set lower" in reasons(answer)


def test_a_zone_too_large_for_the_catalogue_says_so():
    """Thirty emitters of 120 gph take 60 gpm; the largest regulators are made for 20."""
    large = bed(pipe={"inside_diameter": 4, "material": "pvc"}, outlets=outlets({**STEADY, "flow": 120}))
    answer = of(plot(large, supply={"static_pressure": 64}, head=[]))
    assert answer.suits == []
    assert answer.suggestion is None
    assert "One set from 8" in reasons(answer)
    assert "and made for 60 gpm would suit: of the catalogue none set so is made for that." in reasons(answer)


def test_too_much_without_a_regulator_and_too_little_with_one_is_a_zone_to_rework():
    """Emitters of 8 to 12 psi stand 12 + 8.1 of supply at most; behind a regulator that loses 10 they need 29.1."""
    narrow = bed(outlets=outlets({**STEADY, "pressure_range": [8, 12]}))
    answer = of(at_supply(plot(narrow, head=set_at(10, loss={"fixed": 10})), 25))
    assert answer.advice is REWORK
    assert "With a regulator the zone needs 29.1 psi, which the supply does not have" in reasons(answer)


def test_an_assumed_maximum_only_cautions_and_sets_no_highest_pressure():
    assumed = bed(outlets=outlets({"flow": 1, "at_pressure": 15, "exponent": 0.5}))
    answer = ask(plot(assumed, head=UNREGULATED))
    # Of the parts only the pipe states what it bears: 480 psi (3/4 in Schedule 40 PVC), far above the assumed 30.
    highest = answer.regulator.thresholds.highest_without_regulator
    assert highest is not None
    assert psi(highest.pressure) > 400
    assert {f.severity for f in answer.findings if f.code == "outlet-pressure-high"} == {"caution"}


# ---- which one ----


def test_the_tolerated_set_pressures_are_those_of_the_outlets():
    tolerates = of(plot()).tolerates
    assert tolerates is not None
    assert psi(tolerates.least) == pytest.approx(8, abs=0.06)
    assert tolerates.most is not None
    assert psi(tolerates.most) == pytest.approx(50, abs=0.06)


def test_those_that_suit_are_set_within_the_range_and_made_for_the_flow():
    suits = of(plot()).suits
    assert {round(psi(one.set_pressure)) for one in suits} == {10, 15, 20, 25, 30, 40, 50}
    assert all(one.least_flow is None or gpm(one.least_flow) <= 0.5 for one in suits)
    assert not [one.part for one in suits if one.part.startswith("regulator-high")]  # from 2 gpm only


def test_the_suggestion_is_the_lowest_that_leaves_two_psi_at_both_ends():
    answer = of(plot(head=UNREGULATED))
    assert answer.suggestion is not None
    assert answer.suggestion.part == "regulator-low-15psi"
    assert psi(answer.suggestion.margin_below) == pytest.approx(15 - 8, abs=0.06)
    tighter = of({**plot(head=UNREGULATED), "options": {"criteria": {"pressure_margin": 5}}})
    assert tighter.suggestion is not None
    assert psi(tighter.suggestion.set_pressure) == pytest.approx(15)


def test_outlets_that_follow_the_pressure_are_given_the_flow_they_are_rated_for():
    loose = {"flow": 1, "at_pressure": 30, "exponent": 0.5, "pressure_range": [8, 50]}
    answer = of(plot(bed(outlets=outlets(loose)), head=UNREGULATED))
    assert answer.suggested_set_pressure is not None
    assert psi(answer.suggested_set_pressure) == pytest.approx(30)


def test_the_heads_own_regulator_is_kept_where_it_suits():
    answer = of(plot())
    assert answer.suggestion is not None
    assert (answer.suggestion.part, round(psi(answer.suggestion.set_pressure))) == ("regulator", 25)


def test_a_low_flow_zone_on_a_high_flow_regulator_is_told_which_to_take():
    answer = of(plot(head=set_at(25, flow_range=[2, 20])))
    assert "passes 0.5 gpm and is made for 2 gpm to 20 gpm: take one for low flow, such as regulator-low" in reasons(
        answer
    )
    assert answer.suggestion is not None
    assert answer.suggestion.part.startswith("regulator-low")


def test_a_margin_and_a_supply_to_hold_from_stand_beside_each_one():
    for one in of(plot()).suits:
        assert psi(one.margin_below) == pytest.approx(psi(one.set_pressure) - 8, abs=0.06)
        assert one.margin_above is not None
        assert psi(one.margin_above) == pytest.approx(50 - psi(one.set_pressure), abs=0.06)
        assert one.holds_from is not None
        assert psi(one.holds_from) == pytest.approx(psi(one.set_pressure) + BEFORE_CLEAN + 3, abs=0.1)


def test_one_that_would_hold_on_a_weak_supply_is_the_one_suggested():
    answer = of(at_supply(plot(head=set_at(40)), 36))
    assert answer.advice is LEAVE_OUT
    assert answer.suggestion is not None
    assert answer.suggestion.part == "regulator-low-15psi"
    assert "Or take the regulator-low-15psi, which would hold." in reasons(answer)
    assert "regulator-low-15psi set at 15 psi is 6.99 psi above what the outlets need" in reasons(answer)


def test_the_heads_own_is_kept_where_none_would_hold():
    answer = of(at_supply(plot(head=set_at(40)), 20))
    assert answer.suggestion is not None
    assert answer.suggestion.part == "regulator"
    assert "Or take" not in reasons(answer)


# ---- several zones on one regulator ----


def test_flow_of_neighbours_passes_the_regulator_and_all_before_it_but_not_the_pipes():
    alone, shared = (of(plot(head=set_at(25, **more))) for more in ({}, {"shared_flow": 4}))
    assert gpm(shared.flow) == pytest.approx(4.5)
    # The main loses 13 (4.5/8)^1.852 = 4.475 psi, the valve 0.25, the filter 1.266 and the regulator 2.066 then.
    more = 4.475 + 0.25 + 1.266 + 2.066 - 0.077 - 0.003 - 0.016 - 0.026
    for name in ("works_with_regulator", "lowest_with_regulator"):
        difference = getattr(shared.thresholds, name).pressure - getattr(alone.thresholds, name).pressure
        assert psi(difference) == pytest.approx(more, abs=0.01)


def test_flow_left_through_the_regulator_ends_at_its_range_or_where_it_lets_go():
    by_range, by_pressure = of(plot(head=set_at(25, flow_range=[0.1, 3]))), of(at_supply(plot(), 40))
    assert by_range.flow_left is not None
    assert gpm(by_range.flow_left) == pytest.approx(3 - 0.5)
    assert by_pressure.flow_left is not None
    left = gpm(by_pressure.flow_left)
    holding = of(at_supply(plot(head=set_at(25, shared_flow=left - 0.05)), 40))
    let_go = of(at_supply(plot(head=set_at(25, shared_flow=left + 0.05)), 40))
    assert (holding.state, let_go.state) == ("holding", "not_holding")
    assert of(plot(head=UNREGULATED)).flow_left is None


# ---- by itself ----


@pytest.mark.parametrize("name", ["dahlia-rows", "quince-on-the-wall", "rain-tank"])
def test_the_advice_by_itself_is_the_block_of_the_check(name):
    zone = examples.request(name)
    alone, block = regulator_advice(Zone.model_validate(zone)), of(zone)
    assert {field: getattr(alone, field) for field in RegulatorAnswer.model_fields} == dict(block)


def test_the_suggested_regulator_is_listed_as_assumed_where_the_head_has_none():
    listed = [one for one in ask(plot(head=UNREGULATED)).assumed if one.what == "head.regulator"]
    assert len(listed) == 1
    assert "regulator-low" in listed[0].value.said(System.US)
    assert not [one for one in ask(plot()).assumed if one.what == "head.regulator"]


def test_advice_is_the_same_in_either_units():
    us, metric = of(examples.request("dahlia-rows")), deepcopy(examples.request("dahlia-rows-metric"))
    assert from_si(us.thresholds.common_practice.pressure, "pressure", System.METRIC) == pytest.approx(413.7, abs=0.1)
    assert of(metric).advice is us.advice


def test_every_head_of_the_ladder_is_the_same_but_for_its_regulator():
    assert without_regulators(plot())["head"] == UNREGULATED == HEAD[:-1]
    assert TESTED["flow_test"]["flow"] == 8


def test_a_zone_too_large_for_every_regulator_of_the_catalogue_is_told_to_ask_for_one():
    header = {"id": "header", "pipe": "pvc-sch40-2in", "length": 200}
    row = {
        "id": "row",
        "from": "header",
        "from_at": 2,
        "pipe": "dripline-17mm",
        "length": 90,
        "outlets": {"emitter": "inline-compensating-0.9gph", "spacing": 1},
        "copies": {"count": 20, "apart": 4},
    }
    answer = of({"supply": {"static_pressure": 85}, "runs": [header, row]})
    assert answer.advice is REQUIRED
    assert answer.suits == []
    # Behind a regulator 1800 emitters give their 0.9 gph: 27 gpm. At 85 psi they give more.
    assert "ask for one that suits, for the catalogue has none" in reasons(answer)
    assert "made for 27 gpm would suit: of the catalogue none set so is made for that" in reasons(answer)
    assert reasons(answer).count("would suit") == 1


def test_no_set_pressure_is_tolerated_that_lets_air_in_at_a_crest():
    """A crest 25 ft up and outlets 40 ft down: they are fed long before the crest stands above the air's pressure."""
    over = {"id": "over", "pipe": "pe-0.75in", "length": 200, "ground": [[0, 0], [60, 25], [200, -40]]}
    emitter = {"flow": 2, "at_pressure": 15, "exponent": 0.5}
    bed = {"id": "bed", "from": "over", "pipe": "pe-0.5in", "length": 40, "outlets": {"emitter": emitter, "spacing": 2}}
    zone = {"supply": {"static_pressure": 13}, "runs": [over, bed]}
    least = of(zone).tolerates.least
    for pressure, sucked in ((least - 400.0, True), (least + 400.0, False)):  # 0.06 psi
        supply = {"static_pressure": from_si(pressure, "pressure", System.US)}
        codes = [finding.code for finding in check(Zone.model_validate({**zone, "supply": supply})).findings]
        assert ("negative-pressure" in codes) is sucked


def test_a_threshold_says_whether_the_minimum_of_its_outlet_was_stated():
    unstated = {key: value for key, value in LOOSE.items() if key != "pressure_range"}
    for emitter, kind in ((STEADY, "stated"), (unstated, "assumed")):
        (decided,) = of(plot(bed(outlets=outlets(emitter)))).thresholds.lowest_without_regulator.decided_by
        assert decided.said(System.US).endswith(f"minimum {kind}")


def test_reasons_are_sentences_and_nothing_else():
    thread = bed(pipe={"inside_diameter": 0.1, "material": "pe"}, length=3000, outlets=outlets(STEADY, 30))
    told = [reason.said(System.US) for reason in of(plot(thread)).reasons]
    assert told[0].startswith("No supply pressure")
    assert all(reason[0].isupper() and reason.endswith(".") for reason in told)


def test_devices_that_bear_the_same_are_named_as_water_meets_them():
    names = ["first valve", "second valve", "third valve"]
    weak = [{"device": "valve", "name": name, "max_pressure": 40, "loss": {"fixed": 0}} for name in names]
    decided = of(plot(head=weak)).thresholds.highest_without_regulator.decided_by
    assert [part.said(System.US) for part in decided] == names
