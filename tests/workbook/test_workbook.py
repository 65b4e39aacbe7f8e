"""The workbook asks for what the service knows, in addresses that every sheet program takes, and is the one written."""

import zipfile
from collections import Counter
from urllib.parse import parse_qsl, quote
from xml.etree import ElementTree as ET

import openpyxl
import pytest

from service.parts.catalogue import load_catalogue
from service.render.listing import listing, plans
from service.render.pick import picked
from service.render.xml_text import xml_of
from service.schemas.answers import CheckAnswer
from service.schemas.uniform_query import UniformQuery
from service.schemas.wire import to_wire
from service.units.dimensions import System
from service.zones.check import check
from tests.workbook.write import BASE, BOOK, INPUTS, OFFERS, PORT, RESULTS, ROWS, TABLES, workbook

LONGEST_ADDRESS = 2_048
"""Characters of an address in a sheet's web function (Microsoft Support, "WEBSERVICE function")."""

LONGEST_CELL = 32_767
"""Characters that such a function takes for an answer (the same)."""

INPUT = [each for inputs in INPUTS.values() for each in inputs]

ASKED = {each.parameter: str(each.value) for each in INPUT if each.value is not None}


@pytest.fixture(scope="module")
def query():
    return UniformQuery.model_validate(ASKED)


def test_every_input_is_a_parameter_and_all_together_make_a_zone(query):
    assert ASKED.keys() <= UniformQuery.model_fields.keys()
    assert query.to_zone().runs[-1].count == 8


def test_every_result_has_a_name_that_the_answer_knows(query):
    document = to_wire(check(query.to_zone()), System.US)
    values = {each.pick: picked(CheckAnswer, document, each.pick) for each in RESULTS}
    assert None not in values.values()
    assert {each.table for each in TABLES} <= set(plans(CheckAnswer))
    for each in TABLES:
        headings = {column.heading for column in listing(CheckAnswer, document, each.table).columns}
        assert {column.name for column in each.columns} <= headings


def test_addresses_fit_into_what_sheet_programs_take():
    parts = "".join(f"&{name}={quote(value, safe='')}" for name, value in ASKED.items())
    longest = max(len(each.pick) for each in RESULTS)
    host = len("https://endline.some-municipality.example:8443")
    assert host + len(f"/v1/zones/uniform?units=metric{parts}&errors=text&pick=") + longest < LONGEST_ADDRESS / 2
    assert dict(parse_qsl(parts)) == ASKED


def test_tables_fit_into_a_cell(query):
    document = to_wire(check(query.to_zone()), System.US)
    for each in TABLES:
        assert len(xml_of(CheckAnswer, document, each.table)) < LONGEST_CELL / 4


def cells(book):
    return {(sheet.title, cell.coordinate): cell.value for sheet in book for row in sheet for cell in row if cell.value}


def test_the_committed_book_is_the_one_that_is_written(tmp_path):
    workbook().save(tmp_path / BOOK.name)
    committed = openpyxl.load_workbook(BOOK)
    again = openpyxl.load_workbook(tmp_path / BOOK.name)
    assert cells(committed) == cells(again)
    assert {name: each.attr_text for name, each in committed.defined_names.items()} == {
        name: each.attr_text for name, each in again.defined_names.items()
    }
    assert committed["Zone"]["B4"].value == f"http://127.0.0.1:{PORT}"


def test_rows_that_an_answer_leaves_empty_are_not_seen_on_paper():
    book = openpyxl.load_workbook(BOOK)
    for listed in TABLES:
        rows = book[listed.sheet].iter_rows(min_row=4)
        assert not any(cell.border.bottom.style or cell.fill.fill_type for row in rows for cell in row)
    assert book["Findings"].page_setup.orientation == "landscape"


def test_both_books_ask_the_same_questions():
    """Web functions of the one in the names of the other (OpenFormula spells them with the prefix of their vendor)."""
    office = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}formula"
    with zipfile.ZipFile(BOOK.with_suffix(".ods")) as packed:
        content = ET.fromstring(packed.read("content.xml"))  # noqa: S314 - our own file
    open_formulas = Counter(
        name
        for cell in content.iter()
        for name in ("WEBSERVICE", "ENCODEURL", "FILTERXML", "NUMBERVALUE")
        if name + "(" in cell.get(office, "")
    )
    formulas = Counter(
        name
        for value in cells(openpyxl.load_workbook(BOOK)).values()
        for name in open_formulas
        if f"_xlfn.{name}(" in str(value)
    )
    assert open_formulas == formulas
    assert formulas["WEBSERVICE"] == len(RESULTS) + len(TABLES)
    assert formulas["ENCODEURL"] == len(INPUT)


def test_numbers_are_read_with_a_point_whatever_the_computer_is_set_to():
    for (sheet, _), value in cells(openpyxl.load_workbook(BOOK)).items():
        text = str(value)
        assert "_xlfn.NUMBERVALUE(" not in text or '".",",")' in text, sheet
        assert "VALUE(" not in text.replace("_xlfn.NUMBERVALUE(", "")


def test_every_formula_asks_at_the_one_address():
    formulas = [str(value) for value in cells(openpyxl.load_workbook(BOOK)).values() if str(value).startswith("=")]
    assert not any("http" in formula for formula in formulas)
    assert sum(BASE in formula for formula in formulas) == 1 + len(RESULTS) + len(TABLES)


def test_cells_offer_what_the_catalogue_has_and_take_other_parts_too():
    book = openpyxl.load_workbook(BOOK)
    offers = {
        str(rule.sqref): rule for rule in book["Zone"].data_validations.dataValidation if "Working" in rule.formula1
    }
    assert set(offers) == {f"B{ROWS[parameter]}" for parameter in OFFERS}
    for parameter, kind in (("lateral_pipe", "pipe"), ("emitter", "emitter"), ("meter_size", "meter")):
        rule = offers[f"B{ROWS[parameter]}"]
        listed = [cell.value for (cell,) in book["Working"][rule.formula1.partition("!")[2].replace("$", "")]]
        assert listed == [part.id for part in load_catalogue().parts(kind)]
        assert not rule.showErrorMessage
