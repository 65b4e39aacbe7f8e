"""The calculations over HTTP: a short form and its body agree, faults come back where they were made."""

import pytest

from service.api import examples
from service.hydraulics.solve import NotConverged
from service.settings import Settings
from tests.edge.conftest import asker
from tests.examples.likeness import differences

LATERAL = "/v1/laterals/profile"
UNIFORM = "/v1/zones/uniform"

LINE = {
    "inlet_pressure": 25,
    "pipe": "pe-0.5in",
    "length": 80,
    "rise": 2,
    "emitter": "compensating-2gph",
    "spacing": 8,
    "first_at": 4,
}

ROWS = {
    "static_pressure": 64,
    "lateral_pipe": "dripline-17mm",
    "lateral_length": 80,
    "laterals": 8,
    "apart": 3,
    "emitter": "inline-compensating-0.6gph",
    "spacing": 1,
}


def figures(answer):
    """The answer without what a query fills in and says so."""
    return {key: value for key, value in answer.items() if key != "assumed"}


def test_a_line_by_parameters_is_the_line_of_a_body(ask):
    outlets = {"emitter": "compensating-2gph", "spacing": 8, "first_at": 4}
    body = {"inlet_pressure": 25, "run": {"pipe": "pe-0.5in", "length": 80, "rise": 2, "outlets": outlets}}
    short, long = ask("GET", LATERAL, params=LINE), ask("POST", LATERAL, json=body)
    assert (short.status_code, long.status_code) == (200, 200)
    assert not list(differences(figures(long.json()), figures(short.json())))


def test_rows_by_parameters_are_the_rows_of_a_body(ask):
    outlets = {"emitter": "inline-compensating-0.6gph", "spacing": 1}
    runs = [
        {"id": "header", "pipe": "pe-0.75in", "length": 21},
        {
            "id": "lateral",
            "from": "header",
            "from_at": 0,
            "pipe": "dripline-17mm",
            "length": 80,
            "outlets": outlets,
            "copies": {"count": 8, "apart": 3},
        },
    ]
    body = {"supply": {"static_pressure": 64}, "runs": runs}
    short, long = ask("GET", UNIFORM, params=ROWS), ask("POST", "/v1/zones/check", json=body)
    assert (short.status_code, long.status_code) == (200, 200)
    assert not list(differences(figures(long.json()), figures(short.json())))
    assert {"regulator"} <= {filled["what"] for filled in short.json()["assumed"]}


@pytest.mark.parametrize(
    ("path", "asked", "changed", "pointer"),
    [
        (LATERAL, LINE, {"first_at": 90}, "?first_at"),
        (LATERAL, LINE, {"count": 90}, "?count"),
        (LATERAL, LINE, {"rise": 200}, "?rise"),
        (LATERAL, LINE, {"pipe": "pe-0.6in"}, "?pipe"),
        (LATERAL, LINE, {"emitter": ""}, "?emitter"),
        (LATERAL, LINE, {"lenght": 3}, "?lenght"),
        (LATERAL, LINE, {"temperature": 500}, "?temperature"),
        (UNIFORM, ROWS, {"count": 81}, "?count"),
        (UNIFORM, ROWS, {"test_flow": 8}, "?residual_pressure"),
        (UNIFORM, ROWS, {"feed_at": "middle"}, "?feed_at"),
        (UNIFORM, ROWS, {"laterals": 0}, "?laterals"),
    ],
)
def test_a_fault_is_told_at_the_parameter_it_comes_from(ask, path, asked, changed, pointer):
    answer = ask("GET", path, params={**asked, **changed})
    assert answer.status_code == 422
    assert [error["pointer"] for error in answer.json()["errors"]] == [pointer]


def test_a_decimal_comma_is_read_as_a_point(ask):
    point = ask("GET", LATERAL, params={**LINE, "length": "80.5"}).json()
    comma = ask("GET", LATERAL, params={**LINE, "length": "80,5"}).json()
    assert point == comma


def test_an_answer_in_metric_says_the_same(ask):
    zone = examples.request(examples.DEMO)
    us = ask("POST", "/v1/zones/check", json=zone).json()
    metric = ask("POST", "/v1/zones/check", json=examples.request("dahlia-rows-metric")).json()
    assert us["units"]["pressure"] == "psi"
    assert metric["units"]["pressure"] == "kPa"
    # NIST SP 811: 1 psi is 6.894757 kPa. The metric example is the same zone with rounded lengths.
    assert metric["critical_outlet"]["pressure"] == pytest.approx(
        6.894757 * us["critical_outlet"]["pressure"], rel=0.02
    )


def test_the_operators_limits_hold():
    ask = asker(Settings(max_outlets=600, max_run_instances=9))
    answer = ask("POST", "/v1/zones/check", json=examples.request(examples.DEMO))
    assert answer.status_code == 422
    told = " ".join(error["detail"] + error["accepted"] for error in answer.json()["errors"])
    assert "640" in told
    assert "600" in told
    assert "10 runs" in told
    assert "at most 9" in told


def test_what_has_no_solution_is_told_as_such(ask, monkeypatch):
    def fails(*_: object, **__: object) -> None:
        raise NotConverged(steps=60, residual=0.1)

    monkeypatch.setattr("service.zones.lateral.solve_zone", fails)
    answer = ask("GET", LATERAL, params={**LINE, "length": 81})  # not asked before, so not answered before
    assert answer.status_code == 422
    assert answer.json()["type"] == "/problems/no-solution"


