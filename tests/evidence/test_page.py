"""The page itself: complete, from here alone, and honest about where a number comes from."""

import csv
import io
import re

import pytest

from service.render import evidence
from tests.evidence.rewrite import written
from tests.pages.test_landing import Page


@pytest.fixture(scope="module")
def text(service):
    reply = service.get("/evidence")
    assert reply.status_code == 200
    assert reply.headers["content-type"] == "text/html; charset=utf-8"
    return reply.text


@pytest.fixture(scope="module")
def data():
    return written()


def checks(data):
    return [(source, check) for topic in data["topics"] for source in topic["sources"] for check in source["checks"]]


def test_its_elements_close_and_nothing_comes_from_another_host(text, service):
    page = Page(text)
    assert page.open == []
    assert not [address for address in page.addresses if re.match(r"[a-z]+:|//", address)]
    for address in page.addresses:
        path, _, part = address.partition("#")
        assert service.get("/" + path).status_code == 200
        assert not part or f'id="{part}"' in text


def test_it_shows_every_check_with_its_source(text, data):
    words = Page(text).text
    for source, check in checks(data):
        for told in (source["title"], source["locator"], check["what"], check["why"]):
            assert " ".join(told.split()) in words
        for told in (evidence.shown(check["expected"]), evidence.shown(check["computed"]), evidence.tolerance(check)):
            assert told in words
    for one in data["comparisons"]:
        assert one["what"] in words


def test_what_was_worked_out_or_remembered_is_never_shown_as_read(text, data):
    """Each source is folded under a heading that opens with its provenance."""
    headings = re.findall(r'<span class="tag (\w+)">([^<]+)</span> <span class="title">([^<]+)</span>', text)
    sources = [source for topic in data["topics"] for source in topic["sources"]]
    assert [(kind, words) for kind, words, _ in headings] == [
        (source["provenance"], evidence.PROVENANCES[source["provenance"]][0]) for source in sources
    ]
    assert {words for _, words, _ in headings} == {"read", "from memory", "common practice", "worked out"}


def test_the_source_s_own_way_stands_beside_what_differs(text, data):
    ways = [check["way"]["words"] for _, check in checks(data) if "way" in check]
    assert text.count('<tr class="way">') == len(ways) > 50


def test_the_table_has_every_check(service, data):
    reply = service.get("/evidence.csv")
    assert reply.headers["content-type"] == "text/csv; charset=utf-8"
    heading, *rows = csv.reader(io.StringIO(reply.text))
    assert tuple(heading) == evidence.COLUMNS
    assert [row[1] for row in rows] == [check["what"] for _, check in checks(data)]
    assert [float(row[3]) for row in rows] == pytest.approx([check["computed"] for _, check in checks(data)], rel=1e-6)


def test_the_record_is_served_as_it_is(service, data):
    assert service.get("/static/evidence.json").json() == data


@pytest.mark.parametrize("path", ["/", "/problems", "/docs"])
def test_other_pages_lead_to_it(service, path):
    assert 'href="evidence"' in service.get(path).text


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE"])
def test_it_can_only_be_read(service, method):
    assert service.request(method, "/evidence").status_code == 405


TOLERANCES = [
    ({"expected": 10.0, "computed": 10.0, "tolerance": 1e-8, "relative": True}, "none", "0 %"),
    ({"expected": 10.0, "computed": 10.1, "tolerance": 0.2, "relative": True}, "± 2 %", "+1.00 %"),
    ({"expected": -0.7, "computed": -0.73, "tolerance": 0.05, "relative": False}, "± 0.05", "−0.03"),
    ({"expected": 84.8, "computed": 84.808, "tolerance": 0.05, "relative": False}, "± 0.05", "+0.008"),
]


@pytest.mark.parametrize(("check", "allowed", "apart"), TOLERANCES)
def test_differences_are_told_as_they_are_judged(check, allowed, apart):
    assert evidence.tolerance(check) == allowed
    assert evidence.difference(check) == apart
