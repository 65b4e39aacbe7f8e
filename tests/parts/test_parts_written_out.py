"""Parts in a request: an id or an object, each with one clear fault when it is wrong."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from service.parts.catalogue import Catalogue, using
from service.parts.choice import EmitterChoice, PipeChoice
from service.parts.models import Emitter, Pipe
from service.units.dimensions import System, to_si
from service.units.model import Maybe, QueryModel, UnitModel


class Piece(UnitModel):
    pipe: Maybe[PipeChoice] = None
    emitter: Maybe[EmitterChoice] = None


class Asked(QueryModel):
    pipe: PipeChoice


def faults(**body):
    with pytest.raises(ValidationError) as caught:
        Piece.model_validate(body)
    return {".".join(map(str, fault["loc"])): fault for fault in caught.value.errors()}


PE = {"inside_diameter": 0.6, "material": "pe"}
POWER = {"flow": 1, "at_pressure": 15, "exponent": 0.5}
FLAT = {"flow": 2, "pressure_range": [8, 50]}


def test_an_id_is_looked_up():
    read = Piece.model_validate({"pipe": "dripline-17mm", "emitter": "inline-compensating-0.6gph"})
    assert read.pipe.id == "dripline-17mm"
    assert read.emitter.flow == pytest.approx(to_si(0.6, "outlet_flow", System.US))
    assert Asked.model_validate({"pipe": "pe-1in"}).pipe.id == "pe-1in"


def test_an_id_is_looked_up_in_the_catalogue_in_use():
    own = Pipe(id="own", inside_diameter=0.02, material="pe", name="own", source="invented for this test")
    with using(Catalogue([own])):
        assert Piece.model_validate({"pipe": "own"}).pipe is own
    assert faults(pipe="own")["pipe"]["type"] == "unknown_part"
    with using(Catalogue([])):
        assert faults(pipe="pe-1in")["pipe"]["ctx"]["accepted"] == "an object: the catalogue holds no pipe"


@pytest.mark.parametrize(("given_id", "nearest"), [("pvc-sch40-0.7in", "pvc-sch40-0.75in"), ("PE-0.75IN", "pe-0.75in")])
def test_an_unknown_id_names_the_nearest(given_id, nearest):
    fault = faults(pipe=given_id)["pipe"]
    assert fault["type"] == "unknown_part"
    assert nearest in fault["ctx"]["accepted"]
    assert given_id not in fault["msg"]


def test_an_id_of_another_kind_is_unknown():
    assert faults(pipe="compensating-2gph")["pipe"]["type"] == "unknown_part"


@pytest.mark.parametrize("value", [3, True, None, [], ["pe-1in"], 1.5])
def test_neither_id_nor_object_is_one_fault(value):
    found = faults(pipe=value)
    assert list(found) == ["pipe"]
    assert "inside_diameter" in found["pipe"]["ctx"]["accepted"]


@pytest.mark.parametrize(("units", "bore"), [("us", 0.6 * 0.0254), ("metric", 0.6e-3)])
def test_a_pipe_written_out_is_read_in_the_units_of_the_body(units, bore):
    pipe = Piece.model_validate({"units": units, "pipe": PE}).pipe
    assert type(pipe) is Pipe
    assert pipe.inside_diameter == pytest.approx(bore)
    assert (pipe.id, pipe.max_pressure, pipe.roughness) == (None, None, 1.5e-6)


def test_a_pipe_may_state_what_its_material_would_decide():
    pipe = Piece.model_validate({"pipe": {**PE, "roughness": 7, "hazen_williams_c": 145, "max_pressure": 80}}).pipe
    assert pipe.roughness == pytest.approx(7e-6)
    assert pipe.hazen_williams_c == 145
    assert pipe.max_pressure == pytest.approx(to_si(80, "pressure", System.US))


@pytest.mark.parametrize(
    ("change", "where", "kind"),
    [
        ({"inside_diameter": 0}, "pipe.inside_diameter", "out_of_range"),
        ({"inside_diameter": "0.6"}, "pipe.inside_diameter", "not_a_number"),
        ({"material": "wood"}, "pipe.material", "enum"),
        ({"rouhgness": 1}, "pipe.rouhgness", "unknown_field"),
        ({"id": "mine"}, "pipe.id", "unknown_field"),
        ({"roughness": None}, "pipe.roughness", "not_a_number"),
        ({"roughness": 3000}, "pipe.roughness", "refused"),
        ({"hazen_williams_c": 1.5}, "pipe.hazen_williams_c", "out_of_range"),
        ({"max_pressure": -1}, "pipe.max_pressure", "out_of_range"),
    ],
)
def test_a_faulty_pipe_is_refused_at_its_field(change, where, kind):
    found = faults(pipe={**PE, **change})
    assert {place: fault["type"] for place, fault in found.items()} == {where: kind}


def test_all_faults_of_a_part_are_told_at_once():
    found = faults(pipe={"inside_diameter": 0, "materiel": "pe"}, emitter={"flow": -1})
    assert set(found) == {"pipe.inside_diameter", "pipe.material", "pipe.materiel", "emitter.flow"}


def test_a_power_law_emitter_assumes_its_range():
    emitter = Piece.model_validate({"emitter": POWER}).emitter
    assert type(emitter) is Emitter
    assert not emitter.compensating
    assert not emitter.range_stated
    # Common practice, no source: half to twice the rated pressure.
    assert emitter.pressure_range == pytest.approx((7.5 * 6894.757, 30 * 6894.757), rel=1e-6)


def test_a_stated_range_stands():
    emitter = Piece.model_validate({"emitter": {**POWER, "pressure_range": [10, 20]}}).emitter
    assert emitter.range_stated
    assert emitter.pressure_range == pytest.approx((10 * 6894.757, 20 * 6894.757), rel=1e-6)


def test_a_compensating_emitter_has_a_range_and_no_exponent():
    emitter = Piece.model_validate({"emitter": {**FLAT, "closing_pressure": 2, "variation": 0.05}}).emitter
    assert emitter.compensating
    assert emitter.range_stated
    assert emitter.closing_pressure == pytest.approx(to_si(2, "pressure", System.US))


@pytest.mark.parametrize(
    ("emitter", "where", "kind"),
    [
        ({"flow": 1}, "emitter", "refused"),
        ({"flow": 1, "exponent": 0.5}, "emitter.at_pressure", "refused"),
        ({"flow": 1, "exponent": 0.5, "pressure_range": [8, 50]}, "emitter.at_pressure", "refused"),
        ({"flow": 1, "at_pressure": 15}, "emitter.exponent", "refused"),
        ({**FLAT, "at_pressure": 15}, "emitter.exponent", "refused"),
        ({**POWER, "exponent": 0.04}, "emitter.exponent", "out_of_range"),
        ({**POWER, "exponent": 1.3}, "emitter.exponent", "out_of_range"),
        ({**POWER, "exponent": 0}, "emitter.exponent", "out_of_range"),
        ({**POWER, "at_pressure": 0}, "emitter.at_pressure", "out_of_range"),
        ({**POWER, "closing_pressure": 2}, "emitter.closing_pressure", "refused"),
        ({**FLAT, "pressure_range": [50, 8]}, "emitter.pressure_range", "refused"),
        ({**FLAT, "pressure_range": [8, 8]}, "emitter.pressure_range", "refused"),
        ({**FLAT, "pressure_range": [8]}, "emitter.pressure_range.1", "missing"),
        ({**FLAT, "closing_pressure": 8}, "emitter.closing_pressure", "refused"),
        ({**FLAT, "closing_pressure": 7.93}, "emitter.closing_pressure", "refused"),
        ({**FLAT, "closing_pressure": -1}, "emitter.closing_pressure", "out_of_range"),
        ({**FLAT, "variation": 5}, "emitter.variation", "out_of_range"),
        ({**FLAT, "adjustable": [1, 2]}, "emitter.adjustable", "unknown_field"),
    ],
)
def test_a_faulty_emitter_is_refused_at_its_field(emitter, where, kind):
    found = faults(emitter=emitter)
    assert {place: fault["type"] for place, fault in found.items()} == {where: kind}


def test_an_emitter_may_shut_up_to_a_hundredth_below_the_least_it_works_at():
    emitter = Piece.model_validate({"emitter": {**FLAT, "closing_pressure": 7.91}}).emitter
    assert emitter.closing_pressure == pytest.approx(to_si(7.91, "pressure", System.US))
    fault = faults(emitter={**FLAT, "closing_pressure": 7.95})["emitter.closing_pressure"]
    assert "shut at 7.95 psi, hardly below the 8 psi" in fault["msg"]
    assert fault["ctx"]["accepted"] == "below 7.92 psi"


def test_a_fault_between_fields_is_told_in_the_callers_units():
    assert "8 psi" in faults(emitter={**FLAT, "closing_pressure": 9})["emitter.closing_pressure"]["msg"]
    metric = {"flow": 2, "pressure_range": [60, 400], "closing_pressure": 70}
    assert "60 kPa" in faults(units="metric", emitter=metric)["emitter.closing_pressure"]["msg"]


json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from([*PE, *POWER, *FLAT, "variation", "x"]), inner, max_size=5)
    ),
    max_leaves=8,
)


def test_a_part_that_was_read_is_taken_as_it_is():
    read = Piece.model_validate({"pipe": PE})
    assert Piece.model_validate({"pipe": read.pipe}).pipe is read.pipe


@given(pipe=json_values, emitter=json_values)
def test_whatever_is_sent_is_a_part_or_a_fault(pipe, emitter):
    try:
        read = Piece.model_validate({"pipe": pipe, "emitter": emitter})
    except ValidationError:
        return
    assert isinstance(read.pipe, Pipe)
    assert isinstance(read.emitter, Emitter)


def test_the_schema_shows_both_forms_and_nothing_else():
    schema = Piece.model_json_schema()
    by_id, written = schema["properties"]["pipe"]["oneOf"]
    assert by_id["type"] == "string"
    assert by_id["pattern"] == "^[a-z0-9.-]+$"
    pipe = schema["$defs"][written["$ref"].rsplit("/", 1)[1]]
    assert set(pipe["properties"]) == {
        "inside_diameter", "material", "roughness", "hazen_williams_c", "max_pressure",
    }  # fmt: skip
    assert pipe["additionalProperties"] is False
    assert pipe["required"] == ["inside_diameter", "material"]
