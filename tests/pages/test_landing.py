"""The page at `/`: its figures are those of the check, and nothing on it comes from another host."""

import re
from html.parser import HTMLParser

import pytest

from service.api import examples
from service.cli.reply import CHECK, JSON
from service.render.plot import PLOTS
from service.units.sentence import figure

VOID = {"meta", "link", "br", "img", "input", "hr"}


class Page(HTMLParser):
    """The text of a page, its links, and whether its elements close."""

    def __init__(self, text):
        super().__init__()
        self.open, self.addresses, self.words = [], [], []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.addresses += [value for name, value in attrs if name in {"src", "href", "action"}]
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        self.words.append(data)

    @property
    def text(self):
        return " ".join(" ".join(self.words).split())


@pytest.fixture(scope="module")
def page(service):
    reply = service.get("/")
    assert reply.status_code == 200
    assert reply.headers["content-type"] == "text/html; charset=utf-8"
    return Page(reply.text)


def test_its_elements_close(page):
    assert page.open == []


def test_nothing_on_it_comes_from_another_host(page):
    assert page.addresses
    assert not [address for address in page.addresses if re.match(r"[a-z]+:|//", address)]


def test_it_links_to_a_value_a_table_a_sheet_and_every_picture(page):
    asked = [address for address in page.addresses if "/zones/uniform?" in address]
    for how in ("pick=", "table=", "format=html", *(f"plot={plot}" for plot in PLOTS)):
        assert any(f"&{how}" in address for address in asked), how


def test_every_link_leads_somewhere(page, service):
    assert {address: service.get(address).status_code for address in page.addresses} == dict.fromkeys(
        page.addresses, 200
    )


def test_its_figures_are_those_of_the_check(page, service):
    for name in (examples.DEMO, examples.TWIN):
        answer = service.post(CHECK, content=examples.written(name), headers=JSON).json()
        for value, dimension in (
            (answer["zone_inlet_pressure"], "pressure"),
            (answer["end_of_line_pressure"], "pressure"),
        ):
            assert f"{figure(value)} {answer['units'][dimension]}" in page.text
        assert answer["verdict"] in page.text


def test_it_shows_the_request_of_the_example(page):
    assert " ".join(examples.written(examples.DEMO).split()) in page.text


def test_it_draws_the_pressure_of_both_zones(page):
    for words in ("way to the critical outlet", "outlets work from 8 to 60 psi", "row at 640 ft"):
        assert words in page.text
