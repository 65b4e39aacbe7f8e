"""Every format tells the same answer, number by number, within the rounding that is displayed.

CSV, XML and HTML are read by Python's own readers.
"""

import csv
import io
from html.parser import HTMLParser
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.render.formats import FORMATS, Told
from service.render.listing import plans
from service.render.pick import picked
from tests.formats.documents import BY_HAND, KEYS, MODEL, ROWS, checked, rows, singles
from tests.strategies import in_metric, zones

RELATIVE, ABSOLUTE = 5e-7, 1e-15
"""Seven digits are displayed, and fifteen places behind the point."""

documents = st.builds(checked, zones() | zones().map(in_metric), detail=st.sampled_from(["summary", "runs", "outlets"]))

few = settings(max_examples=8)


def written(form, document, **how):
    return FORMATS[form].write(Told(MODEL, document, **how)).decode()


def read_csv(text, *, comma=False):
    heading, *body = csv.reader(io.StringIO(text, newline=""), delimiter=";" if comma else ",", strict=True)
    return [dict(zip(heading, row, strict=True)) for row in body]


class TableReader(HTMLParser):
    """The rows of the one table of a page."""

    def __init__(self, page):
        super().__init__()
        self.rows, self.tables, self.cell = [], 0, None
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        self.tables += tag == "table"
        if tag == "tr":
            self.rows.append([])
        elif tag in {"td", "th"}:
            self.cell = ""

    def handle_data(self, data):
        if self.cell is not None:
            self.cell += data

    def handle_endtag(self, tag):
        if tag in {"td", "th"}:
            self.rows[-1].append(self.cell)
            self.cell = None


def read_html(page):
    reader = TableReader(page)
    assert reader.tables == 1
    heading, *body = reader.rows
    return [dict(zip(heading, row, strict=True)) for row in body]


def parsed(text):
    return ET.fromstring(text)  # noqa: S314 - written here


def read_xml(text, name):
    root = parsed(text)
    return [{cell.tag: cell for cell in row} for row in root.find(name)]


