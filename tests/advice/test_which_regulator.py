"""Which regulator is suggested, and what is said where the head's own does not suit or the catalogue has none."""

from __future__ import annotations

import pytest

from service.schemas.head_answers import Advice, RegulatorAnswer
from service.units.dimensions import System
from tests.advice.supplies import Json, ask, at_supply
from tests.zones.flower_plot import FILTER, PREVENTER, REGULATOR, STEADY, VALVE, bed, gpm, outlets, plot, psi

UNREGULATED = [PREVENTER, VALVE, FILTER]


def of(zone: Json) -> RegulatorAnswer:
    return ask(zone).regulator


def reasons(answer: RegulatorAnswer) -> str:
    return "\n".join(reason.said(System.US) for reason in answer.reasons)


def set_at(pressure: float, **more: object) -> list[Json]:
    return [*UNREGULATED, {**REGULATOR, "set_pressure": pressure, **more}]


# ---- rated for the supply ----


def test_one_that_bears_the_supply_comes_before_one_that_does_not():
    """Low-flow regulators of the catalogue are rated 100 psi, those for medium flow 150."""
    weak, strong = (of(plot(supply={"static_pressure": static}, head=UNREGULATED)).suggestion for static in (99, 120))
    assert weak is not None
    assert strong is not None
    assert (weak.part, strong.part) == ("regulator-low-15psi", "regulator-medium-15psi")
    assert weak.part in [one.part for one in of(plot(supply={"static_pressure": 120}, head=UNREGULATED)).suits]


def test_the_suggested_one_is_assumed_and_its_thresholds_are_told():
    answer = ask(plot(supply={"static_pressure": 120}, head=UNREGULATED))
    (listed,) = [one for one in answer.assumed if one.what == "head.regulator"]
    assert "regulator-medium-15psi" in listed.value.said(System.US)
    holds = answer.regulator.thresholds.lowest_with_regulator
    assert holds is not None
    assert answer.regulator.suggestion is not None
    assert holds.pressure == pytest.approx(answer.regulator.suggestion.holds_from)


def test_where_none_bears_the_supply_that_is_not_left_unsaid():
    answer = of(plot(supply={"static_pressure": 170}, head=UNREGULATED))
    assert answer.suggestion is not None
    assert "less than the 170 psi of the supply: take one of a higher rating" in reasons(answer)
    assert "a higher rating" not in reasons(of(plot(supply={"static_pressure": 120}, head=UNREGULATED)))


def test_the_heads_own_gives_way_where_the_supply_is_above_its_rating():
    own = set_at(25, max_pressure=80)
    kept, replaced = (of(plot(supply={"static_pressure": static}, head=own)).suggestion for static in (79, 81))
    assert kept is not None
    assert replaced is not None
    assert (kept.part, replaced.part) == ("regulator", "regulator-low-15psi")


def test_one_behind_another_need_bear_only_what_that_lets_through():
    first = {**REGULATOR, "set_pressure": 60, "name": "first"}
    answer = of(plot(supply={"static_pressure": 90}, head=[PREVENTER, first, *set_at(25, max_pressure=80)[1:]]))
    assert answer.suggestion is not None
    assert answer.suggestion.part == "regulator"


# ---- between one that would do and another ----


def test_of_equal_set_pressures_the_one_made_for_about_the_flow_is_taken():
    """0.5 gpm lies five times above the least of the low-flow ones, 0.1 to 4, and at the very end of 0.5 to 7."""
    answer = of(plot(head=UNREGULATED))
    at_15 = [one.part for one in answer.suits if psi(one.set_pressure) == pytest.approx(15)]
    assert at_15 == ["regulator-low-15psi", "regulator-medium-15psi"]
    assert answer.suggestion is not None
    assert answer.suggestion.part == "regulator-low-15psi"
    larger = of(plot(bed(outlets=outlets({**STEADY, "flow": 6})), head=UNREGULATED))  # 3 gpm
    assert {"regulator-low-15psi", "regulator-medium-15psi"} <= {one.part for one in larger.suits}
    assert larger.suggestion is not None
    assert larger.suggestion.part == "regulator-medium-15psi"


def test_margin_above_is_taken_with_the_filter_clean_and_margin_below_with_it_due():
    """A filter after the regulator loses 4 (0.5/8)² psi clean and 3 more when due; outlets stand 8 to 50 psi."""
    answer = of(plot(head=[PREVENTER, VALVE, REGULATOR, FILTER]))
    assert answer.suggestion is not None
    assert answer.suggestion.part == "regulator"
    assert answer.suggestion.margin_above is not None
    assert psi(answer.suggestion.margin_above) == pytest.approx(50 - (25 - 0.0156), abs=0.06)
    assert psi(answer.suggestion.margin_below) == pytest.approx(25 - 0.0156 - 3 - 8, abs=0.06)


