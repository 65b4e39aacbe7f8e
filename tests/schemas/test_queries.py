"""Queries stand for bodies: the same numbers by GET and by POST, faults at the parameter to mend."""

import pytest

from service.schemas.filtration import Filtration
from service.schemas.filtration_query import FiltrationQuery
from service.schemas.lateral import Lateral
from service.schemas.profile_query import ProfileQuery
from service.schemas.uniform_query import UniformQuery
from service.schemas.zone import Zone
from service.zones.faults import ZoneFaults
from service.zones.instances import expand
from tests.schemas.village_hall import DAHLIAS, faults_of

FOOT = 0.3048

UNIFORM = {
    "static_pressure": "64",
    "test_flow": "8",
    "residual_pressure": "51",
    "meter_size": "0.75in",
    "source": "municipal",
    "temperature": "60",
    "backflow_loss": "9",
    "valve_cv": "9",
    "filter_mesh": "150",
    "filter_loss": "1.9",
    "dirty_allowance": "3",
    "regulator": "25",
    "feed_pipe": "pvc-sch40-0.75in",
    "feed_length": "45",
    "feed_rise": "2",
    "header_pipe": "pe-0.75in",
    "apart": "3",
    "laterals": "8",
    "lateral_pipe": "dripline-17mm",
    "lateral_length": "80",
    "spacing": "1",
    "first_at": "0,5",
    "emitter": "inline-compensating-0.6gph",
}

PROFILE = {
    "inlet_pressure": "25",
    "pipe": "dripline-17mm",
    "length": "80",
    "rise": "-2",
    "spacing": "1",
    "emitter": "inline-compensating-0.6gph",
    "temperature": "60",
    "friction": "hazen_williams",
}


def uniform(**changes):
    query = {**UNIFORM, **changes}
    return {name: value for name, value in query.items() if value is not None}


def laid_out(zone):
    """Address, start above the inlet and place on the parent of every run."""
    return {run.address: (run.start_elevation / FOOT, run.from_at / FOOT) for run in expand(zone.runs).instances}


def test_the_dahlia_rows_by_query_are_those_by_body():
    by_query = UniformQuery.model_validate(uniform()).to_zone()
    by_body = Zone.model_validate(DAHLIAS)
    assert by_query.supply == by_body.supply
    assert by_query.water == by_body.water
    assert by_query.head[3].set_pressure == by_body.head[3].set_pressure
    assert [device.device for device in by_query.head] == [device.device for device in by_body.head]
    assert by_query.runs[2].outlets == by_body.runs[2].outlets
    assert [run.pipe for run in by_query.runs] == [run.pipe for run in by_body.runs]
    assert [run.length for run in by_query.runs] == pytest.approx([run.length for run in by_body.runs])
    places = {address.replace("lateral", "row"): pytest.approx(place) for address, place in laid_out(by_query).items()}
    assert laid_out(by_body) == places


def test_numbers_in_metric_units_are_read_as_such():
    query = {**PROFILE, "units": "metric", "inlet_pressure": "170", "temperature": "15,5"}
    lateral = ProfileQuery.model_validate(query).to_lateral()
    assert lateral.inlet_pressure == 170e3
    assert lateral.run.length == 80
    assert lateral.water.temperature == 15.5


def test_a_lateral_by_query_is_that_by_body():
    body = {
        "inlet_pressure": 25,
        "run": {
            "pipe": "dripline-17mm",
            "length": 80,
            "rise": -2,
            "outlets": {"spacing": 1, "emitter": "inline-compensating-0.6gph"},
        },
        "water": {"temperature": 60},
        "options": {"friction": "hazen_williams"},
    }
    assert ProfileQuery.model_validate(PROFILE).to_lateral() == Lateral.model_validate(body)
    run = Lateral.model_validate(body).run.as_run()
    assert (run.id, run.from_, run.count, run.outlet_count) == ("lateral", None, 1, 80)


def test_a_filter_by_query_is_that_by_body():
    values = {"iron": 0.3, "ph": 7.9, "calcium_hardness": 200, "alkalinity": 180, "dissolved_solids": 500}
    query = {"flow": "5", "passage": "0.03", "source": "well", "water_temperature": "86"}
    water = {"source": "well", "temperature": 86, "warmest_temperature": 86, **values}
    body = {"flow": 5, "passage": 0.03, "water": water}
    by_query = FiltrationQuery.model_validate({**query, **{name: str(value) for name, value in values.items()}})
    assert by_query.to_filtration() == Filtration.model_validate(body)
    assert by_query.to_filtration().water.model_fields_set == set(water)


