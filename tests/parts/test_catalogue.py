"""The catalogue: what is shipped, what an operator may add, and what is refused at start-up."""

import re
import tomllib
from importlib import resources

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.parts.catalogue import CatalogueFault, UnknownPart, catalogue_in_use, load_catalogue, read_parts
from service.parts.models import KINDS, Pipe
from service.parts.view import part_view
from service.units.dimensions import System, to_si

IDS_IN_THE_CONTRACT = [
    ("pipe", "pvc-sch40-0.75in"), ("pipe", "pe-0.75in"), ("pipe", "pe-0.5in"), ("pipe", "dripline-17mm"),
    ("pipe", "tubing-0.25in"), ("emitter", "inline-compensating-0.6gph"), ("emitter", "compensating-2gph"),
    ("meter", "0.75in"),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "part_id"), IDS_IN_THE_CONTRACT)
def test_the_ids_that_callers_were_promised_exist(kind, part_id):
    assert load_catalogue().get(kind, part_id).id == part_id


def test_every_kind_has_parts_and_every_part_a_source():
    catalogue = load_catalogue()
    assert {part.kind_of_part for part in catalogue.parts()} == set(KINDS)
    for part in catalogue.parts():
        assert re.fullmatch(r"[a-z0-9.-]+", part.id)
        assert re.search(r"common practice|memory|read in|ASTM|AWWA|Hydraulic Institute|no meaning", part.source), (
            part.id
        )


def test_every_named_source_is_used():
    for file in resources.files("service.parts").joinpath("data").iterdir():
        document = tomllib.loads(file.read_text(encoding="utf-8"))
        used = {
            name for entries in document.values() if isinstance(entries, list) for e in entries for name in e["source"]
        }
        assert used == set(document["sources"]), file.name


def test_the_shipped_catalogue_is_read_once():
    assert load_catalogue() is load_catalogue()
    assert catalogue_in_use() is load_catalogue()


def test_parts_are_filtered_by_kind():
    catalogue = load_catalogue()
    assert len(catalogue) == sum(len(catalogue.parts(kind)) for kind in KINDS)
    assert {type(part) for part in catalogue.parts("pipe")} == {Pipe}


def test_an_unknown_id_names_the_nearest():
    with pytest.raises(UnknownPart) as caught:
        load_catalogue().get("emitter", "compensating-3gph")
    assert "compensating-2gph" in caught.value.nearest
    with pytest.raises(UnknownPart) as caught:
        load_catalogue().get(None, "nothing like it at all")
    assert caught.value.nearest


@given(st.text(max_size=300))
def test_whatever_else_is_asked_for_is_unknown(asked):
    if asked in {part.id for part in load_catalogue().parts("pipe")}:
        return
    with pytest.raises(UnknownPart) as caught:
        load_catalogue().get("pipe", asked)
    assert 1 <= len(caught.value.nearest) <= 5


GOOD = """
units = "metric"

[sources]
sheet = "data sheet of the workshop"

[[pipe]]
id = "hose-19mm"
name = "Hose, 19 mm"
inside_diameter = 19
material = "vinyl"
source = ["sheet"]

[[emitter]]
id = "own-3lph"
name = "Own emitter"
flow = 3
pressure_range = [60, 400]
source = "measured in the yard"
"""


def test_an_operator_adds_parts_in_either_system(tmp_path):
    file = tmp_path / "own.toml"
    file.write_text(GOOD, encoding="utf-8")
    catalogue = load_catalogue(file)
    hose = catalogue.get("pipe", "hose-19mm")
    assert isinstance(hose, Pipe)
    assert hose.inside_diameter == pytest.approx(0.019)
    assert hose.source == "data sheet of the workshop"
    assert len(catalogue) == len(load_catalogue()) + 2
    assert "own-3lph" not in {part.id for part in load_catalogue().parts()}


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        (('units = "metric"', ""), ["own.toml: units"]),
        (('units = "metric"', 'units = "imperial"'), ["own.toml: units"]),
        (("[[pipe]]", "[[pipes]]"), ["own.toml: pipes", "no kind of part"]),
        (("[[pipe]]", "[pipe]"), ["own.toml: pipe", "[[pipe]]"]),
        (("inside_diameter = 19", "inside_diameter = 1900"), ["pipe hose-19mm, inside_diameter", "0.2 to 500 mm"]),
        (("inside_diameter = 19", 'inside_diameter = "19"'), ["pipe hose-19mm, inside_diameter", "number"]),
        (("inside_diameter = 19", "inside_diameter = nan"), ["pipe hose-19mm, inside_diameter", "number"]),
        (("inside_diameter = 19", "bore = 19"), ["pipe hose-19mm, bore", "pipe hose-19mm, inside_diameter"]),
        (('material = "vinyl"', 'material = "wood"'), ["pipe hose-19mm, material"]),
        (('id = "hose-19mm"', ""), ["pipe number 1, id"]),
        (('id = "hose-19mm"', 'id = "Hose 19"'), ["pipe Hose 19, id"]),
        (('id = "hose-19mm"', 'id = "pe-1in"'), ["pipe pe-1in, id", "another part"]),
        (('id = "own-3lph"', 'id = "hose-19mm"'), ["emitter hose-19mm, id", "another part"]),
        (('name = "Hose, 19 mm"', ""), ["pipe hose-19mm, name"]),
        (('source = ["sheet"]', ""), ["pipe hose-19mm, source"]),
        (('source = ["sheet"]', 'source = ["shed"]'), ["pipe hose-19mm, source", "shed"]),
        (('sheet = "data sheet of the workshop"', "sheet = 3"), ["pipe hose-19mm, source", "sheet"]),
        (("[sources]\nsheet", "sources = 3\nsheet"), ["own.toml"]),
        (("pressure_range = [60, 400]", "pressure_range = [400, 60]"), ["emitter own-3lph, pressure_range", "least"]),
        (("flow = 3", "flow = 3\nloss = 2"), ["emitter own-3lph, loss"]),
        (("inside_diameter = 19", "inside_diameter = 19\noutside_diameter = 19"), ["outside_diameter", "above 19 mm"]),
        (("[[emitter]]", "[[emitter"), ["own.toml: not valid TOML"]),
    ],
)  # fmt: skip
def test_a_faulty_file_is_refused_by_file_part_and_field(tmp_path, wrong, told):
    file = tmp_path / "own.toml"
    assert wrong[0] in GOOD
    file.write_text(GOOD.replace(*wrong), encoding="utf-8")
    with pytest.raises(CatalogueFault) as caught:
        load_catalogue(file)
    for words in told:
        assert words in str(caught.value)


