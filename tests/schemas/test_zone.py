"""A zone as a caller writes it, read into SI."""

from copy import deepcopy

import numpy as np
import pytest
from hypothesis import given

from service.schemas.devices import HeadFilter, HeadRegulator
from service.schemas.outlets import EvenOutlets, PlacedOutlets
from service.schemas.zone import Zone
from service.units.dimensions import System
from tests.schemas.village_hall import DAHLIAS, GONE, QUINCE, changed, faults_of
from tests.strategies import in_metric, zones

FOOT, INCH = 0.3048, 0.0254  # m, exact: international yard and pound agreement, 1959
PSI, GPM, GPH = 6894.757, 6.30901964e-5, 1.05150327e-6  # Pa, m³/s: NIST Special Publication 811, appendix B.8


def test_the_flower_plot_is_read_into_si():
    zone = Zone.model_validate(DAHLIAS)
    assert zone.units is System.US
    assert zone.water.temperature == pytest.approx(140 / 9)
    assert zone.supply.static_pressure == pytest.approx(64 * PSI)
    assert zone.supply.flow_test.flow == pytest.approx(8 * GPM)
    assert zone.supply.meter_size.nominal == "0.75in"
    backflow, valve, filter_, regulator = zone.head
    assert backflow.loss.table[1] == pytest.approx((8 * GPM, 10 * PSI))
    assert valve.flow_range == pytest.approx((0.25 * GPM, 12 * GPM))
    assert isinstance(filter_, HeadFilter)
    assert filter_.mesh == 150
    assert isinstance(regulator, HeadRegulator)
    assert regulator.set_pressure == pytest.approx(25 * PSI)
    feed, header, row = zone.runs
    assert feed.pipe.id == "pvc-sch40-0.75in"
    assert feed.pipe.inside_diameter == pytest.approx(0.824 * INCH)
    assert (header.from_, header.from_at) == ("feed", None)
    assert (row.copies.count, row.copies.apart) == (8, pytest.approx(3 * FOOT))
    assert isinstance(row.outlets, EvenOutlets)
    assert row.outlets.emitter.flow == pytest.approx(0.6 * GPH)
    assert row.outlet_count == 80


def test_quince_on_a_slope_have_places_and_tubes_of_their_own():
    run = Zone.model_validate(changed("runs/3", QUINCE)).runs[3]
    assert isinstance(run.outlets, PlacedOutlets)
    assert run.outlet_count == 4
    places = run.outlet_places()
    assert places.at == pytest.approx([10 * FOOT, 22 * FOOT])
    bare, on_tube = (places.kinds[kind] for kind in places.kind)
    assert bare.tube is None
    assert on_tube.tube.length == pytest.approx(3 * FOOT)
    assert on_tube.emitter.pressure_range == pytest.approx((8 * PSI, 50 * PSI))


def test_what_was_left_out_can_be_told_from_what_was_given():
    zone = Zone.model_validate({"supply": DAHLIAS["supply"], "runs": DAHLIAS["runs"]})
    assert zone.water.temperature == 20
    assert zone.model_fields_set == {"supply", "runs"}
    assert (zone.options.friction, zone.options.detail, zone.options.filter_state) == ("darcy_weisbach", "runs", "due")
    assert not zone.options.model_fields_set


@given(zones())
def test_units_do_not_change_a_zone(body):
    us, metric = Zone.model_validate(body), Zone.model_validate(in_metric(body))
    for one, other in zip(us.runs, metric.runs, strict=True):
        assert one.length == pytest.approx(other.length)
        assert one.outlet_places().at == pytest.approx(other.outlet_places().at)
        assert one.height(np.linspace(0, one.length)) == pytest.approx(other.height(np.linspace(0, one.length)))


def test_reading_leaves_the_body_as_it_was():
    body = deepcopy(DAHLIAS)
    Zone.model_validate(body)
    assert body == DAHLIAS


MISTYPED = [
    # path, value, path of the fault, what is accepted (a part of it)
    ("suply", {}, "suply", "supply"),
    ("runs/1/lenght", 21, "runs/1/lenght", "length"),
    ("runs/1/from_", "feed", "runs/1/from_", "from"),
    ("head/1/loss", {"cvv": 9}, "head/1/loss/cvv", "fixed, cv, kv, point, table"),
    ("head/3/set_presure", 25, "head/3/set_presure", "set_pressure"),
    ("runs/2/outlets/spaceing", 1, "runs/2/outlets/spaceing", "spacing"),
    ("runs/0/pipe", {"inside_diameter": 0.8, "material": "pe", "rough": 1}, "runs/0/pipe/rough", "roughness"),
    ("runs/0/fittings", {"elbow": 3}, "runs/0/fittings/elbow", "elbow_90"),
]


@pytest.mark.parametrize(("path", "value", "where", "accepted"), MISTYPED)
def test_a_mistyped_name_is_one_fault_that_names_what_is_known(path, value, where, accepted):
    found = faults_of(Zone, changed(path, value))
    assert list(found) == [where]
    assert accepted in found[where][1]