def test_water_that_was_not_described_is_known_to_be_assumed():
    zone = UniformQuery.model_validate(uniform(source=None, temperature=None)).to_zone()
    assert not zone.water.model_fields_set
    assert zone.water.source == "municipal"


@pytest.mark.parametrize("laterals", [2, 3, 6, 7])
@pytest.mark.parametrize("feed", [{}, {"feed_length": None, "feed_rise": None, "feed_pipe": None}])
def test_a_header_fed_at_its_centre_spreads_the_laterals_as_one_fed_at_its_end(laterals, feed):
    """By hand: n laterals at distance d stand from -(n-1)d/2 to (n-1)d/2 about the centre."""
    query = uniform(laterals=str(laterals), feed_at="centre", **feed)
    runs = laid_out(UniformQuery.model_validate(query).to_zone())
    stands = [0.0] if "middle" in runs else []
    stands += [
        place * (-1 if address.startswith("header:1") else 1)
        for address, (_, place) in runs.items()
        if "lateral" in address
    ]
    half = (laterals - 1) * 3 / 2
    assert sorted(stands) == pytest.approx([3 * n - half for n in range(laterals)])


@pytest.mark.parametrize(
    ("changes", "addresses"),
    [
        ({"laterals": "1"}, ["feed", "lateral"]),
        ({"laterals": None, "apart": None, "feed_length": None, "feed_rise": None, "feed_pipe": None}, ["lateral"]),
        ({"laterals": "2", "apart": "0"}, ["feed", "lateral:1", "lateral:2"]),
        ({"laterals": "2"}, ["feed", "header", "lateral:1", "lateral:2"]),
    ],
)
def test_there_is_a_header_only_where_laterals_stand_apart(changes, addresses):
    assert list(laid_out(UniformQuery.model_validate(uniform(**changes)).to_zone())) == addresses


def test_only_devices_that_were_told_of_stand_in_the_head():
    bare = dict.fromkeys(["backflow_loss", "valve_cv", "filter_mesh", "filter_loss", "dirty_allowance"])
    assert UniformQuery.model_validate(uniform(regulator="none", **bare)).to_zone().head == ()
    (filter_,) = UniformQuery.model_validate(uniform(regulator=None, **{**bare, "filter_mesh": "150"})).to_zone().head
    assert (filter_.mesh, filter_.loss, filter_.dirty_allowance) == (150, None, None)


def test_what_was_filled_in_is_told():
    told = {"header_pipe": "pe-0.75in", "backflow_kind": "reduced_pressure", "regulator": "none"}
    query = UniformQuery.model_validate(uniform(header_pipe=None, regulator=None))
    assert {assumed.what: assumed.value.template for assumed in query.assumptions} == told
    bore = {name: value for name, value in PROFILE.items() if name != "pipe"} | {"inside_diameter": "0.6"}
    assert [assumed.what for assumed in ProfileQuery.model_validate(bore).assumptions] == ["material"]
    assert ProfileQuery.model_validate(PROFILE).assumptions == ()


OWN = {"emitter": None, "outlet_flow": "1"}

