"""What is no job is told with every place to mend, over HTTP."""

import asyncio

import httpx
import pytest

from service.app import create_app
from service.settings import Settings
from tests.takeoff.jobs import DRIPLINE, INLINE, job, zone

ROW = {"id": "row", "pipe": "dripline-17mm", "length": 80, "outlets": INLINE}


@pytest.fixture(scope="module")
def post():
    app = create_app(Settings(threads=2))

    async def request(body):
        transport = httpx.ASGITransport(app, raise_app_exceptions=False)
        async with httpx.AsyncClient(transport=transport, base_url="http://endline.test") as client:
            return await client.post("/v1/zones/takeoff", json=body)

    return lambda body: asyncio.run(request(body))


def faults(reply):
    assert reply.status_code == 422, reply.text
    return {error["pointer"]: error["accepted"] for error in reply.json()["errors"]}


def prices(**parts):
    return {"currency": "USD", "parts": {part.replace("__", "."): price for part, price in parts.items()}}


def test_an_unknown_currency_names_the_nearest(post):
    told = faults(post(job(zone(ROW), prices={"currency": "usd", "parts": {}})))
    assert "USD" in told["#/prices/currency"]


def test_a_negative_price(post):
    told = faults(post(job(zone(ROW), prices={"currency": "USD", "parts": {DRIPLINE: {"unit": -1}}})))
    assert told[f"#/prices/parts/{DRIPLINE}/unit"] == "from 0 to 1000000, with at most 4 decimals"


def test_both_markup_and_margin(post):
    told = faults(post(job(zone(ROW), prices=prices(), markup=20, margin=20)))
    assert told == {"#/margin": "markup or margin, not both"}


def test_a_price_for_no_part_names_the_nearest(post):
    told = faults(post(job(zone(ROW), prices={"currency": "USD", "parts": {"dripline-18mm": {"unit": 1}}})))
    assert {"dripline-16mm", "dripline-17mm"} <= set(told["#/prices/parts/dripline-18mm"].split(", "))


def test_a_misspelt_sundry_is_named_in_the_size_that_was_written(post):
    told = faults(post(job(zone(ROW), prices={"currency": "USD", "parts": {"tee-barbde-1in": {"unit": 1}}})))
    assert told["#/prices/parts/tee-barbde-1in"].split(", ")[0] == "tee-barbed-1in"


BAD_IDS = [
    "tee-barbed",
    "tee-barbed-0.75in-17mm-4mm",
    "hole-plug-0.75in",
    "tee-glued-0.75in",
    "dripline-17mm-with-x-12in",
]


@pytest.mark.parametrize("part", BAD_IDS)
def test_ids_that_look_like_parts_and_are_none(post, part):
    assert list(faults(post(job(zone(ROW), prices={"currency": "USD", "parts": {part: {"unit": 1}}})))) == [
        f"#/prices/parts/{part}"
    ]


def test_everything_is_told_at_once(post):
    body = job(
        zone({**ROW, "length": -3}),
        prices={
            "currency": "USDD",
            "parts": {"hole-plg": {"unit": 1}, "hole-plug": {"packages": [{"size": 2.5, "price": -2}]}, "gravel": {}},
        },
        labour={"rate": 50, "tasks": [{"task": "Dig", "per": "hole_length", "hours": 1}]},
        markup=20,
        margin=120,
        allowances={"spare_outlets": -5, "pressure_taps": "all"},
        shared=["valve", "valve"],
        overheads=3,
    )
    assert set(faults(post(body))) == {
        "#/zones/0/runs/0/length",
        "#/prices/currency",
        "#/prices/parts/hole-plg",
        "#/prices/parts/hole-plug/packages/0/size",
        "#/prices/parts/hole-plug/packages/0/price",
        "#/prices/parts/gravel",
        "#/labour/tasks/0/per",
        "#/margin",
        "#/allowances/spare_outlets",
        "#/allowances/pressure_taps",
        "#/shared/1",
        "#/overheads",
    }


def test_faults_of_all_zones_as_wholes_are_told_at_once(post):
    lost = {"id": "lost", "from": "heder", "pipe": "pe-0.75in", "length": 5}
    told = post(job(zone(ROW, lost), zone(ROW), zone(ROW, ROW), labour={"rate": 1, "tasks": TASKS}))
    assert set(faults(told)) == {"#/zones/0/runs/1/from", "#/zones/2/runs/1/id", "#/labour"}
    assert told.json()["type"] == "/problems/zone-faults"


