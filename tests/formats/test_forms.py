"""Asking for a format, a table, a value: what goes together, what does not, and how that is told."""

import csv
import io
import json
import re
from urllib.parse import urlencode

import pytest

from service.api import examples
from tests.formats.questions import PROFILE, ROWS, UNIFORM, profile, uniform

TYPES = [
    ({}, "application/json"),
    ({"format": "json"}, "application/json"),
    ({"format": "csv"}, "text/csv; charset=utf-8"),
    ({"format": "xml"}, "application/xml"),
    ({"format": "html"}, "text/html; charset=utf-8"),
    ({"table": "runs"}, "text/csv; charset=utf-8"),
    ({"table": "runs", "format": "xml"}, "application/xml"),
    ({"table": "runs", "format": "html"}, "text/html; charset=utf-8"),
    ({"pick": "flow"}, "text/plain; charset=utf-8"),
    ({"pick": "flow", "format": "text"}, "text/plain; charset=utf-8"),
    ({"pick": "flow", "format": "csv"}, "text/csv; charset=utf-8"),
    ({"format": "csv", "decimal": "comma"}, "text/csv; charset=utf-8"),
]


@pytest.mark.parametrize(("how", "media_type"), TYPES, ids=str)
def test_each_form_says_what_it_is(ask, how, media_type):
    answer = ask("GET", uniform(**how))
    assert answer.status_code == 200
    assert answer.headers["Content-Type"] == media_type
    assert "Accept" in answer.headers["Vary"]


ACCEPTED = [
    ("text/csv", {}, "text/csv"),
    ("text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8", {}, "text/html"),
    ("application/xml", {"table": "runs"}, "application/xml"),
    ("*/*", {"table": "runs"}, "text/csv"),
    ("image/avif,image/webp", {"pick": "flow"}, "text/plain"),  # a cell takes what comes
    ("text/csv", {"decimal": "comma"}, "text/csv"),
    # RFC 9110, section 12.5.1: what is said of a type more closely counts for it; RFC 7303, section 9.2: one XML.
    ("text/xml", {}, "application/xml"),
    ("text/xml;q=0.9, text/csv;q=0.8", {"table": "runs"}, "application/xml"),
    ("application/json;q=0, application/*;q=0.5", {}, "application/xml"),
    ("application/json;q=0, */*", {}, "text/csv"),
    ("application/json;q=0.2, */*;q=0.1", {}, "application/json"),
    ("text/html, application/json", {}, "text/html"),
    ("application/json, text/html", {}, "application/json"),
    ("*/*, text/html", {}, "text/html"),
]


@pytest.mark.parametrize(("accept", "how", "media_type"), ACCEPTED)
def test_accept_chooses_where_format_does_not(ask, accept, how, media_type):
    answer = ask("GET", uniform(**how), headers={"Accept": accept})
    assert answer.headers["Content-Type"].partition(";")[0] == media_type


TOGETHER = [
    ({"table": "lines"}, "?table", "summary, "),
    ({"table": "runs", "pick": "flow"}, "?table", "one of"),
    ({"table": "runs", "format": "json"}, "?format", "csv, xml, html"),
    ({"pick": "flow", "format": "html"}, "?format", "text, csv"),
    ({"format": "text"}, "?format", "json, "),
    ({"decimal": "comma"}, "?decimal", "point, or comma with format=csv"),
    ({"format": "xml", "decimal": "comma"}, "?decimal", "point, or comma with format=csv"),
    ({"format": "html", "decimal": "comma"}, "?decimal", "point, or comma with format=csv"),
    ({"format": "xml", "decimal": "comma", "table": "runs"}, "?decimal", "format=csv or format=html"),
    ({"pick": "flow,,verdict"}, "?pick", "names"),
    ({"pick": ""}, "?pick", "text"),
    ({"decimal": "semicolon"}, "?decimal", "point, comma"),
    ({"errors": "html"}, "?errors", "problem, text"),
    ({"download": "perhaps"}, "?download", "true, false"),
]


@pytest.mark.parametrize(("how", "pointer", "accepted"), TOGETHER, ids=str)
def test_what_does_not_go_together_is_told(ask, how, pointer, accepted):
    answer = ask("GET", uniform(**how))
    assert answer.status_code == 422
    (fault,) = answer.json()["errors"]
    assert fault["pointer"] == pointer
    assert accepted in fault["accepted"]


