"""How many items a list may hold, and how its faults are told."""

from typing import Annotated

import pytest
from pydantic import TypeAdapter, ValidationError

from service.units.lists import BATCH, ENOUGH_FAULTS, Items
from service.units.quantity import Length

LENGTHS = TypeAdapter(Annotated[tuple[Length, ...], Items(2, 1000)])


def faults(items):
    with pytest.raises(ValidationError) as caught:
        LENGTHS.validate_python(items)
    return caught.value.errors()


@pytest.mark.parametrize("count", [2, BATCH, BATCH + 1, 1000])
def test_good_items_come_in_their_order(count):
    assert LENGTHS.validate_python([n + 1.0 for n in range(count)]) == tuple(n + 1.0 for n in range(count))


@pytest.mark.parametrize("count", [0, 1, 1001])
def test_items_are_counted_as_written(count):
    (fault,) = faults([0.0] * count)
    assert fault["msg"] == f"There are {count} items."
    assert fault["ctx"]["accepted"] == "2 to 1000 items"


def test_a_faulty_item_is_no_missing_item():
    (fault,) = faults([1.0, "one"])
    assert fault["loc"] == (1,)


def test_faults_are_told_at_their_place_in_the_whole_list():
    items = [1.0] * (3 * BATCH)
    items[5] = items[BATCH + 7] = items[-1] = "one"
    assert [fault["loc"] for fault in faults(items)] == [(5,), (BATCH + 7,), (3 * BATCH - 1,)]


def test_a_hopeless_list_is_read_no_further():
    assert len(faults(["one"] * 1000)) == ENOUGH_FAULTS


@pytest.mark.parametrize("value", [5, "12", None, {"0": 1.0}])
def test_what_is_no_list_is_refused(value):
    assert faults(value)[0]["loc"] == ()


def test_the_document_has_the_bounds():
    schema = LENGTHS.json_schema()
    assert (schema["type"], schema["minItems"], schema["maxItems"]) == ("array", 2, 1000)
