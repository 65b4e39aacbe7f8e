"""The printable sheet: what stands on it, and that it says what the answer says."""

import re
from html import unescape

import pytest

from service.api import examples
from service.api.documented import LATERAL_REQUESTS
from service.render.run_groups import run_groups
from tests.formats.questions import profile, uniform

POND = "/v1/filters/advice?flow=6&source=pond&passage=0.035&suspended_solids=60&ph=7.7"


REGULATOR = uniform().replace("/zones/uniform", "/regulators/advice")


def page_of(answer):
    assert answer.status_code == 200
    return unescape(answer.text)


def heading(page):
    return re.search(r"<h1><bdi>(.*?)</bdi></h1>", page)[1]


@pytest.mark.parametrize(
    ("address", "title"),
    [
        (uniform(format="html"), "4 laterals, each 80 ft of dripline-17mm"),
        (uniform(format="html", units="metric"), "4 laterals, each 80 m of dripline-17mm"),
        (uniform(format="html", name="Dahlia rows, <b>$5</b> 🌼"), "Dahlia rows, <b>$5</b> 🌼"),
        (profile(format="html"), "60 ft of tubing-0.5in-600-700"),
        (POND + "&format=html", "Filter for 6 gpm of water: pond"),
    ],
)
def test_it_is_headed_by_a_name_or_by_what_was_asked(ask, address, title):
    assert heading(page_of(ask("GET", address))) == title


@pytest.mark.parametrize(
    ("called", "title"),
    [({}, "40 ft of pe-0.5in"), ({"id": "quince"}, "quince"), ({"id": "quince", "name": "Quince wall"}, "Quince wall")],
)
def test_so_is_one_line_that_was_sent(ask, called, title):
    lateral = LATERAL_REQUESTS["quince-by-the-wall"]["value"]
    sent = {**lateral, "run": {**lateral["run"], **called}}
    assert heading(page_of(ask("POST", "/v1/laterals/profile?format=html", json=sent))) == title


def test_so_is_a_line_of_which_only_the_bore_is_known(ask):
    address = profile(format="html", inside_diameter=0.6).replace("pipe=tubing-0.5in-600-700&", "")
    assert heading(page_of(ask("GET", address))) == "60 ft of pipe, 0.6 in inside"


def cards(page):
    return dict(re.findall(r"<div><dt>(.*?)</dt><dd>(.*?)</dd></div>", page.partition("<section")[0]))


def test_advice_on_a_regulator_is_headed_by_what_it_advises(ask):
    told = ask("GET", REGULATOR).json()
    page = page_of(ask("GET", REGULATOR + "&format=html"))
    assert heading(page) == "Regulator for 4 laterals, each 80 ft of dripline-17mm"
    assert told["advice"] == cards(page)["pressure regulator"] == "required"
    assert cards(page)["this supply, no flow"] == "64 psi"
    assert cards(page)["suggested set pressure"] == "25 psi"
    assert cards(page)["the zone takes"] == "8.2 to 60.1 psi"


def test_advice_on_a_filter_is_headed_by_what_it_advises(ask):
    shown = cards(page_of(ask("GET", POND + "&format=html")))
    told = ask("GET", POND).json()
    assert (shown["filter"], shown["type"], shown["mesh"]) == (told["advice"], told["type"], str(told["mesh"]))
    assert shown["openings up to"] == "88.9 µm"


@pytest.mark.parametrize("name", ['</style><script>"', "\\22 }", "a\u2028b", "rosée 花 🌹", "=" * 200])
def test_the_foot_of_a_page_names_the_zone_and_nothing_else(ask, name):
    style = re.search(r"<style>(.*?)</style>", ask("GET", uniform(format="html", name=name)).text, re.DOTALL)[1]
    (written,) = re.findall(r'@bottom-left \{ content: "(.*?)";', style)
    assert re.fullmatch(r"(?:[A-Za-z0-9]|\\[0-9a-f]+ )*", written)
    told = re.sub(r"\\([0-9a-f]+) ", lambda number: chr(int(number[1], 16)), written)
    assert name.replace("\u2028", " ").startswith(told.removesuffix("…"))


def test_codes_are_told_in_words(ask):
    pond = page_of(ask("GET", POND + "&format=html"))
    assert "<td>suspended solids</td>" in pond
    assert "<td>pH</td>" in pond
    assert "<dt>outlets first at</dt>" in page_of(ask("GET", uniform(format="html")))
    assert "double check" in page_of(ask("GET", "/v1/parts?format=html"))
    # A table for a program has them as they are.
    assert "<td>suspended_solids</td>" in ask("GET", POND + "&format=html&table=constituents").text


def test_it_holds_the_picture_of_the_answer(ask):
    for address, words in (
        (uniform(format="html"), "way to the critical outlet"),
        (profile(format="html"), "critical outlet"),
        (uniform(format="html").replace("/zones/uniform", "/regulators/advice"), "pressure of the supply with no flow"),
    ):
        page = page_of(ask("GET", address))
        assert page.count("<svg") == 1
        assert words in page
        assert "<metadata" not in page


def test_what_it_takes_to_build_is_listed_with_what_to_buy(ask):
    zone = examples.request("dahlia-rows")
    page = page_of(ask("POST", "/v1/zones/check?format=html", json=zone))
    lines = ask("POST", "/v1/zones/takeoff", json={"zones": [zone]}).json()["lines"]
    for line in lines:
        assert line["description"] in page
        assert line["buy"] in page


def test_copies_of_a_run_stand_in_one_line_with_the_range_of_their_figures(ask):
    zone = examples.request("dahlia-rows")
    runs = ask("POST", "/v1/zones/check", json=zone).json()["runs"]
    row = next(group for group in run_groups(runs) if group.run == "row")
    ends = [round(run["end_pressure"], 1) for run in runs if run["run"].startswith("row:")]
    assert row.count == 8
    assert min(ends) < max(ends)
    assert row.end == f"{min(ends):.1f} to {max(ends):.1f}"
    page = page_of(ask("POST", "/v1/zones/check?format=html", json=zone))
    assert row.end in page
    assert "<td>row:2</td>" not in page


def test_nested_copies_are_one_line_too(ask):
    runs = ask("POST", "/v1/zones/check", json=examples.request("nested-copies")).json()["runs"]
    groups = {group.run: group.count for group in run_groups(runs)}
    assert groups["bed/row"] == sum(run["run"].startswith("bed:") and "/row:" in run["run"] for run in runs)


def test_equal_requests_give_equal_sheets(ask):
    zone = examples.request("quince-on-the-wall")
    first, second = (ask("POST", "/v1/zones/check?format=html", json=zone).content for _ in range(2))
    assert first == second