def like(value):
    """What a cell says of a value in the document."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list):
        return "; ".join(value)
    return pytest.approx(value, rel=RELATIVE, abs=ABSOLUTE) if isinstance(value, int | float) else value


def cell(text, value):
    """A cell as it was meant: numbers as numbers, the apostrophe before a formula taken away."""
    return float(text) if isinstance(value, int | float) and not isinstance(value, bool) else text


def by_name(heading):
    """The name and the unit in a heading."""
    name, _, unit = heading.partition(" [")
    return name, unit.removesuffix("]")


def agree(table, expected, units):
    """Whether rows of text say what rows of the document say, and whether the units in their headings are right."""
    assert len(table) == len(expected)
    for texts, values in zip(table, expected, strict=True):
        said = {by_name(heading)[0]: text for heading, text in texts.items()}
        unit = units.get(values.get("dimension"), "")
        assert said.pop("unit", unit) == unit
        for name, value in values.items():
            if (
                isinstance(value, dict)
                or name == "dimension"
                or (value and isinstance(value, list) and name == "tables")
            ):
                continue
            if name != "profile":
                assert cell(said.pop(name), value) == like(value), name
        assert not any(said.values())


@few
@given(documents)
def test_csv_agrees_with_json(document):
    for name in [*ROWS, "profile"]:
        agree(read_csv(written("csv", document, table=name)), rows(document, name), document["units"])


@few
@given(documents)
def test_csv_with_decimal_commas_agrees_with_json(document):
    table = read_csv(written("csv", document, table="budget", comma=True), comma=True)
    points = [
        {name: text if name in {"stage", "kind"} else text.replace(",", ".") for name, text in row.items()}
        for row in table
    ]
    agree(points, rows(document, "budget"), document["units"])


@few
@given(documents)
def test_html_tables_agree_with_json(document):
    for name in [*ROWS, "profile"]:
        agree(read_html(written("html", document, table=name)), rows(document, name), document["units"])


@few
@given(documents)
def test_xml_agrees_with_json(document):
    text = written("xml", document)
    root = parsed(text)
    for path, value in singles(document).items():
        found = [element.text or "" for element in root.findall(path.replace(".", "_"))]
        entries = value if isinstance(value, list) else [value]
        assert [cell(text, entry) for text, entry in zip(found, entries, strict=True)] == [
            like(entry) for entry in entries
        ]
    for name in ROWS:
        table = [{tag: element.text or "" for tag, element in row.items()} for row in read_xml(text, name)]
        agree(table, rows(document, name), document["units"])


@few
@given(documents)
def test_the_summary_has_every_single_value(document):
    expected = singles(document)
    for read, form in ((read_csv, "csv"), (read_html, "html")):
        told = {row["what"]: row["value"] for row in read(written(form, document, table="summary"))}
        assert {name: cell(told[name], value) for name, value in expected.items()} == {
            name: like(value) for name, value in expected.items()
        }
        assert all(text == "" for name, text in told.items() if name not in expected)


@few
@given(documents)
def test_every_value_can_be_picked(document):
    for name, value in singles(document).items():
        assert picked(MODEL, document, name) == value
        if not isinstance(value, list):
            assert cell(written("text", document, pick=(name,)), value) == like(value)
    for place in ROWS.values():
        listed = rows(document, next(name for name, path in ROWS.items() if path == place))
        for number, row in enumerate(listed, start=1):
            key = str(next(row[name] for name in KEYS if name in row))
            alone = sum(str(next(iter(other.values()))) == key for other in listed) == 1
            for column, value in row.items():
                if value and isinstance(value, list) and isinstance(value[0], dict):
                    continue
                assert picked(MODEL, document, ".".join([*place, str(number), column])) == value
                if alone:
                    assert picked(MODEL, document, ".".join([*place, key, column])) == value


def test_the_columns_of_a_table_are_the_same_for_every_answer():
    empty = {"units": BY_HAND["units"]}
    for name in plans(MODEL):
        full = written("csv", BY_HAND, table=name).split("\r\n")[0]
        assert written("csv", empty, table=name).split("\r\n")[0] == full


def test_a_row_of_picks_is_one_row_of_csv():
    row = written("text", BY_HAND, pick=("flow", "verdict", "critical_outlet.margin", "regulator.state"))
    assert next(csv.reader([row])) == ["6.4", "pass", "14.05", "holding"]
    assert "\n" not in row


def test_a_single_pick_is_the_value_and_nothing_else():
    assert written("text", BY_HAND, pick=("end_of_line_pressure",)) == "21.05"
    assert written("text", BY_HAND, pick=("end_of_line_pressure",), comma=True) == "21,05"
    assert written("text", BY_HAND, pick=("method.converged",)) == "true"


def test_the_units_of_single_values_stand_beside_them():
    told = {row["what"]: row["unit"] for row in read_csv(written("csv", BY_HAND, table="summary"))}
    assert told["critical_outlet.flow"] == "gph"
    assert told["uniformity.low_quarter"] == "%"
    assert told["verdict"] == ""
    flow = parsed(written("xml", BY_HAND)).find("flow")
    assert flow.attrib == {"unit": "gpm"}


def test_the_first_flow_in_xml_is_that_of_the_zone():
    """`number(//flow)` takes the first of several."""
    root = parsed(written("xml", BY_HAND))
    assert float(next(root.iter("flow")).text) == 6.4


def test_rows_within_rows_stand_behind_the_name_of_the_row_they_stand_in():
    zone = {
        "water": {"source": "pond", "ph": 7.6, "iron": 0.9, "suspended_solids": 60},
        "supply": {"static_pressure": 40},
        "runs": [
            {"id": "row", "pipe": "pe-0.5in", "length": 20, "outlets": {"emitter": "compensating-1gph", "spacing": 5}}
        ],
    }
    document = checked(zone)
    within = [
        {"constituent": row["constituent"], "dimension": row.get("dimension"), **table}
        for row in rows(document, "constituents")
        for table in row["tables"]
    ]
    assert len(within) >= 3
    agree(read_csv(written("csv", document, table="published")), within, document["units"])
    agree(read_csv(written("csv", document, table="constituents")), rows(document, "constituents"), document["units"])
    assert (
        picked(MODEL, document, "filter.constituents.iron.tables.1.hazard") == within[-1]["hazard"] or len(within) > 3
    )