def test_it_is_told_together_with_every_other_fault(ask):
    answer = ask("GET", uniform(table="lines", spacing=-1, lenght=3))
    assert {fault["pointer"] for fault in answer.json()["errors"]} == {"?table", "?spacing", "?lenght"}


LISTED = [
    (uniform(), "json, csv, xml, html, png, svg"),
    (uniform(table="runs"), "csv, xml, html"),
    (uniform(pick="flow"), "text, csv"),
    (uniform(plot="plan"), "png, svg"),
    ("/v1/parts?units=us", "json, csv, xml, html"),
]


@pytest.mark.parametrize(("address", "listed"), LISTED)
def test_an_unknown_format_is_a_406_with_those_that_the_answer_has(ask, address, listed):
    """The list is true: each format of it is answered."""
    answer = ask("GET", f"{address}&format=yaml")
    assert answer.status_code == 406
    assert [error["accepted"] for error in answer.json()["errors"]] == [listed]
    for name in listed.split(", "):
        assert ask("GET", f"{address}&format={name}").status_code == 200


UNKNOWN = [
    ("pressure", "end_of_line_pressure"),
    ("regulator.advise", "regulator.advice"),
    ("runs.lateral:9.end_pressure", "runs.lateral:4"),
    ("runs.lateral:2.pressure", "runs.lateral:2.end_pressure"),
    ("runs.0.end_pressure", "runs.feed"),
    ("runs.7.end_pressure", "runs.feed"),
    ("runs", "runs.header"),
    ("critical_outlet", "critical_outlet.margin"),
    ("flow.x", "flow"),
]


@pytest.mark.parametrize(("name", "known"), UNKNOWN)
def test_an_unknown_pick_names_what_there_is(ask, name, known):
    answer = ask("GET", uniform(pick=name))
    assert answer.status_code == 422
    (fault,) = answer.json()["errors"]
    assert fault["pointer"] == "?pick"
    assert known in fault["accepted"].split(", ")


def test_every_unknown_pick_is_told(ask):
    faults = ask("GET", uniform(pick="flow,x,verdict,y")).json()["errors"]
    assert [fault["detail"][:7] for fault in faults] == ["Name 2:", "Name 4:"]


def test_rows_of_one_name_are_told_apart_by_their_numbers(ask):
    zone = examples.request("dahlia-rows")
    zone["head"].insert(1, zone["head"][1])  # a second valve
    stages = list(csv.DictReader(io.StringIO(ask("POST", "/v1/zones/check?table=budget", json=zone).text)))
    twice = [number for number, row in enumerate(stages, start=1) if row["stage"] == "valve"]
    assert len(twice) == 2
    (fault,) = ask("POST", "/v1/zones/check?pick=loss_budget.valve.loss", json=zone).json()["errors"]
    assert fault["accepted"] == ", ".join(f"loss_budget.{number}" for number in twice)
    assert ask("POST", f"/v1/zones/check?pick=loss_budget.{twice[0]}.kind", json=zone).text == "device"


def test_what_a_regulator_takes_open_and_what_it_holds_back_are_two_stages(ask):
    open_, holding = (f"loss_budget.{stage}.kind" for stage in ("regulator", "regulator, holding"))
    assert ask("GET", uniform(pick=open_)).text == "device"
    stages = list(csv.DictReader(io.StringIO(ask("GET", uniform(table="budget")).text)))
    assert [row["kind"] for row in stages if row["stage"] == holding.split(".")[1]] == ["regulation"]
    assert len({row["stage"] for row in stages}) == len(stages)


def test_a_single_pick_of_what_does_not_exist_is_refused_not_empty(ask):
    body = json.dumps(examples.request("drip-grid-on-a-slope"))  # a closed grid has no end of line

    def picking(**how):
        path = "/v1/zones/check?" + urlencode({"pick": "end_of_line_pressure", **how})
        return ask("POST", path, content=body, headers={"content-type": "application/json"})

    refused = picking()
    (fault,) = refused.json()["errors"]
    assert refused.status_code == 422
    assert "does not exist" in fault["detail"]
    told = picking(errors="text")
    assert told.status_code == 200
    assert told.text.startswith("ERROR: pick:")


