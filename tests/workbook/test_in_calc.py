"""LibreOffice Calc calculates the workbook against the running service, in an English and a German locale."""

import re
from types import SimpleNamespace

import httpx
import openpyxl
import pytest

from service.render.pick import picked
from service.schemas.answers import CheckAnswer
from tests.examples.readme import README
from tests.running import running_service
from tests.workbook.calc import calculated
from tests.workbook.write import ANSWER, BOOK, RESULTS, ROWS, TABLES, WORKING, ZONE

pytestmark = pytest.mark.debian

ENGLISH, GERMAN = "en-US", "de-DE"

DIGITS = 1e-6
"""Relative error of a figure as it comes in a cell: seven significant digits."""


@pytest.fixture(scope="module")
def base():
    with running_service() as client:
        yield str(client.base_url).rstrip("/")


def typed(base, **inputs):
    """What someone types: the address of the service, and inputs by parameter."""
    return {f"{ZONE}.B4": base} | {f"{ZONE}.B{ROWS[name]}": text for name, text in inputs.items()}


def asked(cells):
    """The JSON answer to what the book asks."""
    question = cells[WORKING]["A3"]["text"]
    answer = httpx.get(question, params=None, timeout=30, trust_env=False)
    return answer.raise_for_status().json()


def results(cells):
    return {each.pick: SimpleNamespace(**cells[ANSWER][f"B{row}"]) for row, each in enumerate(RESULTS, start=5)}


def assert_alike(cells):
    """Every cell says what the JSON answer says."""
    document = asked(cells)
    for name, cell in results(cells).items():
        told = picked(CheckAnswer, document, name)
        assert cell.error == 0
        if isinstance(told, str):
            assert cell.text == told, name
        else:
            assert cell.value == pytest.approx(told, rel=DIGITS, abs=1e-6), name
    for listed, rows in zip(TABLES, (document["findings"], document["loss_budget"], document["assumed"]), strict=True):
        shown = cells[listed.sheet]
        assert shown["A2"]["text"] == ("" if rows else "none")
        for place, column in enumerate(listed.columns):
            for number in range(listed.rows):
                cell = shown["ABCDE"[place] + str(4 + number)]
                assert cell["error"] == 0
                if number >= len(rows):
                    assert cell["text"] == ""
                elif column.shape:
                    assert cell["value"] == pytest.approx(rows[number][column.name], rel=DIGITS, abs=1e-6)
                else:
                    assert cell["text"] == rows[number][column.name]
    return document


@pytest.mark.parametrize("locale", [ENGLISH, GERMAN])
@pytest.mark.parametrize("ending", [".xlsx", ".ods"])
def test_cells_say_what_the_answer_says(base, ending, locale):
    cells = calculated(BOOK.with_suffix(ending), locale=locale, typed=typed(base))
    document = assert_alike(cells)
    assert document["units"]["pressure"] == "psi"
    assert cells[ANSWER]["B8"]["text"] == ("22,0" if locale == GERMAN else "22.0")


def test_inputs_with_a_decimal_comma_and_metric_units_reach_the_service(base):
    metric = {
        "static_pressure": "440,5",
        "test_flow": "30,5",
        "residual_pressure": "350",
        "backflow_loss": "60",
        "filter_loss": "20,25",
        "dirty_allowance": "20",
        "regulator": "170",
        "feed_length": "13,75",
        "feed_rise": "0,6",
        "apart": "0,9",
        "lateral_length": "24,5",
        "spacing": "0,3",
        "first_at": "0,15",
    }
    cells = calculated(BOOK, locale=GERMAN, typed=typed(base, **metric) | {f"{ZONE}.B5": "metric"})
    document = assert_alike(cells)
    assert document["units"]["pressure"] == "kPa"
    assert document["regulator"]["supply_pressure"] == pytest.approx(440.5)
    assert cells[ANSWER]["C7"]["text"] == "kPa"
    assert cells["Loss budget"]["C3"]["text"] == "lost, kPa"


def test_an_error_is_told_in_the_cell(base):
    cells = calculated(BOOK, typed=typed(base, spacing="none at all"))
    for cell in results(cells).values():
        assert cell.text.startswith("ERROR: spacing:"), cell.text
        assert cell.error == 0
    for listed in TABLES:
        assert cells[listed.sheet]["A2"]["text"].startswith("ERROR: spacing:")


def test_no_service_is_told_from_no_findings():
    nowhere = "http://127.0.0.1:9"
    cells = calculated(BOOK, typed=typed(nowhere))
    for listed in TABLES:
        assert cells[listed.sheet]["A2"]["text"] == f"no answer from {nowhere}"


@pytest.mark.parametrize("locale", [ENGLISH, GERMAN])
def test_the_formulas_of_the_readme_work(base, locale, tmp_path):
    """The question in A1, the id of a part in B1, the formulas below."""
    text = README.read_text(encoding="utf-8")
    block = re.search(r"```text\n(=NUMBERVALUE.*?)```", text, re.DOTALL)[1]
    question = re.search(r"/v1/zones/uniform\?\S+(?=&pick=)", text)[0]
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = ANSWER
    sheet["A1"], sheet["B1"] = base + question, "compensating-2gph"
    formulas = block.replace("http://127.0.0.1:8000", base).splitlines()
    for row, formula in enumerate(formulas, start=2):
        sheet[f"A{row}"] = re.sub(r"\b(WEBSERVICE|ENCODEURL|FILTERXML|NUMBERVALUE)\(", r"_xlfn.\1(", formula)
    book.save(tmp_path / "readme.xlsx")
    cells = calculated(tmp_path / "readme.xlsx", locale=locale)[ANSWER]
    told = httpx.get(base + question, timeout=30, trust_env=False).json()
    assert len(formulas) == 4
    assert cells["A2"]["value"] == pytest.approx(told["end_of_line_pressure"], rel=DIGITS)
    assert cells["A3"]["text"] == told["verdict"]
    assert cells["A4"]["value"] == pytest.approx(told["runs"][0]["end_pressure"], rel=DIGITS)
    assert cells["A5"]["text"] == "2"


def test_without_a_service_cells_say_so():
    cells = calculated(BOOK, typed={f"{ZONE}.B4": "http://127.0.0.1:9"})
    assert {cell.text for cell in results(cells).values()} == {"no answer from http://127.0.0.1:9"}
