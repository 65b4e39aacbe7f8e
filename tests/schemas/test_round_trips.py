"""A zone read from a document and written again says what the document said, in the same units or in the others."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.schemas.zone import Zone
from service.units.dimensions import System
from service.units.reading import reading
from tests.strategies import Json, in_metric, zones

Path = tuple[str | int, ...]

few = settings(max_examples=40)


def written(zone: Zone, system: System) -> Json:
    """A zone as a document. A meter stands in a request by its size, as the service knows no other way to say it."""
    with reading(system):
        document: Json = zone.model_dump(mode="json", by_alias=True, exclude_unset=True, warnings=False)
    if "meter_size" in document["supply"]:
        document["supply"]["meter_size"] = document["supply"]["meter_size"]["nominal"]
    return document | {"units": system.value}


def leaves(value: Any, path: Path = ()) -> Iterator[tuple[Path, Any]]:
    """Every number and text of a document, with its place."""
    if isinstance(value, dict | list):
        for key, one in value.items() if isinstance(value, dict) else enumerate(value):
            yield from leaves(one, (*path, key))
    else:
        yield path, value


def at(document: Any, path: Path) -> Any:
    for key in path:
        document = document[key]
    return document


def same(value: Any) -> Any:
    return pytest.approx(value, rel=1e-11, abs=1e-12) if isinstance(value, int | float) else value


@few
@given(zones(), st.sampled_from(System))
def test_a_document_is_written_as_it_was_read(body: Json, system: System):
    document = body if system is System.US else in_metric(body)
    again = written(Zone.model_validate(document), system)
    for path, value in leaves(document):
        found = at(again, path)
        if isinstance(found, dict):  # a part that was named by its id, and is written out
            assert isinstance(value, str)
        else:
            assert found == same(value), path


@few
@given(zones(), st.sampled_from(System), st.sampled_from(System))
def test_writing_and_reading_again_changes_nothing_whatever_the_units(body: Json, first: System, second: System):
    once = Zone.model_validate(written(Zone.model_validate(body), first))
    twice = Zone.model_validate(written(once, second))
    one, other = (dict(leaves(written(zone, System.US))) for zone in (once, twice))
    assert other == {path: same(value) for path, value in one.items()}