def test_a_misspelt_pick_names_the_nearest_in_a_cell_too(ask):
    assert "Did you mean end_of_line_pressure?" in ask("GET", uniform(pick="end_of_line_presure", errors="text")).text


MEANT = [
    ("reasons", "Did you mean supply.reasons or regulator.reasons?"),
    ("end_pressure", "Did you mean runs.feed.end_pressure?"),
    ("zone.verdict", "Did you mean verdict?"),
    ("regulator.advise", "Did you mean regulator.advice?"),
    ("emission_uniformty", "Did you mean uniformity.emission_uniformity or "),
]


@pytest.mark.parametrize(("name", "meant"), MEANT)
def test_a_name_from_elsewhere_in_the_answer_is_told_where_it_is(ask, name, meant):
    assert meant in ask("GET", uniform(pick=name, errors="text")).text


def test_one_of_several_texts_is_taken_by_its_number(ask):
    reasons = ask("GET", uniform()).json()["regulator"]["reasons"]
    assert len(reasons) > 1
    assert [ask("GET", uniform(pick=f"regulator.reasons.{n}")).text for n in (1, len(reasons))] == [
        reasons[0],
        reasons[-1],
    ]
    for wrong in (0, len(reasons) + 1, "x"):
        (fault,) = ask("GET", uniform(pick=f"regulator.reasons.{wrong}")).json()["errors"]
        assert fault["detail"] == f"These are numbered from 1 to {len(reasons)}."


def test_a_row_or_a_list_says_that_it_is_one(ask):
    assert "It has several values" in ask("GET", uniform(pick="runs.feed", errors="text")).text
    assert "It is a list" in ask("GET", uniform(pick="runs", errors="text")).text


def test_a_long_list_of_what_is_accepted_is_cut_and_not_dropped(ask):
    told = ask("GET", uniform(pick="nothing.of.this", errors="text")).text
    assert " Accepted: name, units, " in told
    assert told.endswith(", …")
    assert len(told) <= 250


def test_nothing_is_assumed_under_one_name_twice(ask):
    unregulated = uniform().replace("&regulator=25", "")
    assumed = [row["what"] for row in ask("GET", unregulated).json()["assumed"]]
    assert {"regulator", "head.regulator"} <= set(assumed)
    assert len(assumed) == len(set(assumed))
    assert ask("GET", unregulated + "&pick=assumed.regulator.value").text == "none"


def test_what_this_answer_leaves_out_keeps_its_place_in_a_row(ask):
    row = ask("GET", uniform(pick="flow,regulator.thresholds.highest_shut_off.pressure,verdict", static_pressure=20))
    assert row.status_code == 200
    assert len(next(csv.reader([row.text]))) == 3


def test_a_line_of_outlets_comes_as_its_profile(ask):
    body = ask("GET", profile(format="csv")).text
    heading, first, *_ = body.split("\r\n")
    assert heading.startswith('"at [ft]","elevation [ft]","pressure [psi]"')
    assert first.startswith("0,0,25,")
    assert ask("GET", profile(pick="profile.1.pressure")).text == "25"
    assert ask("GET", profile(units="metric", inlet_pressure=170, format="csv")).text.startswith('"at [m]"')


def test_a_comma_in_a_number_is_a_point(ask):
    point, comma = ask("GET", uniform(spacing="2.5")), ask("GET", uniform(spacing="2,5"))
    assert point.json() == comma.json()


def test_a_download_is_a_file_and_has_the_mark_that_sheets_know_utf_8_by(ask):
    shown, kept = ask("GET", uniform(table="runs")), ask("GET", uniform(table="runs", download="true"))
    assert "Content-Disposition" not in shown.headers
    assert kept.headers["Content-Disposition"] == 'attachment; filename="uniform-runs.csv"'
    assert kept.content == b"\xef\xbb\xbf" + shown.content
    xml = ask("GET", uniform(format="xml", download="true"))
    assert xml.headers["Content-Disposition"] == 'attachment; filename="uniform.xml"'
    assert xml.content.startswith(b"<?xml")