REFUSED = [
    # model, changes, parameter of the fault, what is accepted (a part of it)
    (UniformQuery, {"residual_pressure": "70"}, "residual_pressure", "below 64 psi"),
    (UniformQuery, {"residual_pressure": None}, "residual_pressure", "beside test_flow"),
    (UniformQuery, {"test_flow": None}, "test_flow", "beside residual_pressure"),
    (UniformQuery, {"feed_length": None}, "feed_length", "beside feed"),
    (UniformQuery, {"feed_rise": "46"}, "feed_rise", "at most 45 ft"),
    (UniformQuery, {"lateral_rise": "-81"}, "lateral_rise", "at most 80 ft"),
    (UniformQuery, {"apart": None}, "apart", "0 where all leave at one place"),
    (UniformQuery, {"apart": "30000", "laterals": "80"}, "apart", "32808 ft"),
    (UniformQuery, {"laterals": "0"}, "laterals", "from 1"),
    (UniformQuery, {"laterals": "2.5"}, "laterals", "from 1"),
    (UniformQuery, {"regulator": "nine"}, "regulator", "psi"),
    (UniformQuery, {"regulator": "0"}, "regulator", "psi"),
    (UniformQuery, {"lateral_pipe": "dripline"}, "lateral_pipe", "dripline-17mm"),
    (UniformQuery, {"feed_at": "middle"}, "feed_at", ""),
    (UniformQuery, {"static_pressure": "1.000,5"}, "static_pressure", "psi"),
    (UniformQuery, {"static_pressure": "1e400"}, "static_pressure", "psi"),
    (UniformQuery, {"regulator_pressure": "25"}, "regulator_pressure", "regulator"),
    (UniformQuery, {"emitter": None}, "emitter", "one of emitter, outlet_flow"),
    (UniformQuery, {"outlet_flow": "1"}, "emitter", "one of emitter, outlet_flow"),
    (UniformQuery, {"exponent": "0.5"}, "exponent", "no exponent beside emitter"),
    (UniformQuery, OWN, "outlet_flow", "at_pressure and exponent, or min_pressure and max_pressure"),
    (UniformQuery, {**OWN, "exponent": "0.5"}, "at_pressure", "beside exponent"),
    (UniformQuery, {**OWN, "min_pressure": "10"}, "max_pressure", "beside min_pressure"),
    (UniformQuery, {**OWN, "min_pressure": "10", "max_pressure": "9"}, "max_pressure", "above 10 psi"),
    (ProfileQuery, {"inside_diameter": "0.6"}, "pipe", "one of pipe, inside_diameter"),
    (ProfileQuery, {"pipe": None}, "pipe", "one of pipe, inside_diameter"),
    (ProfileQuery, {"rise": "81"}, "rise", "at most 80 ft"),
    (ProfileQuery, {"count": "-1"}, "count", "from 1"),
    (FiltrationQuery, {"passage": None}, "passage", "one of passage, emitter"),
    (FiltrationQuery, {"emitter": "compensating-1gph"}, "passage", "one of passage, emitter"),
    (FiltrationQuery, {"ph": "15"}, "ph", "from 0 to 14"),
    (UniformQuery, {"regulator": "None"}, "regulator", "psi, or none"),
    (UniformQuery, {"regulator": "900"}, "regulator", "psi, or none"),
]


@pytest.mark.parametrize(("model", "changes", "parameter", "accepted"), REFUSED)
def test_a_fault_is_told_at_the_parameter_to_mend(model, changes, parameter, accepted):
    whole = {UniformQuery: UNIFORM, ProfileQuery: PROFILE, FiltrationQuery: {"flow": "5", "passage": "0.03"}}[model]
    found = faults_of(model, {name: value for name, value in {**whole, **changes}.items() if value is not None})
    assert list(found) == [parameter]
    assert accepted in found[parameter][1]


def test_faults_between_parameters_are_told_at_once():
    found = faults_of(UniformQuery, uniform(residual_pressure="70", feed_rise="46", lateral_rise="90"))
    assert set(found) == {"residual_pressure", "feed_rise", "lateral_rise"}


def test_outlets_of_an_own_law():
    power = {**PROFILE, "emitter": None, "outlet_flow": "1", "at_pressure": "15", "exponent": "0.5"}
    emitter = ProfileQuery.model_validate({n: v for n, v in power.items() if v}).to_lateral().run.outlets.emitter
    assert emitter.exponent == 0.5
    assert not emitter.range_stated
    steady = {**PROFILE, "emitter": None, "outlet_flow": "1", "min_pressure": "8", "max_pressure": "50"}
    emitter = ProfileQuery.model_validate({n: v for n, v in steady.items() if v}).to_lateral().run.outlets.emitter
    assert emitter.compensating


GRAPH = [
    (UniformQuery, uniform(spacing="200", first_at=None), "spacing"),
    (UniformQuery, uniform(first_at="90"), "first_at"),
    (UniformQuery, uniform(count="90"), "count"),
    (UniformQuery, uniform(laterals="3000", apart="0.1"), "laterals"),
    (UniformQuery, uniform(laterals="1500", apart="0.1"), "laterals"),
    (ProfileQuery, {**PROFILE, "count": "90"}, "count"),
    (ProfileQuery, {**PROFILE, "spacing": "0.01", "per_place": "20"}, "spacing"),
]


@pytest.mark.parametrize(("model", "query", "parameter"), GRAPH)
def test_faults_of_the_whole_zone_have_a_parameter_too(model, query, parameter):
    read = model.model_validate(query)
    in_zone = model is UniformQuery
    runs = read.to_zone().runs if in_zone else [read.to_lateral().run.as_run()]
    with pytest.raises(ZoneFaults) as caught:
        expand(runs, where=lambda run: ("runs", run) if in_zone else ("run",))
    assert {read.parameter_at(fault.where) for fault in caught.value.faults} == {parameter}