def test_what_others_draw_runs_through_the_suggested_one_too():
    """The head's own is made for 2 gpm; 4.5 run through it. The other loses 5 (4.5/7)² psi, were it for medium flow."""
    shared = set_at(25, flow_range=[0.5, 2], shared_flow=4)
    answer = of(plot(head=shared))
    assert answer.suggestion is not None
    assert answer.suggestion.part == "regulator-medium-15psi"
    # The main loses 13 (4.5/8)^1.852, the preventer 8, the valve (4.5/9)², the filter 4 (4.5/8)² and 3 when due.
    lost = 13 * (4.5 / 8) ** 1.852 + 8 + 0.25 + 4 * (4.5 / 8) ** 2 + 3 + 5 * (4.5 / 7) ** 2
    assert answer.suggestion.holds_from is not None
    assert psi(answer.suggestion.holds_from) == pytest.approx(15 + lost, abs=0.01)


def test_thresholds_at_the_suggestion_are_those_with_others_drawing_through_it():
    """The head's own suits no supply at 7 psi, so that the advice goes by the suggested one, which loses 2.07 psi."""
    answer = of(at_supply(plot(head=set_at(7, shared_flow=4)), 33))
    assert answer.suggestion is not None
    assert answer.advice is Advice.LEAVE_OUT
    assert answer.suggestion.holds_from is not None
    assert f"A regulator holds from {psi(answer.suggestion.holds_from):.3g} psi" in reasons(answer)


def test_one_that_leaves_too_little_in_hand_is_replaced_and_a_reason_says_by_how_little():
    """8 psi are needed and 50 borne; 2 should be in hand."""
    low, high = of(plot(head=set_at(9))), of(plot(head=set_at(49)))
    assert "The head's regulator leaves the zone 0.99 psi, where 2 psi should be in hand" in reasons(low)
    assert "The head's regulator is set 1 psi below the first overload" in reasons(high)
    for answer in (low, high):
        assert answer.suggestion is not None
        assert answer.suggestion.part == "regulator-low-15psi"
        assert "fit another regulator" in reasons(answer)


def test_a_regulator_above_an_assumed_maximum_is_replaced_with_a_reason():
    """Of an emitter rated at 15 psi without a range 30 psi are assumed to be the most."""
    loose = {"flow": 1, "at_pressure": 15, "exponent": 0.5, "passage": 0.05}
    answer = of(plot(bed(outlets=outlets(loose)), head=set_at(40)))
    assert "more on some part than it bears by what is assumed" in reasons(answer)
    assert answer.suggestion is not None
    assert psi(answer.suggestion.set_pressure) == pytest.approx(15)


# ---- the head's own for other flows ----


def test_no_water_says_nothing_of_flow_ranges():
    """A tank below the zone: nothing flows, and no part is to blame."""
    answer = ask(plot(supply={"water_level": -3}))
    assert "made for" not in reasons(answer.regulator)
    assert "device-flow-low" not in {finding.code for finding in answer.findings}
    assert "device-flow-low" in {finding.code for finding in ask(plot(head=set_at(25, flow_range=[2, 20]))).findings}


def test_a_regulator_is_judged_at_the_flow_while_it_holds():
    """On a weak main outlets that follow the pressure give less than the regulator is made for, but not at 25 psi."""
    loose = {"flow": 1, "at_pressure": 25, "exponent": 0.5, "pressure_range": [2, 50], "passage": 0.05}
    weak = plot(bed(outlets=outlets(loose)), head=set_at(25, flow_range=[0.4, 12]), supply={"static_pressure": 18})
    answer = of(weak)
    assert gpm(answer.flow) < 0.4
    assert "is made for" not in reasons(answer)


def test_one_for_other_flows_is_never_said_to_be_kept():
    """Seven others' gpm and the zone's half pass a regulator made for 0.5 to 7."""
    answer = of(plot(head=set_at(25, flow_range=[0.5, 7], shared_flow=7)))
    assert "passes 7.5 gpm and is made for 0.5 gpm to 7 gpm: take one for more flow, such as regulator-h" in reasons(
        answer
    )
    assert "fit another regulator" in reasons(answer)
    assert "eep the regulator" not in reasons(answer)


# ---- air ----