REFUSED = [
    # path, value, path of the fault, what is accepted (a part of it)
    ("units", "imperial", "units", ""),
    ("name", "", "name", "1 to 200 characters"),
    ("name", "row\u0007", "name", "no"),
    ("name", "x" * 201, "name", "200"),
    ("name", None, "name", "characters"),
    ("water/source", "sea", "water/source", ""),
    ("water/temperature", 200, "water/temperature", "from 32 to 140 °F"),
    ("water/ph", 15, "water/ph", "from 0 to 14"),
    ("water/ph", True, "water/ph", "from 0 to 14"),
    ("supply/static_pressure", "64", "supply/static_pressure", "from 0 to 290 psi"),
    ("supply/static_pressure", 1e308, "supply/static_pressure", "from 0 to 290 psi"),
    ("supply/static_pressure", GONE, "supply", "exactly one of static_pressure, water_level, pump_curve"),
    (
        "supply",
        {"static_pressure": 64, "water_level": 30},
        "supply",
        "exactly one of static_pressure, water_level, pump_curve",
    ),
    ("supply/flow_test/residual_pressure", 64, "supply/flow_test/residual_pressure", "below 64 psi"),
    ("supply/flow_test/flow", 0, "supply/flow_test/flow", "gpm"),
    ("supply/meter_size", "7in", "supply/meter_size", "0.75in"),
    ("supply/meter_size", ["0.75in"], "supply/meter_size", "0.75in"),
    ("supply", {"pump_curve": [[0, 50], [5, 55]]}, "supply/pump_curve/1/1", "at most 50 psi"),
    ("supply", {"pump_curve": [[5, 50], [5, 40]]}, "supply/pump_curve/1/0", "above 5 gpm"),
    ("supply", {"pump_curve": [[0, 50]]}, "supply/pump_curve", "2 to 100 items"),
    ("head/0/device", "bakflow", "head/0/device", "backflow_preventer, valve, filter, regulator"),
    ("head/0/device", GONE, "head/0/device", "backflow_preventer, valve, filter, regulator"),
    ("head/0", "valve", "head/0", "backflow_preventer"),
    ("head/0/kind", "check", "head/0/kind", ""),
    ("head/1/height", 1, "head/1/height", "anti_siphon"),
    ("head/1/anti_siphon", 1, "head/1/anti_siphon", ""),
    ("head/1/loss", {}, "head/1/loss", "exactly one of fixed, cv, kv, point, table"),
    ("head/1/loss", {"cv": 9, "kv": 8}, "head/1/loss", "exactly one of fixed, cv, kv, point, table"),
    ("head/1/loss", 5, "head/1/loss", "fixed, cv, kv, point, table"),
    ("head/1/loss", {"table": [[5, 2], [4, 3]]}, "head/1/loss/table/1/0", "above 5 gpm"),
    ("head/1/loss", {"table": [[4, 3], [5, 2]]}, "head/1/loss/table/1/1", "no less"),
    ("head/1/loss", {"point": {"flow": 0, "loss": 3}}, "head/1/loss/point/flow", "gpm"),
    ("head/1/flow_range", [12, 0.25], "head/1/flow_range", "least"),
    ("head/2/opening", 100, "head/2/opening", "one of mesh, opening"),
    ("head/2/mesh", 150.5, "head/2/mesh", "from 10 to 1000"),
    ("runs", [], "runs", "1 to 2000 items"),
    ("runs/0/id", "feed:1", "runs/0/id", "letters"),
    ("runs/0/id", "a/b", "runs/0/id", "letters"),
    ("runs/0/pipe", "pvc-sch40-0.75", "runs/0/pipe", "pvc-sch40-0.75in"),
    ("runs/0/pipe", 5, "runs/0/pipe", "an id of the catalogue"),
    ("runs/0/length", 0, "runs/0/length", "ft"),
    ("runs/0/length", float("nan"), "runs/0/length", "ft"),
    ("runs/0/length", GONE, "runs/0/length", ""),
    ("runs/0/rise", 46, "runs/0/rise", "at most 45 ft"),
    ("runs/0/ground", [[0, 0], [45, 2]], "runs/0/rise", "one of rise, ground"),
    ("runs/1/ground", [[1, 0], [21, 2]], "runs/1/ground/0", "[0, 0]"),
    ("runs/1/ground", [[0, 0], [20, 2]], "runs/1/ground/1/0", "21 ft"),
    ("runs/1/ground", [[0, 0], [9, 1], [9, 2], [21, 2]], "runs/1/ground/2/0", "above 9 ft"),
    ("runs/1/ground", [[0, 0], [1, 3], [21, 2]], "runs/1/ground/1/1", "at most 1 ft"),
    ("runs/0/fittings", {"elbow_90": -1}, "runs/0/fittings/elbow_90", "from 0 to 1000"),
    ("runs/0/from_at", 3, "runs/0/from_at", "from"),
    ("runs/0/copies", {"count": 2, "apart": 3}, "runs/0/copies/apart", "0"),
    ("runs/1/closes_to", {"run": "row", "at": 3, "apart": 1}, "runs/1/closes_to/apart", "copies"),
    ("runs/2/copies/count", 0, "runs/2/copies/count", "from 1"),
    ("runs/2/copies/apart", -1, "runs/2/copies/apart", "from 0"),
    ("runs/2/outlets", 5, "runs/2/outlets", "a list of places"),
    ("runs/2/outlets", [], "runs/2/outlets", "1 to 100000 items"),
    ("runs/2/outlets/spacing", GONE, "runs/2/outlets/spacing", ""),
    ("runs/2/outlets/emitter", "inline-compensating-0.6", "runs/2/outlets/emitter", "inline-compensating-0.6gph"),
    ("runs/2/outlets/setting", 2, "runs/2/outlets/setting", "no setting"),
    ("runs/2/outlets/per_place", 0, "runs/2/outlets/per_place", "from 1 to 100"),
    (
        "runs/2/outlets",
        {"emitter": "adjustable-10gph", "spacing": 4, "setting": 20},
        "runs/2/outlets/setting",
        "0.5 gph to 10 gph",
    ),
    (
        "runs/2/outlets/tube",
        {"pipe": "tubing-0.25in", "length": 2, "rise": 3},
        "runs/2/outlets/tube/rise",
        "at most 2 ft",
    ),
    ("options/friction", "manning", "options/friction", ""),
    ("options/criteria", {"velocity": 0}, "options/criteria/velocity", "ft/s"),
]