DEVICE = """
units = "metric"

[[{kind}]]
id = "own"
name = "Own device"
nominal = "20mm"
source = "invented for this test"
loss = {{ table = [[10, 30], [20, 25]] }}
"""


def test_only_a_backflow_preventer_may_lose_less_at_more_flow():
    (part,) = read_parts(DEVICE.format(kind="backflow_preventer") + 'kind = "reduced_pressure"', "own.toml")
    assert part.loss.falls() == [1]
    with pytest.raises(CatalogueFault, match=r"valve own, loss\.table\.1\.1: The loss falls"):
        read_parts(DEVICE.format(kind="valve"), "own.toml")


def test_a_meter_lasts_at_no_more_than_it_bears():
    text = DEVICE.format(kind="meter").replace("25]]", "35]]") + "safe_max_flow = 20\ncontinuous_flow = 30"
    with pytest.raises(CatalogueFault, match=r"meter own, continuous_flow"):
        read_parts(text, "own.toml")


def test_all_faults_of_a_file_are_told_at_once():
    text = GOOD.replace("inside_diameter = 19", "inside_diameter = 0").replace("flow = 3", "flow = -3")
    with pytest.raises(CatalogueFault) as caught:
        read_parts(text, "own.toml")
    assert len(str(caught.value).splitlines()) == 2


def test_a_file_that_cannot_be_read_is_refused_by_name(tmp_path):
    with pytest.raises(CatalogueFault, match=r"absent\.toml"):
        load_catalogue(tmp_path / "absent.toml")
    binary = tmp_path / "binary.toml"
    binary.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(CatalogueFault, match=r"binary\.toml"):
        load_catalogue(binary)


@pytest.mark.parametrize("part", load_catalogue().parts(), ids=lambda part: part.id)
def test_a_part_shows_the_figures_of_its_file(part):
    view = part_view(part, System.US)
    assert list(view)[:3] == ["id", "kind", "name"]
    assert view["id"] == part.id
    assert None not in view.values()
    for field, dimension in (("inside_diameter", "diameter"), ("flow", "outlet_flow"), ("set_pressure", "pressure")):
        if field in view:
            assert to_si(view[field], dimension, System.US) == pytest.approx(getattr(part, field), rel=1e-11)


def test_a_view_is_in_the_callers_units_and_complete():
    catalogue = load_catalogue()
    pipe = part_view(catalogue.get("pipe", "pvc-sch40-0.75in"), System.US)
    assert (pipe["inside_diameter"], pipe["roughness"], pipe["hazen_williams_c"]) == (0.824, 1.5, 150)
    metric = part_view(catalogue.get("pipe", "pvc-sch40-0.75in"), System.METRIC)
    assert metric["inside_diameter"] == pytest.approx(20.9296)  # 0.824 in of 25.4 mm
    emitter = part_view(catalogue.get("emitter", "compensating-1gph"), System.US)
    assert emitter["pressure_range"] == [10, 50]
    assert (emitter["kind"], emitter["type"]) == ("emitter", "compensating")
    meter = part_view(catalogue.get("meter", "0.75in"), System.US)
    assert meter["loss"] == {"point": {"flow": 30, "loss": 15}}
    screen = part_view(catalogue.get("filter", "screen-1in-150mesh"), System.US)
    assert screen["opening"] == pytest.approx(100)
