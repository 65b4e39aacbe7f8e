"""What feeds a zone, and what is left of it for another."""

from __future__ import annotations

from copy import deepcopy

import pytest
from pydantic import ValidationError

from service.schemas.head_answers import FlowLimit, SupplyAnswer
from service.schemas.zone import Zone
from service.units.dimensions import System
from tests.advice.supplies import FOOT_OF_WATER, Json, ask, at_supply
from tests.zones.flower_plot import (
    FILTER,
    HEAD,
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

METERED = {"static_pressure": 80, "meter_size": "0.75in"}
LINE = {"pipe": "copper-l-0.75in", "length": 80, "rise": 3}


def of(zone: Json) -> SupplyAnswer:
    return ask(zone).supply


def limit(answer: SupplyAnswer, what: str) -> FlowLimit | None:
    return next((one for one in answer.limits if one.what == what), None)


def left(answer: SupplyAnswer) -> float:
    assert answer.flow_left is not None
    return gpm(answer.flow_left)


def lacking(zone: Json) -> bool:
    return bool({finding.code for finding in ask(zone).findings} & {"outlet-pressure-low", "no-flow"})


def drawing(zone: Json, other: float) -> Json:
    changed = deepcopy(zone)
    changed["supply"]["other_flow"] = other
    return changed


# ---- every form ----

# Form, kind, no-flow pressure at its gauge [psi]; 23.1 ft of water at 68 °F are 10.0 psi.
FORMS = [
    (TESTED, "main", 64),
    (METERED, "main", 80),
    ({"static_pressure": 64, "service_line": {"pipe": "copper-l-0.75in", "length": 80}}, "main", 64),
    ({"water_level": 23.1}, "tank", 23.1 * FOOT_OF_WATER),
    ({"pump_curve": [[0, 58], [3, 52], [8, 30]]}, "pump", 58),
    ({"pump_curve": [[1, 55], [3, 45]]}, "pump", 60),  # its first line carried back to no flow
]


@pytest.mark.parametrize(("supply", "kind", "pressure"), FORMS)
def test_every_form_of_supply_has_a_kind_and_a_no_flow_pressure(supply, kind, pressure):
    answer = of(plot(supply=supply, head=[]))
    assert (answer.kind, psi(answer.pressure)) == (kind, pytest.approx(pressure, abs=2e-3))


def test_the_drop_of_a_tested_main_grows_with_the_power_of_hazen_williams():
    """13 psi at 8 gpm; (0.5/8)^1.852 of that at 0.5 gpm."""
    answer = of(plot())
    assert psi(answer.pressure - answer.pressure_left) == pytest.approx(13 * (0.5 / 8) ** 1.852, rel=1e-6)


def test_meter_and_service_line_lie_inside_a_flow_test():
    bare = of(plot())
    with_both = of(
        plot(supply={**TESTED, "meter_size": "0.75in", "service_line": {"pipe": "copper-l-0.75in", "length": 80}})
    )
    assert with_both.pressure_left == pytest.approx(bare.pressure_left)


def test_a_meter_loses_with_the_square_of_flow():
    """15 psi at 30 gpm, the most that ANSI/AWWA C700 allows at the safe maximum (from memory)."""
    answer = of(plot(supply=METERED))
    assert psi(answer.pressure - answer.pressure_left) == pytest.approx(15 * (0.5 / 30) ** 2, rel=1e-6)


def test_height_between_gauge_and_zone_is_taken_once_whichever_field_tells_it():
    line = {"pipe": "copper-l-0.75in", "length": 80}
    flat = of(plot(supply={"static_pressure": 64, "service_line": line}))
    by_line = of(plot(supply={"static_pressure": 64, "service_line": {**line, "rise": 10}}))
    by_supply = of(plot(supply={"static_pressure": 64, "service_line": line, "rise": 10}))
    assert psi(flat.pressure_left - by_line.pressure_left) == pytest.approx(10 * FOOT_OF_WATER, abs=1e-3)
    assert by_line.pressure_left == pytest.approx(by_supply.pressure_left)


def test_what_others_draw_is_lost_in_the_supply_but_not_in_the_head():
    alone, beside = ask(plot()), ask(plot(supply={**TESTED, "other_flow": 4}))
    assert psi(beside.supply.pressure - beside.supply.pressure_left) == pytest.approx(13 * (4.5 / 8) ** 1.852, rel=1e-6)
    lost = [
        {stage.stage: stage.loss for stage in answer.loss_budget if stage.kind == "device"}
        for answer in (alone, beside)
    ]
    assert lost[0] == pytest.approx(lost[1])


# ---- published meters ----

# Nominal size, safe maximum, flow for hours [gpm]: ANSI/AWWA C700, operating characteristics of displacement meters,
# 5/8 to 1-1/2 in read on public meter-sizing pages that cite AWWA M22 (the 50 and 100 gpm also in Pasco Municipal Code
# 13.30.110), 2 in from memory. 75 % of the safe maximum: rule of practice, no source.
METERS = [
    ("0.625in", 20, 10, 15),
    ("0.75in", 30, 15, 22.5),
    ("1in", 50, 25, 37.5),
    ("1.5in", 100, 50, 75),
    ("2in", 160, 80, 120),
]


@pytest.mark.parametrize(("size", "most", "continuous", "share"), METERS)
def test_a_meter_leaves_what_its_published_flows_allow(size, most, continuous, share):
    assert share == 0.75 * most
    strong = {"static_pressure": 250, "meter_size": size}
    answer = limit(of(plot(supply=strong)), "meter")
    assert answer is not None
    assert gpm(answer.flow) == pytest.approx(continuous - 0.5)
    assert "continuous rating" in answer.why.said(System.US)


def test_a_meter_may_lose_a_tenth_of_the_static_pressure():
    """Rule of practice, no source: 60 psi make 6, which a 5/8 in meter of 15 psi at 20 gpm loses at 12.65 gpm."""
    for static, expected, why in ((60, 10, "continuous"), (30, 20 * (3 / 15) ** 0.5, "a loss of 10 %")):
        answer = limit(of(plot(supply={"static_pressure": static, "meter_size": "0.625in"})), "meter")
        assert answer is not None
        assert gpm(answer.flow) == pytest.approx(expected - 0.5, abs=1e-3)
        assert why in answer.why.said(System.US)


def test_the_callers_share_of_a_meter_counts():
    zone = {**plot(supply=METERED), "options": {"criteria": {"meter_flow_share": 40}}}
    answer = limit(of(zone), "meter")
    assert answer is not None
    assert gpm(answer.flow) == pytest.approx(0.4 * 30 - 0.5)
    assert "40 % of its safe maximum" in answer.why.said(System.US)


# ---- what is left ----


def test_a_service_line_leaves_what_runs_at_five_feet_a_second():
    """5 ft/s in 0.622 in of bore are 4.735 gpm: continuity, check value `flow-at-5fps`."""
    line = {"pipe": {"inside_diameter": 0.622, "material": "copper"}, "length": 5}
    answer = of(plot(supply={"static_pressure": 80, "service_line": line}))
    found = limit(answer, "service_line")
    assert found is not None
    assert gpm(found.flow) == pytest.approx(4.735 - 0.5, abs=2e-3)
    assert left(answer) == pytest.approx(gpm(found.flow))


@pytest.mark.parametrize(
    "zone",
    [
        plot(),
        plot(bed(rise=20)),
        plot(supply={"pump_curve": [[0, 60], [4, 50], [9, 20]]}),
        plot(head=[PREVENTER, VALVE, FILTER]),
        plot(bed(outlets=outlets({**STEADY, "flow": 4}))),
    ],
)
def test_with_a_little_more_than_is_left_some_outlet_lacks_its_minimum_and_with_a_little_less_none(zone):
    answer = limit(of(zone), "outlets")
    assert answer is not None
    assert not lacking(drawing(zone, gpm(answer.flow) - 0.02))
    assert lacking(drawing(zone, gpm(answer.flow) + 0.02))


def test_what_is_drawn_already_is_no_longer_left():
    free, taken = of(plot(supply=METERED)), of(plot(supply={**METERED, "other_flow": 3}))
    assert left(free) - left(taken) == pytest.approx(3)


def test_a_zone_that_lacks_pressure_leaves_nothing():
    answer = of(at_supply(plot(), 18))
    assert left(answer) == 0
    assert answer.reasons[0].said(System.US).startswith("No flow is left")


def test_a_pump_leaves_no_more_than_its_curve_covers():
    answer = of(plot(supply={"pump_curve": [[0, 60], [3, 55]]}))
    found = limit(answer, "pump_curve")
    assert found is not None
    assert gpm(found.flow) == pytest.approx(2.5)
    assert left(answer) == pytest.approx(2.5)


def test_a_main_leaves_no_more_than_its_flow_test_covers():
    """The outlets would bear more, but at 8 gpm the measurement ends, and the zone draws 0.5 of them."""
    answer = of(plot())
    found = limit(answer, "flow_test")
    assert found is not None
    assert gpm(found.flow) == pytest.approx(7.5)
    assert left(answer) == pytest.approx(7.5)
    assert "beyond that is not known" in answer.reasons[0].said(System.US)
    assert left(of(plot(supply={**TESTED, "other_flow": 3}))) == pytest.approx(4.5)


@pytest.mark.parametrize(
    "supply",
    [
        {"static_pressure": 64, "flow_test": {"flow": 0.4, "residual_pressure": 60}},
        {"pump_curve": [[0, 64], [0.4, 60]]},
    ],
)
def test_beyond_what_was_measured_nothing_is_known_to_be_left(supply):
    answer = of(plot(supply=supply))
    assert left(answer) == 0
    assert answer.reasons[0].said(System.US).startswith("No flow is known to be left")


def test_an_untested_main_is_said_to_be_taken_to_hold_its_pressure():
    metered, tested = (of(plot(supply=supply)) for supply in (METERED, {**TESTED, "meter_size": "0.75in"}))
    told = "takes the main to hold its 80 psi at any flow: a flow test would tell"
    assert told in "\n".join(reason.said(System.US) for reason in metered.reasons)
    assert "a flow test would tell" not in "\n".join(reason.said(System.US) for reason in tested.reasons)


def test_a_tank_is_not_asked_for_a_flow_test_which_it_may_not_state():
    answer = of(plot(supply={"water_level": 100}, head=[]))
    assert answer.flow_left is None
    assert "state the pipe from the tank as service line" in answer.reasons[0].said(System.US)
    assert of(plot(supply={"water_level": 100, "service_line": LINE}, head=[])).flow_left is not None


# What a supply leaves open, and what is assumed for it.
SILENT = [
    (TESTED, {}),
    ({"static_pressure": 50}, {"flow_test": "50 psi at any flow", "meter_size": "no loss", "service_line": "no loss"}),
    ({"static_pressure": 50, "meter_size": "1in"}, {"flow_test": "50 psi at any flow", "service_line": "no loss"}),
    (
        {"static_pressure": 50, "service_line": {"pipe": "pe-1in", "length": 9}},
        {"flow_test": "50 psi at any flow", "meter_size": "no loss"},
    ),
    ({"water_level": 60}, {"water_level": "60 ft", "service_line": "no loss"}),
    ({"pump_curve": [[1, 55], [3, 45]]}, {"pump_curve": "60 psi at no flow", "service_line": "no loss"}),
]


@pytest.mark.parametrize(("supply", "assumed"), SILENT)
def test_what_a_supply_leaves_open_is_listed_as_assumed(supply, assumed):
    listed = {one.what: one.value.said(System.US) for one in ask(plot(supply=supply)).assumed}
    found = {what.removeprefix("supply."): value for what, value in listed.items() if what.startswith("supply.")}
    assert found == assumed


def test_a_meter_overrun_by_others_is_no_reason_to_split_the_zone():
    """13.5 gpm in all, of which the zone draws half a gallon; the meter is good for 10 on end, and may lose 6 psi."""
    supply = {"static_pressure": 60, "meter_size": "0.625in"}
    for others, own, told in ((13, 1, "Do not run it while others draw 13 gpm."), (0.5, 28, "Split the zone.")):
        run = bed(outlets=outlets({**STEADY, "flow": own}))
        found = [one for one in ask(plot(run, supply={**supply, "other_flow": others})).findings if "meter" in one.code]
        assert {one.code for one in found} == {"meter-flow-high", "meter-loss-high"}
        assert all(told in one.message.said(System.US) for one in found)


def test_a_device_overrun_by_others_is_no_reason_to_split_the_zone():
    for shared, most, told in ((3, 2, "do not run the zone while others draw 3 gpm"), (3, 0.4, "split the zone")):
        head = [PREVENTER, {**VALVE, "flow_range": [0.1, most], "shared_flow": shared}, FILTER, REGULATOR]
        (found,) = [one for one in ask(plot(head=head)).findings if one.code == "device-flow-high"]
        assert told in found.message.said(System.US)


def test_a_static_pressure_alone_says_nothing_of_what_is_left():
    answer = of(plot(supply={"static_pressure": 64}))
    assert answer.flow_left is None
    assert answer.limits == []
    assert "unknown: state a flow test" in answer.reasons[0].said(System.US)


def test_limits_stand_the_tightest_first_and_decide():
    answer = of(plot(supply={**TESTED, "meter_size": "0.625in"}))
    flows = [one.flow for one in answer.limits]
    assert flows == sorted(flows)
    assert answer.flow_left == flows[0]
    assert answer.limits[0].why.said(System.US) in answer.reasons[0].said(System.US)


# ---- bad input ----

# What is wrong, where the fault is told, and a word of it.
TEST = ("supply", "flow_test")
CURVE = ("supply", "pump_curve")


def measured(static: float, residual: float) -> Json:
    return {"static_pressure": static, "flow_test": {"flow": 8, "residual_pressure": residual}}


WRONG = [
    ({"supply": {}}, ("supply",), "Nothing says what feeds the zone"),
    ({"supply": {"static_pressure": 64, "water_level": 9}}, ("supply",), "exclude each other: static_pressure, water_"),
    ({"supply": {"water_level": 9, "pump_curve": [[0, 50], [5, 40]]}}, ("supply",), "water_level, pump_curve"),
    ({"supply": measured(50, 51)}, (*TEST, "residual_pressure"), "51 psi, no less than the 50 psi without flow"),
    ({"supply": measured(50, 50)}, (*TEST, "residual_pressure"), "no less than"),
    ({"supply": {"water_level": 9, "flow_test": {"flow": 8, "residual_pressure": 3}}}, TEST, "tells of a main"),
    ({"supply": {"pump_curve": [[0, 50], [5, 55]]}}, (*CURVE, 1, 1), "above the 50 psi before it"),
    ({"supply": {"pump_curve": [[0, 50], [0, 40]]}}, (*CURVE, 1, 0), "comes after 0 gpm"),
    ({"supply": {"static_pressure": 64, "service_line": LINE, "rise": 3}}, ("supply", "service_line", "rise"), "twice"),
    ({"supply": {"static_pressure": 64, "meter_size": "7in"}}, ("supply", "meter_size"), "No meter of this size"),
    ({"supply": {"static_pressure": 64, "other_flow": -1}}, ("supply", "other_flow"), "outside the range"),
    ({"head": [{**FILTER, "loss": {"table": [[2, 2], [5, 1]]}}]}, ("head", 0, "loss", "table", 1, 1), "falls while"),
    ({"head": [{**REGULATOR, "set_pressure": 0}]}, ("head", 0, "set_pressure"), "outside the range"),
    ({"head": [{**FILTER, "opening": 100}]}, ("head", 0, "opening"), "both tell how fine"),
    ({"head": [{**VALVE, "shared_flow": -1}]}, ("head", 0, "shared_flow"), "outside the range"),
    ({"water": {"ph": 14.1}}, ("water", "ph"), "outside the range from 0 to 14"),
    ({"water": {"ph": -0.1}}, ("water", "ph"), "outside the range"),
    ({"water": {"iron": -1}}, ("water", "iron"), "outside the range"),
    ({"water": {"warmest_temperature": 300}}, ("water", "warmest_temperature"), "outside the range"),
    ({"water": {"temperature": 90, "warmest_temperature": 50}}, ("water", "warmest_temperature"), "50 °F, is below"),
    ({"water": {"warmest_temperature": 67}}, ("water", "warmest_temperature"), "67 °F, is below its temperature of 68"),
]


@pytest.mark.parametrize(("changed", "where", "told"), WRONG)
def test_what_cannot_be_is_refused_at_its_field(changed, where, told):
    with pytest.raises(ValidationError) as refused:
        Zone.model_validate({**plot(), **changed})
    faults = {fault["loc"]: fault["msg"] for fault in refused.value.errors()}
    assert where in faults
    assert told in faults[where]


# What can be, but is hardly meant, or breaks something: an answer with a finding.
FOUND = [
    (plot(head=[*HEAD[:-1], {**REGULATOR, "set_pressure": 60}]), "regulator-set-high"),
    (plot(water={"source": "well", "temperature": 68, "ph": 12}), "lab-values-doubtful"),
    (plot(water={"source": "well", "temperature": 68, "calcium_hardness": 300}), "lab-values-incomplete"),
    (plot(supply={"static_pressure": 64}), "supply-untested"),
    (plot(supply={"pump_curve": [[0, 64], [0.3, 60]]}), "supply-curve-passed"),
]


@pytest.mark.parametrize(("zone", "code"), FOUND, ids=[code for _, code in FOUND])
def test_what_may_be_but_is_hardly_meant_is_found(zone, code):
    assert code in {finding.code for finding in ask(zone).findings}
