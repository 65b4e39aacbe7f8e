"""Heads: what stands in them and in which order, and what of it tells one device from another."""

import pytest

from service.parts.listed import find_item
from service.units.dimensions import System
from tests.takeoff.jobs import INLINE, answer, by_part, job, needs, zone

ROW = {"id": "row", "pipe": "dripline-17mm", "length": 80, "outlets": INLINE}

BACKFLOW = {"device": "backflow_preventer", "kind": "reduced_pressure"}
VALVE = {"device": "valve", "loss": {"cv": 9}}
FILTER = {"device": "filter", "mesh": 120}
REGULATOR = {"device": "regulator", "set_pressure": 25}

ONE_INCH_VALVE = {"device": "valve", "loss": {"cv": 9}, "flow_range": [0.25, 12]}
"""The figures of one valve of the catalogue, which has threads of 1 in."""


def head(*devices, **more):
    return [line["part"] for line in answer(job(zone(ROW, head=devices), **more))["lines"] if line["section"] == "head"]


def test_a_head_is_one_section_in_the_order_of_its_assembly():
    assert head(BACKFLOW, VALVE, FILTER, REGULATOR, frost=True) == [
        "ball-valve-threaded-0.75in",
        "union-threaded-0.75in",
        "backflow-preventer-reduced-pressure-0.75in",
        "control-valve-0.75in",
        "described-filter-120mesh-0.75in",
        "described-regulator-25psi-0.75in",
        "reducing-tee-threaded-0.75in-0.25in",
        "pressure-tap-0.25in",
        "tee-threaded-0.75in",
        "blow-out-fitting-0.75in",
        "drain-valve-0.75in",
        # What holds and houses them.
        "nipple-0.75in",
        "valve-box",
        "gravel",
        "backflow-enclosure",
    ]


def test_devices_stand_in_the_order_that_the_zone_has_them_in():
    parts = head(FILTER, VALVE, REGULATOR)
    assert parts[2:5] == ["described-filter-120mesh-0.75in", "control-valve-0.75in", "described-regulator-25psi-0.75in"]


def test_a_part_of_the_head_has_a_line_there_and_one_where_else_it_is_used():
    told = answer(job(zone({**ROW, "pipe": "pvc-sch40-0.75in", "outlets": OUTLETS}, head=[VALVE])))
    taps = {line["id"]: line["needed"] for line in told["lines"] if line["part"] == "pressure-tap-0.25in"}
    assert taps == {"outlets:pressure-tap-0.25in": 1, "head:pressure-tap-0.25in": 1}
    # A fitting is what joins pipes: the head's pieces are built by the head.
    assert told["work"]["head"] == 1
    assert told["work"]["fitting"] == sum(
        line["needed"] for line in told["lines"] if line["id"].startswith("fittings:")
    )


OUTLETS = {"emitter": "spray-8gph", "spacing": 10}


def test_one_price_serves_a_part_in_both_its_places():
    body = job(zone({**ROW, "pipe": "pvc-sch40-0.75in", "outlets": OUTLETS}, head=[VALVE]))
    told = answer({**body, "prices": {"currency": "USD", "parts": {"pressure-tap-0.25in": {"unit": 3}}}})
    assert told["totals"]["materials"] == 6
    assert "pressure-tap-0.25in" not in told["unpriced"]
    unpriced = answer({**body, "prices": {"currency": "USD", "parts": {}}})["unpriced"]
    assert unpriced.count("pressure-tap-0.25in") == 1


def test_bushings_stand_where_threads_change():
    # Between the 0.75 in union and the valve, and behind it.
    alone = needs(job(zone(ROW, head=[ONE_INCH_VALVE])))
    # Union, bushing, two valves with a 1 in nipple between them, bushing, union.
    two = needs(job(zone(ROW, head=[ONE_INCH_VALVE] * 2)))
    assert alone["bushing-1in-0.75in"] == two["bushing-1in-0.75in"] == 2
    assert "nipple-1in" not in alone
    assert two["nipple-1in"] == 1
    assert two["nipple-0.75in"] == alone["nipple-0.75in"] == 4  # isolation, union, valve, union, tap
    # The row's adapter, the supply side, the tap, two ends of each of four nipples, and one of each bushing.
    assert alone["thread-tape"] == pytest.approx((3 + 2 * 4 + 2) / 25)
    assert two["thread-tape"] == pytest.approx((3 + 2 * 5 + 2) / 25)


def test_a_valve_with_a_vacuum_breaker_stands_above_the_ground():
    anti_siphon = {"device": "valve", "anti_siphon": True}
    assert not {"valve-box", "gravel"} & set(head(anti_siphon))
    assert {"valve-box", "gravel"} <= set(head(anti_siphon, FILTER))
    assert {"valve-box", "gravel"} <= set(head(anti_siphon, VALVE))