TASKS = [{"task": "Lay", "per": "length", "hours": 0.1}]


@pytest.mark.parametrize(
    "more",
    [{"labour": {"rate": 1, "tasks": TASKS}}, {"markup": 10}, {"margin": 10}, {"overhead": 1}, {"minimum_charge": 5},
     {"tax": {"rates": {"materials": 1}}}, {"quantity_uncertainty": 5}],
)  # fmt: skip
def test_what_only_a_priced_job_has_needs_prices(post, more):
    reply = post(job(zone(ROW), **more))
    assert reply.json()["type"] == "/problems/no-prices"
    assert list(faults(reply)) == [f"#/{next(iter(more))}"]


def test_wire_without_a_valve_to_lead_to(post):
    told = faults(post(job(zone(ROW, installation={"controller_distance": 20}))))
    assert list(told) == ["#/zones/0/installation/controller_distance"]


def test_a_price_finer_than_it_can_be_counted(post):
    told = faults(post(job(zone(ROW), prices={"currency": "USD", "parts": {"gravel": {"unit": 0.00001}}})))
    assert list(told) == ["#/prices/parts/gravel/unit"]


def test_one_size_of_package_twice(post):
    packages = [{"size": 10, "price": 1}, {"size": 10, "price": 2}]
    told = faults(post(job(zone(ROW), prices={"currency": "USD", "parts": {"hole-plug": {"packages": packages}}})))
    assert list(told) == ["#/prices/parts/hole-plug/packages/1/size"]


def test_no_zones_and_too_many(post):
    assert list(faults(post(job()))) == ["#/zones"]
    assert list(faults(post(job(*[zone(ROW)] * 1001)))) == ["#/zones"]


def test_a_short_body_cannot_ask_for_millions_of_runs(post, monkeypatch):
    monkeypatch.setattr("service.takeoff.takeoff.MOST_RUNS", 2000)
    many = {**ROW, "from": "header", "from_at": 0, "copies": {"count": 190, "apart": 0.1}}
    header = {"id": "header", "pipe": "pe-0.75in", "length": 20}
    reply = post(job(*[zone(header, many)] * 20))
    # 191 runs in a zone: the eleventh zone goes beyond 2000.
    assert list(faults(reply)) == ["#/zones/10"]
    assert reply.json()["type"] == "/problems/job-too-large"


def test_many_unknown_ids_are_refused_quickly(post):
    parts = {f"tee-barbde-{number}in": {"unit": 1} for number in range(3000)}
    assert post(job(zone(ROW), prices={"currency": "USD", "parts": parts})).status_code == 422


def test_absurd_quantities_at_absurd_prices_are_refused_not_rounded(post):
    long = {**ROW, "length": 30_000, "copies": {"count": 1000, "apart": 0}, "outlets": {**INLINE, "spacing": 3000}}
    by_foot = {"currency": "USD", "parts": {DRIPLINE.replace("12in", "36000in"): {"unit": 1_000_000}}}
    reply = post(job(zone(long), prices=by_foot))
    assert reply.json()["type"] == "/problems/job-too-dear"
    assert list(faults(reply)) == ["#/prices"]


def test_stakes_as_close_as_a_fence(post):
    told = faults(post(job(zone(ROW), allowances={"dripline_stake_spacing": 0.001})))
    assert told == {"#/allowances/dripline_stake_spacing": "0 for none, or at least 0.164 ft"}


def test_the_most_that_a_job_may_hold_is_answered(post):
    long = {**ROW, "length": 32_000, "copies": {"count": 100, "apart": 0}, "outlets": {**INLINE, "spacing": 3000}}
    tasks = [{"task": "Lay", "per": "length", "hours": 100_000}]
    reply = post(
        job(
            *[zone(long)] * 20,
            allowances={"dripline_stake_spacing": 0.17},
            prices={"currency": "USD", "parts": {DRIPLINE.replace("12in", "36000in"): {"unit": 0}}},
            labour={"rate": 0, "tasks": tasks},
        )
    )
    assert reply.status_code == 200
    assert reply.json()["work"]["stake"] > 2**28
