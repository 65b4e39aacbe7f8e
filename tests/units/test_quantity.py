"""Reading numbers with a dimension: conversion, strictness, ranges told in the caller's unit."""

from typing import Annotated, get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import TypeAdapter, ValidationError

from service.units import quantity
from service.units.dimensions import DIMENSIONS, System, to_si
from service.units.model import QueryModel, UnitModel
from service.units.quantity import Count, Height, Length, Plain, Pressure, Quantity, Temperature
from service.units.reading import reading

READY = {
    name: annotation[1]
    for name in dir(quantity)
    if len(annotation := get_args(getattr(quantity, name))) == 2 and isinstance(annotation[1], Quantity)
}


class Inlet(UnitModel):
    pressure: Pressure
    temperature: Temperature = 20.0
    lengths: tuple[Length, ...] = ()


class Whole(UnitModel):
    rise: Height
    inlet: Inlet


class Asked(QueryModel):
    pressure: Pressure
    count: Count = 1


def faults(model, body):
    with pytest.raises(ValidationError) as caught:
        model.model_validate(body)
    return {".".join(map(str, fault["loc"])): fault for fault in caught.value.errors()}


def test_a_body_is_read_in_its_units():
    us = Inlet.model_validate({"pressure": 25, "temperature": 60, "lengths": [1, 2.5]})
    assert us.pressure == pytest.approx(172_368.93)  # 25 × 6894.757 Pa, NIST Special Publication 811
    assert us.temperature == pytest.approx(15.5556, abs=1e-4)
    assert us.lengths == pytest.approx((0.3048, 0.762))
    metric = Inlet.model_validate({"units": "metric", "pressure": 25, "temperature": 60})
    assert (metric.pressure, metric.temperature) == (25_000, 60)
    assert Inlet.model_validate_json('{"units": "metric", "pressure": 25}').pressure == 25_000


def test_outside_of_a_reading_numbers_are_si():
    assert TypeAdapter(Pressure).validate_python(172_369.0) == 172_369.0


def test_a_nested_model_has_the_units_of_the_body():
    whole = Whole.model_validate({"units": "metric", "rise": -1, "inlet": {"pressure": 100}})
    assert (whole.rise, whole.inlet.pressure, whole.inlet.units) == (-1, 100_000, System.METRIC)
    repeated = {"units": "metric", "rise": 0, "inlet": {"units": "metric", "pressure": 100}}
    assert Whole.model_validate(repeated).inlet.pressure == 100_000


def test_a_nested_model_in_other_units_is_refused():
    fault = faults(Whole, {"units": "metric", "rise": 0, "inlet": {"units": "us", "pressure": 100}})["inlet.units"]
    assert fault["type"] == "units_differ"
    assert fault["ctx"]["accepted"] == "metric"
    # The body that does not say is in the default, and what is nested may not choose another.
    assert "inlet.units" in faults(Whole, {"rise": 0, "inlet": {"units": "metric", "pressure": 100}})


@pytest.mark.parametrize("units", ["imperial", "US", None, 1, ["us"], {}])
def test_unknown_units_are_told_beside_all_other_faults(units):
    found = faults(Inlet, {"units": units, "pressure": -1, "presure": 3})
    assert set(found) == {"units", "pressure", "presure"}


def test_the_system_is_forgotten_after_a_reading_even_a_failed_one():
    faults(Inlet, {"units": "metric", "pressure": -1})
    assert TypeAdapter(Pressure).validate_python(7.0) == 7.0


@pytest.mark.parametrize("value", [True, False, "12.5", "", None, [], {}, float("nan")])
def test_a_body_takes_numbers_only(value):
    fault = faults(Inlet, {"pressure": value})["pressure"]
    assert fault["type"] == "not_a_number"
    assert fault["ctx"]["accepted"] == "from 0 to 290 psi"


@pytest.mark.parametrize(
    ("text", "psi"),
    [("12.5", 12.5), ("12,5", 12.5), ("12", 12), (" 5", 5), ("1e1", 10), (".5", 0.5), ("5.", 5), ("+5", 5), ("-0", 0)],
)
def test_a_query_takes_numeric_text(text, psi):
    assert Asked.model_validate({"pressure": text}).pressure == pytest.approx(to_si(psi, "pressure", System.US))


@pytest.mark.parametrize(
    "text", ["1_0", "0x10", "inf", "nan", "1.234,5", "1,2,3", "twelve", "", "٣", "1 2", "1e", "--1"]
)
def test_a_query_refuses_other_text(text):
    assert faults(Asked, {"pressure": text})["pressure"]["type"] == "not_a_number"


@pytest.mark.parametrize("text", ["1e400", "9" * 400, "-1", "290.1"])
def test_a_query_refuses_what_is_out_of_range(text):
    assert faults(Asked, {"pressure": text})["pressure"]["type"] == "out_of_range"


@pytest.mark.parametrize(("value", "told"), [(301, "301 psi"), (-1.5, "-1.5 psi"), (1e308, "1e+308 psi")])
def test_a_value_out_of_range_is_told_in_the_callers_unit(value, told):
    fault = faults(Inlet, {"pressure": value})["pressure"]
    assert fault["type"] == "out_of_range"
    assert fault["ctx"]["accepted"] == "from 0 to 290 psi"
    assert fault["msg"] == f"{told} is outside the range from 0 to 290 psi."
    metric = faults(Inlet, {"units": "metric", "pressure": 2001})["pressure"]
    assert metric["msg"] == "2001 kPa is outside the range from 0 to 2000 kPa."