CREST = {"id": "over", "pipe": "pe-0.75in", "length": 200, "ground": [[0, 0], [60, 25], [200, -40]]}
LOW_BED = {
    "id": "bed",
    "from": "over",
    "pipe": "pe-0.5in",
    "length": 40,
    "outlets": {"emitter": {"flow": 2, "at_pressure": 15, "exponent": 0.5}, "spacing": 2},
}


def over_the_crest(set_pressure: float) -> Json:
    head = [{**REGULATOR, "set_pressure": set_pressure, "flow_range": [0.1, 8]}]
    return {"supply": {"static_pressure": 40}, "head": head, "runs": [CREST, LOW_BED]}


def test_a_regulator_that_lets_air_in_at_a_crest_suits_no_supply():
    low = ask(over_the_crest(8))
    assert "negative-pressure" in {finding.code for finding in low.findings}
    assert low.regulator.advice is not Advice.OPTIONAL
    assert "set at 8 psi, which lets air in at 60 ft of over: the zone inlet needs 10.9 psi" in reasons(low.regulator)
    assert low.regulator.suggestion is None
    assert "One set from 10.9 psi to 13 psi and made for 0.909 gpm" in reasons(low.regulator)
    assert "of the catalogue none is set so" in reasons(low.regulator)


def test_one_that_keeps_air_out_is_kept_and_told_by_how_much():
    high = ask(over_the_crest(12))
    assert "negative-pressure" not in {finding.code for finding in high.findings}
    assert high.regulator.suggestion is not None
    assert "above what it takes to keep air out" in reasons(high.regulator)
    assert high.regulator.tolerates is not None
    kept = psi(high.regulator.suggestion.margin_below + high.regulator.tolerates.least)
    assert kept == pytest.approx(12)


# ---- none in the catalogue ----


def test_no_such_setting_is_told_from_no_such_flow():
    """A feed that climbs 100 ft asks for 51.3 psi and more, and the catalogue sets none above 50."""
    feed = {"id": "feed", "pipe": "pvc-sch40-1in", "length": 200, "rise": 100}
    answer = of(plot(feed, bed(**{"from": "feed"}), supply={"static_pressure": 75}))
    assert answer.suggestion is None
    assert "none is set so" in reasons(answer)
    assert "made for 0.5 gpm would suit" in reasons(answer)  # not the flow behind the head's own, which is none
    assert reasons(answer).count("would suit") == 1
    assert "at any pressure" not in reasons(answer)
    assert "take one for low flow" not in reasons(answer)


def test_a_zone_fed_without_one_leaves_out_what_the_catalogue_has_not():
    feed = {"id": "feed", "pipe": "pvc-sch40-1in", "length": 200, "rise": 100}
    answer = of(plot(feed, bed(**{"from": "feed"}), supply={"static_pressure": 75}))
    assert answer.advice is Advice.LEAVE_OUT
    assert "every outlet is fed without a regulator, and the catalogue has none that suits" in reasons(answer)
    assert "computed, the catalogue has none that suits this zone" in reasons(answer)


def test_no_suggestion_is_ever_without_a_reason():
    """Nothing tolerated, nothing listed, nothing fed."""
    thread = bed(pipe={"inside_diameter": 0.1, "material": "pe"}, length=3000, outlets=outlets(STEADY, 30))
    steep = bed(rise=-50, length=120, outlets=outlets({**STEADY, "pressure_range": [8, 20]}))
    large = bed(pipe={"inside_diameter": 4, "material": "pvc"}, outlets=outlets({**STEADY, "flow": 120}))
    for run, told in (
        (thread, "gives every outlet its minimum"),
        (steep, "No set pressure suits"),
        (large, "would suit"),
    ):
        answer = of(plot(run, supply={"static_pressure": 64}, head=[]))
        assert answer.suggestion is None
        assert told in reasons(answer)


# ---- how near the supply may come ----

NARROW = {"flow": 1, "pressure_range": [3, 12], "passage": 0.05}
FORMS = [
    ({"static_pressure": 8}, True),
    ({"water_level": 18}, False),
    ({"pump_curve": [[0, 8], [5, 7]]}, False),
]


@pytest.mark.parametrize(("supply", "swings"), FORMS)
def test_only_a_main_is_said_to_swing(supply, swings):
    """Common practice, no source: a tank gives no more than its level and a pump no more than its curve."""
    answer = of(plot(bed(outlets=outlets(NARROW)), supply=supply, head=[]))
    assert ("mains swing" in reasons(answer)) is swings
    assert (answer.advice is Advice.RECOMMENDED) is swings
