"""Asking the service for pictures: by format and by Accept, with a body and without, and what is refused."""

import asyncio

import httpx
import pytest

from service.app import create_app
from service.settings import Settings
from tests.pictures.drawn_from import written
from tests.pictures.test_pictures import png_size

UNIFORM = (
    "/v1/zones/uniform?static_pressure=64&lateral_pipe=dripline-17mm&lateral_length=80&laterals=8&apart=3&spacing=1"
    "&emitter=inline-compensating-0.6gph&regulator=25"
)
LINE = "/v1/laterals/profile?inlet_pressure=25&pipe=pe-0.5in&length=80&spacing=4&emitter=compensating-1gph"
LINE_BODY = {
    "inlet_pressure": 25,
    "run": {"pipe": "pe-0.5in", "length": 80, "outlets": {"emitter": "compensating-1gph", "spacing": 4}},
}


@pytest.fixture(scope="module")
def ask():
    app = create_app(Settings())

    async def request(method, url, **how):
        transport = httpx.ASGITransport(app, raise_app_exceptions=False)
        async with httpx.AsyncClient(transport=transport, base_url="http://endline.test") as client:
            return await client.request(method, url, **how)

    return lambda method, url, **how: asyncio.run(request(method, url, **how))


def kind(answer):
    assert answer.status_code == 200, answer.text
    return answer.headers["content-type"]


def faults(answer, status=422):
    assert answer.status_code == status, answer.text
    return {error["pointer"]: error["accepted"] for error in answer.json()["errors"]}


@pytest.mark.parametrize(
    ("query", "accept", "expected"),
    [
        ("format=png", "*/*", "image/png"),
        ("format=svg&plot=plan", "*/*", "image/svg+xml"),
        ("plot=budget", "*/*", "image/png"),
        ("plot=budget", "image/svg+xml", "image/svg+xml"),
        ("", "image/png", "image/png"),
        ("", "image/avif,image/webp,image/svg+xml,image/*,*/*;q=0.8", "image/svg+xml"),  # of a page's <img>
        ("", "*/*", "application/json"),
        ("plot=response", "text/html,application/xhtml+xml,image/avif,*/*;q=0.8", "image/png"),  # of an address typed
    ],
)
def test_a_picture_comes_by_format_by_plot_or_by_accept(ask, query, accept, expected):
    answer = ask("POST", f"/v1/zones/check?{query}", json=written("rain-tank"), headers={"Accept": accept})
    assert kind(answer) == expected


def test_a_query_and_its_body_give_the_same_picture(ask):
    by_query, by_body = ask("GET", f"{LINE}&format=svg"), ask("POST", "/v1/laterals/profile?format=svg", json=LINE_BODY)
    assert kind(by_query) == kind(by_body) == "image/svg+xml"
    assert by_query.content == by_body.content


def test_a_picture_asked_again_is_not_sent_again(ask):
    first = ask("GET", f"{UNIFORM}&plot=response")
    assert kind(first) == "image/png"
    assert ask("GET", f"{UNIFORM}&plot=response").content == first.content
    again = ask("GET", f"{UNIFORM}&plot=response", headers={"If-None-Match": first.headers["etag"]})
    assert (again.status_code, again.content) == (304, b"")
    tags = {ask("GET", f"{UNIFORM}&plot=response{size}").headers["etag"] for size in ("", "&width=800", "&dpi=100")}
    assert len(tags) == 3


def test_the_advice_on_a_regulator_shows_its_thresholds(ask):
    asked = ask("GET", f"{UNIFORM.replace('zones/uniform', 'regulators/advice')}&format=png")
    assert kind(asked) == "image/png"
    assert kind(ask("POST", "/v1/regulators/advice?plot=response", json=written("rain-tank"))) == "image/png"


def test_a_download_is_named_for_what_it_shows(ask):
    answer = ask("GET", f"{UNIFORM}&plot=plan&download=true&width=640&height=480&dpi=96")
    assert png_size(answer.content) == (640, 480)
    assert answer.headers["content-disposition"] == 'attachment; filename="uniform-plan.png"'


@pytest.mark.parametrize(
    ("query", "expected"),
    [
        ("plot=pie", {"?plot": "profile, budget, response, plan"}),
        ("plot=budget&format=json", {"?format": "png, svg"}),
        ("plot=budget&table=runs", {"?plot": "one of plot, table, pick"}),
        ("format=png&decimal=comma", {"?decimal": "point, or comma with format=csv or table as html or pick as text"}),
        ("plot=budget&decimal=comma", {"?decimal": "point"}),
        ("width=800", {"?width": "format=png or format=svg beside it"}),
        ("format=png&width=99999", {"?width": "from 320 to 3400"}),
        ("format=png&height=100&dpi=9.5", {"?height": "from 240 to 3400", "?dpi": "from 50 to 300"}),
        ("format=png&width=400&dpi=300", {"?dpi": "at most 66, or more pixels"}),
    ],
)
def test_what_does_not_go_together_is_told(ask, query, expected):
    for answer in (
        ask("GET", f"{UNIFORM}&{query}"),
        ask("POST", f"/v1/zones/check?{query}", json=written("rain-tank")),
    ):
        assert faults(answer).items() >= expected.items()


def test_an_answer_without_such_a_picture_says_so(ask):
    assert faults(ask("GET", f"{LINE}&plot=budget")) == {"?plot": "profile"}
    assert faults(ask("GET", "/v1/parts?format=png")) == {"?format": "json, csv, xml, html"}
    assert "?format" in faults(ask("GET", "/v1/parts", headers={"Accept": "image/png"}), status=406)


def test_a_fault_of_the_zone_is_told_at_its_parameter(ask):
    answer = ask("GET", f"{LINE}&plot=profile&first_at=900")
    assert faults(answer).keys() == {"?first_at"}


def test_the_document_lists_the_plots_of_each_answer(ask):
    paths = ask("GET", "/openapi.json").json()["paths"]

    def plots(path, method):
        return [p["schema"]["enum"] for p in paths[path][method]["parameters"] if p["name"] == "plot"]

    assert plots("/v1/zones/check", "post") == [["profile", "budget", "response", "plan"]]
    assert plots("/v1/laterals/profile", "get") == [["profile"]]
    assert plots("/v1/regulators/advice", "get") == [["response"]]
    assert plots("/v1/filters/advice", "get") == []
    assert "image/png" in paths["/v1/zones/uniform"]["get"]["responses"]["200"]["content"]
    assert "image/png" not in paths["/v1/parts"]["get"]["responses"]["200"]["content"]


def test_a_query_may_say_what_stands_over_its_picture(ask):
    for address in (UNIFORM, LINE):
        assert ">Dahlia rows, $5 &lt;b&gt;</text>" in ask("GET", f"{address}&format=svg&name=Dahlia rows, $5 <b>").text


def test_a_picture_is_headed_as_the_sheet_is(ask):
    for address, title in ((UNIFORM, "laterals, each"), (LINE, " ft of ")):
        assert title in ask("GET", f"{address}&format=svg").text
        assert title in ask("GET", f"{address}&format=html").text


@pytest.mark.parametrize(("width", "height"), [(760, 420), (320, 240), (600, 3400), (3400, 3400)])
def test_a_size_alone_is_enough(ask, width, height):
    picture = ask("GET", f"{UNIFORM}&plot=profile&width={width}&height={height}")
    assert picture.status_code == 200
    assert picture.content[16:24] == width.to_bytes(4) + height.to_bytes(4)  # of the header of a PNG