@pytest.mark.parametrize("value", [10**400, -(10**400), float("inf")])
def test_a_number_past_every_float_is_out_of_range(value):
    assert faults(Inlet, {"pressure": value})["pressure"]["type"] == "out_of_range"


@pytest.mark.parametrize("number", [1, 100_000, 3.0])
def test_a_count_is_whole(number):
    count = TypeAdapter(Count).validate_python(number)
    assert count == number
    assert type(count) is int


@pytest.mark.parametrize(
    ("number", "fault"),
    [
        (0, "out_of_range"),
        (100_001, "out_of_range"),
        (2.5, "not_a_whole_number"),
        (True, "not_a_number"),
        ("3", "not_a_number"),
    ],
)
def test_a_count_that_is_none_is_refused(number, fault):
    with pytest.raises(ValidationError) as caught:
        TypeAdapter(Count).validate_python(number)
    assert caught.value.errors()[0]["type"] == fault


def test_a_count_in_a_query_may_be_text():
    assert Asked.model_validate({"pressure": "1", "count": "12"}).count == 12
    assert faults(Asked, {"pressure": "1", "count": "1.5"})["count"]["type"] == "not_a_whole_number"


def test_a_plain_number_is_never_converted():
    with reading(System.US):
        assert TypeAdapter(Annotated[float, Plain(0, 1)]).validate_python(0.5) == 0.5


def test_an_unbounded_quantity_takes_every_finite_number():
    adapter = TypeAdapter(Annotated[float, Quantity("pressure")])
    with reading(System.METRIC):
        assert adapter.validate_python(-5) == -5000
        with pytest.raises(ValidationError, match="any number of kPa"):
            adapter.validate_python(float("inf"))


@pytest.mark.parametrize("name", sorted(READY))
@pytest.mark.parametrize("system", System)
def test_the_range_told_is_the_range_that_holds(name, system):
    adapter = TypeAdapter(getattr(quantity, name))
    span = READY[name].span(system)
    low, high = (float(word) for word in span.accepted.split() if word[0] in "-0123456789")
    with reading(system):
        for end in (low, high):
            # At the very bound of the SI range the conversion may err by its last digit.
            assert READY[name].low - 1e-12 <= adapter.validate_python(end) <= READY[name].high * (1 + 1e-12)
        for outside in (low - abs(low) * 1e-6 - 1e-9, high * (1 + 1e-6)):
            with pytest.raises(ValidationError):
                adapter.validate_python(outside)


@given(value=st.floats(0.01, 280.0))
def test_the_same_pressure_in_either_system_is_the_same(value):
    metric = value * 6.894757293168361  # NIST Special Publication 811, appendix B.8: kPa per psi
    us = Inlet.model_validate({"pressure": value})
    assert us.pressure == pytest.approx(
        Inlet.model_validate({"units": "metric", "pressure": metric}).pressure, rel=1e-12
    )


def test_a_value_is_written_as_it_was_read():
    read = Inlet.model_validate({"pressure": 25.3, "lengths": [0.1]})
    assert read.model_dump()["pressure"] == read.pressure
    with reading(System.US):
        assert read.model_dump(include={"pressure", "lengths"}) == {"pressure": 25.3, "lengths": (0.1,)}
    with reading(System.METRIC):
        assert read.model_dump()["pressure"] == pytest.approx(25.3 * 6.894757293168361, rel=1e-11)


def test_the_schema_says_unit_and_range_of_both_systems():
    schema = Inlet.model_json_schema()
    assert schema["properties"]["pressure"] == {
        "title": "Pressure", "type": "number", "format": "double", "minimum": 0.0, "maximum": 2000.0,
        "x-unit": {
            "us": {"unit": "psi", "minimum": 0.0, "maximum": 290.0},
            "metric": {"unit": "kPa", "minimum": 0.0, "maximum": 2000.0},
        },
    }  # fmt: skip
    assert schema["properties"]["units"]["default"] == "us"
    assert "units" not in schema["required"]
    assert TypeAdapter(Count).json_schema() == {"type": "integer", "format": "int64", "minimum": 1, "maximum": 100_000}


def test_every_ready_type_has_a_known_dimension_and_bounds():
    assert {annotation.dimension for annotation in READY.values()} == set(DIMENSIONS)
    assert all(abs(annotation.high) <= 1e7 for annotation in READY.values())


@pytest.mark.parametrize("tiny", [5e-324, -5e-324, 1e-320, 1e-308, -1e-31])
def test_next_to_nothing_is_nothing(tiny):
    """One over the least double is infinite (IEEE 754): what divides by a number asks first whether it is nought."""
    zone = Whole.model_validate({"rise": tiny, "inlet": {"pressure": abs(tiny)}})
    assert (zone.rise, zone.inlet.pressure) == (0, 0)
    assert Asked.model_validate({"pressure": f"{abs(tiny)}"}).pressure == 0


def test_no_product_of_extremes_overflows():
    """The steepest formula of the service, Hazen-Williams, at the ends of its ranges."""
    flow, length, bore = READY["Flow"].high, READY["Length"].high, READY["Diameter"].low
    assert 10.67 * length * flow**1.852 / bore**4.8704 < 1e30