@pytest.mark.parametrize("shared", ["valve", "filter", "regulator", "backflow_preventer"])
def test_any_device_may_be_shared(shared):
    devices = {each["device"]: each for each in (BACKFLOW, VALVE, FILTER, REGULATOR)}
    zones = [zone(ROW, head=list(devices.values())) for _ in range(3)]
    each, once = (by_part(answer(job(*zones, shared=kinds))) for kinds in ([], [shared]))
    (part,) = (
        set(head(devices[shared])) - set(head({"device": "injector"})) - {"valve-box", "gravel", "backflow-enclosure"}
    )
    assert (each[part]["needed"], once[part]["needed"]) == (3, 1)
    others = set(head(*devices.values())) - {part, "nipple-0.75in", "backflow-enclosure"}
    assert all(each[other]["needed"] == once[other]["needed"] for other in others)


# what tells devices apart


def notes(body):
    return [note["message"] for note in answer(body)["notes"] if note["code"] == "unlike-parts"]


def test_devices_of_no_kind_are_told_apart_by_their_names():
    sensor, shut_off, nameless = (
        {"device": "other", "name": name} for name in ("Flow sensor", "Master shut-off", "Кран")
    )
    told = needs(job(zone(ROW, head=[sensor, shut_off, sensor, nameless])))
    assert told["other-device-0.75in-called-flow-sensor"] == 2
    assert told["other-device-0.75in-called-master-shut-off"] == 1
    assert told["other-device-0.75in"] == 1  # no letter of its name is one of an id
    item = find_item("other-device-0.75in-called-flow-sensor")
    assert item.name.said(System.US) == "Other device of the head as described: flow sensor, 0.75 in"


@pytest.mark.parametrize(
    "part", ["control-valve-0.75in-called-x", "other-device-0.75in-called-", "other-device-called-x"]
)
def test_no_other_part_is_called_anything(part):
    assert find_item(part) is None


def test_unlike_devices_on_one_line_are_noted():
    wide = {"device": "valve", "loss": {"cv": 33}}
    assert notes(job(zone(ROW, head=[VALVE, wide], name="beds"), zone(ROW, head=[VALVE]))) == [
        "What is written of control-valve-0.75in differs: 2 unlike kinds share this line, and one price serves all."
    ]
    # Names, heights and what else flows through a device make no other device of it.
    named = [{**VALVE, "name": "front", "shared_flow": 2}, {**VALVE, "name": "rear"}]
    assert notes(job(zone(ROW, head=named))) == []


def test_unlike_emitters_and_pipes_on_one_line_are_noted():
    one, other = ({"flow": 2, "pressure_range": [8, high]} for high in (40, 60))
    outlets = [{"at": 3, "emitter": one}, {"at": 6, "emitter": other}]
    bore = {"inside_diameter": 0.8, "material": "pvc"}
    runs = [
        {"id": name, "pipe": {**bore, "max_pressure": rating}, "length": 10, "outlets": outlets}
        for name, rating in (("weak", 100), ("strong", 200))
    ]
    told = notes(job(zone(*runs)))
    assert [message.split(" differs")[0] for message in told] == [
        "What is written of described-pipe-pvc-20.32mm",
        "What is written of emitter-as-described-2gph",
    ]
    assert notes(job(zone(runs[0]), zone({**runs[0], "outlets": outlets[:1]}))) != []
    assert notes(job(zone({**runs[0], "outlets": outlets[:1]}))) == []


def test_the_figures_of_a_catalogue_part_are_its_own_though_others_draw_through_it():
    assert needs(job(zone(ROW, head=[{**ONE_INCH_VALVE, "shared_flow": 2}])))["valve-low-flow-1in"] == 1


# in whose units


def test_descriptions_are_in_the_units_of_the_caller():
    emitter = {"flow": 2.3, "at_pressure": 100, "exponent": 0.5}
    row = {"id": "row", "pipe": "dripline-16mm", "length": 30, "outlets": [{"at": 3, "emitter": emitter}]}
    metric = zone(row, head=[{"device": "regulator", "set_pressure": 170}], supply={"static_pressure": 400})
    told = {line["part"]: line["description"] for line in answer({"units": "metric", **job(metric)})["lines"]}
    assert told["described-regulator-24.7psi-0.75in"] == "Pressure regulator as described, 170 kPa × 0.75 in"
    assert told["emitter-as-described-0.608gph-14.5psi"] == "Emitter as described, 2.3 L/h × 100 kPa"
    ours = answer(job(zone(ROW, head=[REGULATOR])))
    assert by_part(ours)["described-regulator-25psi-0.75in"]["description"].endswith("25 psi × 0.75 in")