ERRORS = [
    (uniform(errors="text", spacing=-1), "ERROR: spacing: -1 ft is outside the range"),
    (uniform(errors="text", pick="nothing"), "ERROR: pick: There is no such value."),
    (uniform(errors="text", spacing=-1, laterals="many"), " And 1 more."),
    (uniform(errors="text", format="yaml"), "ERROR: format: "),
    (f"{UNIFORM}?errors=text", "ERROR: "),
    (f"{PROFILE}?errors=text&length=" + "1" * 9000, "ERROR: Path and query are longer"),
    ("/v1/zones/nothing?errors=text", "ERROR: No page and no calculation has this path."),
    (uniform(errors="text", lateral_length=30, first_at=40), "ERROR: first_at: "),
]


@pytest.mark.parametrize(("address", "told"), ERRORS, ids=[told[:30] for _, told in ERRORS])
def test_an_error_may_be_a_value(ask, address, told):
    answer = ask("GET", address)
    assert answer.status_code == 200
    assert answer.headers["Content-Type"] == "text/plain; charset=utf-8"
    assert answer.headers["Cache-Control"] == "no-store"
    assert answer.text.startswith("ERROR: ")
    assert told in answer.text
    assert "\n" not in answer.text
    assert len(answer.text) <= 250


def test_an_error_is_a_status_unless_asked_otherwise(ask):
    assert ask("GET", uniform(spacing=-1)).status_code == 422
    assert ask("GET", uniform(spacing=-1, errors="problem")).status_code == 422


