"""Texts that were not meant to be shown: each comes out of every format as text, and as nothing else.

What sheets run as formulas is from OWASP, "CSV Injection" (the page of the attack, with full-width forms), and what
XML may hold from Extensible Markup Language 1.0, fifth edition, production 2.
"""

import csv
import io
import json
from html.parser import HTMLParser
from xml.etree import ElementTree as ET

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from service.render.csv_text import csv_row
from service.render.formats import FORMATS, Told
from service.render.plain import one_line
from tests.formats.documents import BY_HAND, MODEL, checked

FORMULAS = (
    "=1+1",
    "+2+3",
    "-2+3",
    "@SUM(1)",
    "＝1+1",
    "＋1",
    "－1",
    "＠A1",
    " =1+1",
    '=HYPERLINK("http://x.example","y")',
    "\u200e=1+1",
    "\u202e\u2066=1+1",
    "\u00ad@SUM(1)",
    "\U000e0001+1",
)
INSIDE = ("a,=1+1", "a;=1+1;b", 'a";=1+1;"b', "a|+1", 'x,"=1+1"')
MARKUP = (
    "<script>alert(1)</script>",
    "</table></svg>",
    "]]><!--",
    "&amp;&lt;",
    "'\"><b>",
    "${7*7}{{7*7}}{% raw %}",
    "$x^2$",
)
UNSEEN = ("\u202eevil\u202c", "\u200b\u2066a\u2069", "rosée\u0301", "バラの畑", "🌹💧👩\u200d🌾", "\ufeffx")
CONTROL = ("a\x00b", "a\r\nb", "\t=1", "\r=1", "a\x1b[31mb", "a\u2028b\u0085c", "a\ufffeb\uffff", "half \ud800 pair")

HOSTILE = (*FORMULAS, *INSIDE, *MARKUP, *UNSEEN, *CONTROL, "=" * 10_000, "rose " * 2_000)

STARTS = tuple("=+-@＝＋－＠\t\r\n")

texts = st.sampled_from(HOSTILE) | st.text(max_size=60) | st.text("=+-@,;\"'<>&|\t\r\n\0 a1", max_size=20)


def told(text):
    """An answer that has the text wherever a caller's words may come back."""
    worded = json.loads(json.dumps(BY_HAND))
    worded["name"] = text
    for row in worded["runs"] + worded["end_of_line"] + worded["loss_budget"]:
        row.update({name: text for name in ("run", "stage") if name in row})
    for name in ("lowest_outlet", "highest_outlet", "critical_outlet"):
        worded[name]["run"] = text
    worded["findings"] = [
        {"code": "velocity-high", "severity": "note", "where": text, "message": text, "source": text, "value": -5.25}
    ]
    worded["regulator"]["reasons"] = [text, text]
    worded["runs"][0]["profile"] = [
        {"at": at, "elevation": 0.0, "pressure": 20.0, "flow": 1.0, "velocity": 1.0, "loss": 0.0} for at in (0.0, 9.0)
    ]
    return worded


def written(form, text, **how):
    return FORMATS[form].write(Told(MODEL, told(text), **how)).decode()


def is_number(cell):
    try:
        float(cell)
    except ValueError:
        return False
    return True


def formulas(cells):
    """The cells that a sheet would run."""
    return [cell for cell in cells if cell.lstrip().startswith(STARTS) and not is_number(cell)]


@given(texts)
def test_no_cell_of_csv_is_a_formula(text):
    for table in ("summary", "runs", "findings", "budget", "profile"):
        lines = written("csv", text, table=table)
        rows = list(csv.reader(io.StringIO(lines, newline=""), strict=True))
        assert len({len(row) for row in rows}) == 1
        assert len(rows) == lines.count("\r\n")
        assert formulas(cell for row in rows for cell in row) == []


@given(texts)
def test_nor_is_one_where_the_sheet_parts_columns_by_another_mark(text):
    for other in ";\t":
        rows = csv.reader(io.StringIO(written("csv", text, table="findings"), newline=""), delimiter=other)
        assert formulas(cell for row in rows for cell in row) == []
    commas = csv.reader(io.StringIO(written("csv", text, table="findings", comma=True), newline=""))
    assert formulas(cell for row in commas for cell in row) == []


@pytest.mark.parametrize("text", FORMULAS)
def test_a_formula_is_kept_behind_an_apostrophe(text):
    name = written("text", text, pick=("name",))
    assert name == "'" + text


def test_numbers_stay_bare():
    assert written("text", "x", pick=("findings.velocity-high.value",)) == "-5.25"
    assert csv_row([-5, -0.5, "-5"]) == '-5,-0.5,"\'-5"'
    assert ",-5.25," in written("csv", "x", table="findings")


def allowed_in_xml(char):
    """Extensible Markup Language 1.0, fifth edition, production 2."""
    return char in "\t\n\r" or "\x20" <= char <= "\ud7ff" or "\ue000" <= char <= "\ufffd" or char >= "\U00010000"


@given(texts)
@example("=1+1\r\n\t  rose\x85bank\u2028")
def test_xml_says_the_same_but_for_what_it_may_not_hold(text):
    """Nothing runs it, so nothing in it is defused."""
    root = ET.fromstring(written("xml", text))  # noqa: S314 - written here
    expected = "".join(filter(allowed_in_xml, text))
    assert (root.findtext("name") or "") == expected
    assert {row.findtext("run") or "" for row in root.find("runs")} == {expected}
    assert [element.text or "" for element in root.findall("regulator_reasons")] == [expected] * 2


class Outline(HTMLParser):
    """The elements of a page, its texts, and whether every element closes."""

    VOID = frozenset({"meta", "link", "br"})

    def __init__(self, page):
        super().__init__()
        self.open, self.elements, self.texts = [], [], []
        self.feed(page)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag, attrs):
        self.elements.append((tag, sorted(name for name, _ in attrs)))
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_startendtag(self, tag, attrs):
        self.elements.append((tag, sorted(name for name, _ in attrs)))

    def handle_data(self, data):
        self.texts.append(data)


@given(texts)
@example("</title><script>")
def test_pages_have_the_elements_they_would_have_for_a_plain_name(text):
    for how in ({}, {"table": "runs"}, {"table": "summary"}):
        plain, page = written("html", "row", **how), written("html", text or "row", **how)
        assert Outline(page).elements == Outline(plain).elements
        assert "\x00" not in page


def test_a_page_shows_the_text_itself():
    for text in (*MARKUP, *UNSEEN):
        assert any(one_line(text).strip() in shown for shown in Outline(written("html", text)).texts)


@given(texts)
def test_a_pick_is_one_line(text):
    for picks in (("name",), ("name", "critical_outlet.run", "flow")):
        line = written("text", text, pick=picks)
        assert len(line.splitlines()) <= 1
    assert next(csv.reader([line]))[2] == "6.4"


@pytest.mark.parametrize("text", [text for text in HOSTILE if text.isprintable() and len(text) <= 200])
def test_a_zone_of_such_a_name_comes_in_every_format(text):
    outlets = {"emitter": "compensating-1gph", "spacing": 5}
    zone = {
        "name": text,
        "supply": {"static_pressure": 40},
        "runs": [
            {
                "id": "row",
                "name": text,
                "pipe": "pe-0.5in",
                "length": 20,
                "outlets": outlets,
            }
        ],
    }
    document = checked(zone)
    assert document["name"] == text
    for form in FORMATS.values():
        if form.media_type.startswith("text/") or form.name in {"json", "xml"}:
            pick = ("name",) if form.name == "text" else ()
            assert form.write(Told(MODEL, document, pick=pick))