def test_parts_are_listed_by_kind(ask):
    every = ask("GET", "/v1/parts").json()["parts"]
    kinds = {part["kind_of_part"] for part in every}
    assert {"pipe", "emitter", "meter", "valve", "backflow_preventer", "filter", "regulator"} <= kinds
    for kind in kinds:
        listed = ask("GET", f"/v1/parts?kind={kind}").json()["parts"]
        assert listed == [part for part in every if part["kind_of_part"] == kind]
    assert all(part["source"] for part in every)


def test_a_part_is_shown_in_the_units_asked_for(ask):
    us = ask("GET", "/v1/parts/pe-0.75in").json()
    metric = ask("GET", "/v1/parts/pe-0.75in?units=metric").json()
    assert us["units"]["diameter"] == "in"
    assert metric["units"]["diameter"] == "mm"
    assert metric["part"]["inside_diameter"] == pytest.approx(25.4 * us["part"]["inside_diameter"])
    assert metric["part"]["lengths"] == pytest.approx([0.3048 * length for length in us["part"]["lengths"]])


def test_a_table_of_a_part_is_turned_row_by_row():
    """Flow and pressure stand side by side in one row, each with its own unit."""
    from service.parts.loss import Loss
    from service.schemas.wire import to_wire
    from service.units.dimensions import System
    from service.units.reading import reading

    written = [[2.0, 9.0], [8.0, 10.0]]
    with reading(System.US):
        loss = Loss.model_validate({"table": written})
    assert to_wire(loss, System.US)["table"] == [pytest.approx(row) for row in written]


def test_an_unknown_part_names_the_nearest(ask):
    answer = ask("GET", "/v1/parts/pe-0.76in")
    assert answer.status_code == 404
    (error,) = answer.json()["errors"]
    assert error["pointer"] == "{id}"
    assert "pe-0.75in" in error["accepted"]


@pytest.mark.parametrize("part_id", ["PE", "a%20b", "x" * 101])
def test_a_part_of_the_path_is_pointed_at_as_such(ask, part_id):
    """Not as a parameter, which it is not: `?id=…` would be one too many."""
    answer = ask("GET", f"/v1/parts/{part_id}")
    assert answer.status_code == 422
    assert [error["pointer"] for error in answer.json()["errors"]] == ["{id}"]
    assert [error["pointer"] for error in ask("GET", "/v1/parts/pe-0.75in?id=1").json()["errors"]] == ["?id"]


def test_an_operators_part_is_listed_found_and_used(tmp_path):
    file = tmp_path / "parts.toml"
    file.write_text(
        """
        units = "us"
        [[pipe]]
        id = "pe-shop"
        name = "Pipe of our shop"
        source = "measured in the shop"
        inside_diameter = 0.83
        material = "pe"
        """
    )
    ask = asker(Settings(parts_file=file))
    assert ask("GET", "/v1/parts/pe-shop").json()["part"]["inside_diameter"] == pytest.approx(0.83)
    answer = ask("GET", LATERAL, params={**LINE, "pipe": "pe-shop"})
    assert answer.status_code == 200
    plain = asker(Settings())("GET", LATERAL, params={**LINE, "pipe": "pe-shop"})
    assert plain.status_code == 422


def test_a_line_loses_by_the_law_that_is_asked_for(ask):
    """Ten emitters of 2 gal/h on 0.5 in. pipe: 10.67 L Q^1.852 / (C^1.852 D^4.8704) of each stretch, added up."""
    bore, smoothness = 0.622 * 0.0254, 150
    flows = [2 * number * 3.785411784e-3 / 3600 for number in range(10, 0, -1)]
    lengths = [4 * 0.3048, *[8 * 0.3048] * 9]
    head = sum(
        10.67 * length * flow**1.852 / (smoothness**1.852 * bore**4.8704)
        for length, flow in zip(lengths, flows, strict=True)
    )
    pipe = {"inside_diameter": 0.622, "material": "pe", "hazen_williams_c": smoothness}
    emitter = {"flow": 2, "pressure_range": [8, 50]}
    body = {
        "inlet_pressure": 25,
        "run": {"pipe": pipe, "length": 80, "outlets": {"emitter": emitter, "spacing": 8, "first_at": 4}},
        "options": {"friction": "hazen_williams"},
    }
    answer = ask("POST", LATERAL, json=body).json()
    assert answer["friction_loss"] == pytest.approx(head * 998.2 * 9.80665 / 6894.757, rel=1e-3)
    smooth = ask("POST", LATERAL, json={**body, "options": {}}).json()
    assert smooth["friction_loss"] != pytest.approx(answer["friction_loss"], rel=1e-3)


def test_what_is_assumed_of_a_line_goes_with_its_law(ask):
    run = {"pipe": {"inside_diameter": 0.6, "material": "pe"}, "length": 60}
    run["outlets"] = {"emitter": "turbulent-1gph", "spacing": 2, "first_at": 2}

    def assumed(law):
        line = {"inlet_pressure": 25, "run": run, "options": {"friction": law}}
        return {row["what"] for row in ask("POST", "/v1/laterals/profile", json=line).json()["assumed"]}

    assert assumed("hazen_williams") - assumed("darcy_weisbach") == {"hazen_williams_c"}
    assert assumed("darcy_weisbach") - assumed("hazen_williams") == {"pipe.roughness"}