def test_a_fault_of_the_service_is_never_a_value(ask, monkeypatch):
    def fails(*_: object, **__: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("service.api.zones.check", fails)
    assert ask("GET", uniform(errors="text", spacing=2.25)).status_code == 500


def test_a_body_may_be_answered_in_any_form_too(ask):
    zone = {
        "name": "=1+1",
        "supply": {"static_pressure": 40},
        "runs": [
            {"id": "row", "pipe": "pe-0.5in", "length": 20, "outlets": {"emitter": "compensating-1gph", "spacing": 5}}
        ],
    }
    answer = ask("POST", "/v1/zones/check?pick=name,runs.row.run", json=zone)
    assert answer.text == '"\'=1+1","row"'
    assert "ETag" not in answer.headers
    assert answer.headers["Cache-Control"] == "no-store"


@pytest.mark.parametrize("how", [{}, {"format": "csv"}, {"pick": "flow"}, {"format": "html"}], ids=str)
def test_head_is_answered_as_get(ask, how):
    get, head = ask("GET", uniform(**how)), ask("HEAD", uniform(**how))
    assert head.content == b""
    for name in ("Content-Type", "Content-Length", "ETag", "Cache-Control"):
        assert head.headers[name] == get.headers[name]


def test_the_parts_come_in_every_form(ask):
    heading, *_ = csv.reader(io.StringIO(ask("GET", "/v1/parts?format=csv&kind=pipe").text))
    assert "inside_diameter [in]" in heading
    assert ask("GET", "/v1/parts?pick=parts.pe-0.75in.inside_diameter").text == "0.824"
    page = ask("GET", "/v1/parts?format=html").text
    assert page.count("<table>") == len({part["kind_of_part"] for part in ask("GET", "/v1/parts").json()["parts"]})
    assert "<h2>Pipes</h2>" in page
    assert "<code>pe-0.75in</code>" in page
    assert ask("GET", "/v1/parts/pe-0.75in?pick=part.inside_diameter&units=metric").text == "20.9296"


def test_the_whole_answer_in_xml_fits_a_cell(ask):
    """32 767 characters: Microsoft Support, "WEBSERVICE function"."""
    assert len(ask("GET", uniform(format="xml", laterals=20)).text) < 32_767


def test_rows_of_numbers_that_are_asked_for_are_those_of_the_document(ask):
    assert ROWS["laterals"] == len(
        [run for run in ask("GET", uniform()).json()["runs"] if run["run"].startswith("lat")]
    )


def test_the_table_of_places_is_never_empty_for_want_of_detail(ask):
    rows = list(csv.DictReader(io.StringIO(ask("GET", uniform(table="profile")).text)))
    answer = ask("GET", uniform()).json()
    assert len(rows) > len(answer["runs"])
    body = json.dumps(examples.request("dahlia-rows"))
    posted = ask("POST", "/v1/zones/check?table=profile", content=body, headers={"content-type": "application/json"})
    assert len(posted.text.splitlines()) > 640


@pytest.mark.parametrize("count", ["1,000", "8,0"])
def test_a_comma_in_a_count_is_refused_for_it_may_mean_thousands(ask, count):
    (fault,) = ask("GET", uniform(laterals=count)).json()["errors"]
    assert fault["pointer"] == "?laterals"


def test_a_part_on_paper_has_no_empty_fields(ask):
    page = ask("GET", "/v1/parts/inline-compensating-0.6gph?format=html").text
    part = ask("GET", "/v1/parts/inline-compensating-0.6gph").json()["part"]
    shown = re.findall(r"<td>(.*?)</td>\s*<td>(.*?)</td>", page, re.DOTALL)
    assert len(shown) == len(part)
    assert all(value.strip() for _, value in shown)
    assert ("pressure range", "8 to 60 psi") in shown
    assert shown[-1][0] == "source"


def test_the_ids_that_a_price_book_may_use_are_listed(ask):
    families = {part["id"]: part for part in ask("GET", "/v1/parts?kind=sundry").json()["parts"]}
    job = examples.request("dahlia-rows")
    listed = ask("POST", "/v1/zones/takeoff", json={"zones": [job]}).json()["lines"]
    for part in (line["part"] for line in listed):
        family = next((one for one in families if part == one or part.startswith(f"{one}-")), None)
        if family is None:  # a part of the catalogue, or such tubing with such emitters
            for each in part.split("-with-"):
                known = each if "-with-" not in part or each == part.split("-with-")[0] else each.rpartition("-")[0]
                assert ask("GET", f"/v1/parts/{known}").status_code == 200
        else:
            shown = ask("GET", f"/v1/parts/{part}").json()["part"]
            assert (shown["kind_of_part"], shown["id"], shown["section"]) == (
                "sundry",
                part,
                families[family]["section"],
            )
    assert families["reducing-tee-barbed"]["sizes"] == 2
    (error,) = ask("GET", "/v1/parts/tee-barb").json()["errors"]
    assert "tee-barbed-0.75in" in error["accepted"]


def test_a_table_is_picked_from_by_its_own_name_too(ask):
    for table, place in (("budget", "loss_budget"), ("regulators", "regulator.suits"), ("filters", "filter.suits")):
        assert ask("GET", uniform(pick=f"{table}.1")).json()["errors"][0]["accepted"].startswith(f"{place}.1.")
    assert ask("GET", uniform(pick="budget.2.loss")).text == ask("GET", uniform(pick="loss_budget.2.loss")).text


@pytest.mark.parametrize(
    ("how", "told"),
    [
        ({}, "comma with format=csv or table as html or pick as text"),
        ({"format": "xml", "table": "runs"}, "comma with format=csv or format=html or pick as text"),
    ],
)
def test_what_has_a_decimal_comma_is_told_truly(ask, how, told):
    (fault,) = ask("GET", uniform(decimal="comma", **how)).json()["errors"]
    assert told in fault["accepted"]


@pytest.mark.parametrize("count", ["8,0", "8.5", "1,000"])
def test_a_count_with_a_comma_is_no_whole_number(ask, count):
    (fault,) = ask("GET", uniform(laterals=count)).json()["errors"]
    assert fault["detail"].startswith("A whole number is needed here")


def test_a_comma_with_nothing_behind_it_is_no_decimal_comma(ask):
    (fault,) = ask("GET", uniform(lateral_length="80,")).json()["errors"]
    assert (fault["pointer"], fault["detail"][:26]) == ("?lateral_length", "A number is needed here, f")
    assert ask("GET", uniform(lateral_length="80.")).status_code == 200


@pytest.mark.parametrize(
    ("how", "needless"),
    [
        ({"laterals": 1}, True),
        ({"laterals": 1, "apart": 0}, False),
        ({"laterals": 1, "apart": 0, "header_pipe": "pe-1in"}, True),
        ({"apart": 0, "feed_at": "centre"}, True),
        ({"header_pipe": "pe-1in"}, False),
    ],
)
def test_what_is_said_of_a_header_that_there_is_not_is_told(ask, how, needless):
    told = [row for row in ask("GET", uniform(**how)).json()["assumed"] if row["what"] == "header"]
    assert [row["value"] for row in told] == (["none"] if needless else [])


def test_an_empty_pick_is_told_how_long_one_is(ask):
    assert ask("GET", uniform(pick="")).json()["errors"][0]["accepted"] == "text of 1 to 1000 characters"


@pytest.mark.parametrize("laterals", [1, 60, 400])
def test_what_a_cell_of_a_sheet_is_told_to_ask_for_fits_into_it(ask, laterals):
    """32 767 characters: Microsoft Support, "WEBSERVICE function"."""
    assert len(ask("GET", uniform(format="xml", table="summary", laterals=laterals)).text) < 32_767


NAMES_MEANT = [
    ("lenght", "Did you mean feed_length or lateral_length?"),
    ("lateral_lenght", "Did you mean lateral_length?"),
    ("pipe", "Did you mean feed_pipe or header_pipe?"),
    (" spacing", "ERROR: There is no parameter of this name here. Did you mean spacing?"),
    ("<b>", "ERROR: There is no parameter of this name here. Accepted: "),
]


@pytest.mark.parametrize(("name", "told"), NAMES_MEANT)
def test_a_parameter_that_there_is_not_is_told_by_its_last_word_too(ask, name, told):
    assert told in ask("GET", uniform(errors="text", **{name: 1})).text


EMPTY = ["lateral_rise", "regulator", "laterals", "source", "emitter", "lateral_pipe", "meter_size", "name", "decimal"]


@pytest.mark.parametrize("name", EMPTY)
def test_what_an_empty_cell_sends_is_told_to_be_empty(ask, name):
    """A sheet that writes an empty cell into an address sends the name with nothing behind it."""
    (fault,) = ask("GET", uniform(**{name: ""})).json()["errors"]
    assert fault["pointer"] == f"?{name}"
    assert fault["detail"].startswith("It is empty: ")
    assert fault["accepted"]


@pytest.mark.parametrize("name", ["Runs", "loss budget", "runs;", "Übersicht"])
def test_any_word_for_a_table_is_answered_with_those_that_there_are(ask, name):
    (fault,) = ask("GET", uniform(table=name)).json()["errors"]
    assert fault["detail"] == "This answer has no such table."
    assert "runs" in fault["accepted"].split(", ")


def test_a_place_of_a_run_is_picked_as_its_table_shows_it(ask):
    rows = list(csv.DictReader(io.StringIO(ask("GET", uniform(table="profile")).text)))
    places = [row for row in rows if row["run"] == "lateral:2"]
    pressure = ask("GET", uniform(pick=f"runs.lateral:2.profile.{len(places)}.pressure")).text
    assert pressure == places[-1]["pressure [psi]"]


def test_a_table_with_decimal_commas_has_them_within_its_lists_too(ask):
    page = ask("GET", "/v1/parts?table=parts&format=html&decimal=comma").text
    rows = csv.reader(io.StringIO(ask("GET", "/v1/parts?table=parts&decimal=comma").text), delimiter=";")
    pairs = {cell for row in rows for cell in row if re.fullmatch(r"[\d,]+ [\d,]+(; [\d,]+ [\d,]+)+", cell)}
    assert any("," in cell for cell in pairs)
    assert all(f"<td>{cell}</td>" in page for cell in pairs)


@pytest.mark.parametrize("length", ["1,000", "1,500", "120,250"])
def test_a_comma_that_may_part_thousands_is_refused_and_not_read_as_a_thousandth(ask, length):
    """What a sheet writes for 1.5 is 1,5: a last nought is a person's."""
    (fault,) = ask("GET", uniform(lateral_length=length)).json()["errors"]
    assert fault["pointer"] == "?lateral_length"
    assert fault["detail"].endswith("nothing between thousands.")


@pytest.mark.parametrize("length", ["80 ft", "1 000", "1,234.5", "1'000"])
def test_a_number_with_something_about_it_is_told_how_to_be_written(ask, length):
    (fault,) = ask("GET", uniform(lateral_length=length)).json()["errors"]
    assert fault["detail"].endswith("Write it with no unit and nothing between thousands.")


@pytest.mark.parametrize(
    ("comma", "point"), [("1,125", "1.125"), ("0,250", "0.25"), ("24,50", "24.5"), ("2,5000", "2.5")]
)
def test_any_other_comma_is_a_decimal_one(ask, comma, point):
    assert ask("GET", uniform(spacing=comma)).json() == ask("GET", uniform(spacing=point)).json()
