"""Models of what people write: closed, frozen, nothing null, faults between fields at the field to mend."""

from typing import Self

import pytest
from pydantic import Field, ValidationError, model_validator

from service.units.dimensions import System
from service.units.model import Maybe, Model, UnitModel
from service.units.quantity import Length
from service.units.refusal import Refusal, building_in_si, refuse, refused
from service.units.sentence import Measured, Sentence


class Bed(Model):
    length: Length
    """Length of the bed."""

    starts: Maybe[Length] = Field(default=None, alias="from")

    @model_validator(mode="after")
    def _ends_after_it_starts(self) -> Self:
        end = {"end": Measured(self.length, "length")}
        told = Sentence("The bed ends at {end}.", end)
        late = self.starts is not None and self.starts >= self.length
        refuse("Bed", [Refusal(("from",), told, Sentence("below {end}", end))] if late else [])
        return self


class Plot(UnitModel):
    beds: tuple[Bed, ...]


def faults(body):
    with pytest.raises(ValidationError) as caught:
        Plot.model_validate(body)
    return {".".join(map(str, fault["loc"])): fault for fault in caught.value.errors()}


def test_an_unknown_field_is_told_with_the_known_ones():
    fault = faults({"beds": [{"length": 3, "lenght": 3}]})["beds.0.lenght"]
    assert fault["type"] == "unknown_field"
    assert fault["ctx"]["accepted"] == "length, from"


@pytest.mark.parametrize("value", [None, 3, "bed", [1]])
def test_what_is_no_object_is_told_the_fields(value):
    fault = faults({"beds": [value]})["beds.0"]
    assert fault["type"] == "not_an_object"
    assert fault["ctx"]["accepted"] == "fields length, from"


def test_a_field_may_be_left_out_but_not_null():
    assert Plot.model_validate({"beds": [{"length": 3}]}).beds[0].starts is None
    assert faults({"beds": [{"length": 3, "from": None}]})["beds.0.from"]["type"] == "not_a_number"


def test_nothing_changes_afterwards():
    bed = Plot.model_validate({"beds": [{"length": 3}]}).beds[0]
    with pytest.raises(ValidationError, match="frozen"):
        bed.length = 4


@pytest.mark.parametrize(("units", "told"), [("us", "3 ft"), ("metric", "3 m")])
def test_a_fault_between_fields_is_told_at_one_of_them(units, told):
    fault = faults({"units": units, "beds": [{"length": 9}, {"length": 3, "from": 5}]})["beds.1.from"]
    assert fault["msg"] == f"The bed ends at {told}."
    assert fault["ctx"]["accepted"] == f"below {told}"


def test_values_in_si_are_told_in_metric():
    with pytest.raises(ValidationError, match=r"ends at 3 m"):
        Bed.model_validate({"length": 3.0, "from": 5.0})


def test_values_in_si_are_told_in_the_units_of_the_listener():
    with building_in_si(System.US), pytest.raises(ValidationError, match=r"ends at 9.84 ft"):
        Bed.model_validate({"length": 3.0, "from": 5.0})


def test_a_body_built_in_si_keeps_the_units_of_its_caller():
    with building_in_si(System.METRIC):
        plot = Plot.model_validate({"units": "us", "beds": [{"length": 3.0}]})
    assert (plot.units, plot.beds[0].length) == (System.US, 3.0)


def test_all_refusals_are_reported_together():
    error = refused("Bed", Refusal(("length",), "Too long.", "less"), Refusal((), "Too many.", "fewer"))
    assert [(fault["loc"], fault["msg"]) for fault in error.errors()] == [(("length",), "Too long."), ((), "Too many.")]


def test_the_schema_knows_no_null():
    schema = Plot.model_json_schema()["$defs"]["Bed"]
    assert schema["properties"]["from"]["type"] == "number"
    assert "default" not in schema["properties"]["from"]
    assert schema["properties"]["length"]["description"] == "Length of the bed."
    assert schema["additionalProperties"] is False


def test_a_model_that_was_read_is_taken_as_it_is():
    plot = Plot.model_validate({"beds": [{"length": 3}]})
    assert Plot.model_validate(plot) is plot
    assert plot.units is System.US