@pytest.mark.parametrize(("path", "value", "where", "accepted"), REFUSED)
def test_a_field_that_cannot_be_is_one_fault_at_that_field(path, value, where, accepted):
    found = faults_of(Zone, changed(path, value))
    assert list(found) == [where]
    assert accepted in found[where][1]


def test_all_faulty_fields_are_told_at_once():
    body = deepcopy(DAHLIAS)
    faulty = {
        "naem": "misspelt",
        "water/temperature": "warm",
        "supply/flow_test/residual_pressure": 70,
        "head/0/kind": "unheard of",
        "head/1/loss": {"cvv": 9},
        "head/3/set_pressure": -25,
        "runs/1/rise": 100,
        "runs/0/fittings/elbow_90": 1.5,
        "runs/2/pipe": "pe-0.75",
        "runs/2/outlets/emitter": {"flow": 2, "exponent": 0.5},
        "options/criteria": {"velocity": True},
    }
    for path, value in faulty.items():
        body = changed(path, value, body)
    within = {"head/1/loss": "/cvv", "runs/2/outlets/emitter": "/at_pressure", "options/criteria": "/velocity"}
    assert set(faults_of(Zone, body)) == {path + within.get(path, "") for path in faulty}


def test_facts_are_told_in_the_units_of_the_caller():
    body = {**DAHLIAS, "units": "metric", "water": {"temperature": 15}}
    found = faults_of(Zone, changed("supply/flow_test/residual_pressure", 70, body))
    assert found["supply/flow_test/residual_pressure"] == (
        "The flow test leaves 70 kPa, no less than the 64 kPa without flow.",
        "a pressure below 64 kPa",
    )


@pytest.mark.parametrize("supply", [{"water_level": 30}, {"pump_curve": [[0, 50], [10, 30]]}])
def test_a_flow_test_tells_of_no_tank_and_no_pump(supply):
    test = {"flow": 8, "residual_pressure": 20}
    assert list(faults_of(Zone, changed("supply", {**supply, "flow_test": test}))) == ["supply/flow_test"]


def test_a_backflow_preventer_may_lose_less_at_more_flow():
    zone = Zone.model_validate(changed("head/0/loss", {"table": [[2, 12], [8, 9]]}))
    assert zone.head[0].loss.falls() == [1]


def test_a_zone_starts_above_its_gauge_by_one_field_or_another():
    line = {"pipe": "pvc-sch40-1in", "length": 60, "rise": 4}
    supply = {"static_pressure": 64}
    assert Zone.model_validate(changed("supply", supply)).supply.lift == 0
    assert Zone.model_validate(changed("supply", {**supply, "rise": 4})).supply.lift == pytest.approx(4 * FOOT)
    by_line = Zone.model_validate(changed("supply", {**supply, "service_line": line})).supply
    assert by_line.lift == pytest.approx(4 * FOOT)
    twice = faults_of(Zone, changed("supply", {**supply, "service_line": line, "rise": 4}))
    assert list(twice) == ["supply/service_line/rise"]
    steep = faults_of(Zone, changed("supply", {**supply, "service_line": {**line, "rise": 61}}))
    assert list(steep) == ["supply/service_line/rise"]


@pytest.mark.parametrize(("path", "accepted"), [("runs/0/fittings", "elbow_90"), ("water", "temperature")])
def test_thousands_of_unknown_fields_are_one_fault(path, accepted):
    found = faults_of(Zone, changed(path, {f"field-{n}": n for n in range(1001)}))
    assert list(found) == [path]
    assert accepted in found[path][1]


def test_an_adjustable_outlet_carries_its_setting():
    outlets = {"emitter": "adjustable-10gph", "spacing": 4, "setting": 6}
    run = Zone.model_validate(changed("runs/2/outlets", outlets)).runs[2]
    assert run.outlet_places().kinds[0].setting == pytest.approx(6 * GPH)
