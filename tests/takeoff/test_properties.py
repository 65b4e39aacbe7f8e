"""What every takeoff obeys, for zones drawn at random."""

from copy import deepcopy
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.parts.listed import find_item
from service.schemas.currencies import CURRENCIES
from service.units.dimensions import System
from tests.strategies import decimals, in_metric, trees, zones
from tests.takeoff.jobs import answer, by_line, by_part, job

FEET_A_METRE = 0.3048

OF_COUPLINGS = ("coupling-", "clamp-", "wire-splice", "solvent-cement", "primer", "thread-tape", "solder-and-flux")

few = settings(max_examples=20)


@st.composite
def jobs(draw, most_zones=3):
    drawn = draw(st.lists(zones(), min_size=1, max_size=most_zones))
    return job(*drawn, frost=draw(st.booleans()))


@st.composite
def price_books(draw, body):
    """Prices for some of the parts of a job, by the piece, by the package or both."""
    parts = {}
    amount = st.integers(0, 10**6).map(lambda hundredths: hundredths / 100)
    for line in answer(body)["lines"]:
        how = draw(st.sampled_from(["none", "unit", "packages", "both"]))
        if how in {"unit", "both"}:
            parts.setdefault(line["part"], {})["unit"] = draw(amount)
        if how in {"packages", "both"}:
            sizes = draw(st.lists(st.integers(2, 500), min_size=1, max_size=3, unique=True))
            parts.setdefault(line["part"], {})["packages"] = [{"size": size, "price": draw(amount)} for size in sizes]
    return {"currency": draw(st.sampled_from(["USD", "JPY", "KWD"])), "parts": parts}


@st.composite
def priced_jobs(draw):
    body = draw(jobs(most_zones=2))
    percent = decimals(0, 60, 1)
    profit = draw(st.sampled_from(["markup", "margin"]))
    rates = {"materials": draw(percent), "work": draw(percent), "labour": draw(percent)}
    tasks = [{"task": "Lay", "per": "length", "hours": 0.013}, {"task": "Build", "per": "head", "hours": 2.5}]
    return {
        **body,
        "prices": {**draw(price_books(body)), "uncertainty": draw(decimals(0, 30))},
        "labour": {"rate": draw(decimals(1, 99)), "tasks": tasks},
        "overhead": draw(percent),
        profit: draw(percent),
        "tax": {"rates": rates, "base": draw(st.sampled_from(["price", "cost"]))},
        "minimum_charge": draw(st.integers(0, 10_000)),
    }


def money(amount):
    """What a document's number stands for: the shortest digits that are read as it."""
    return Decimal(repr(amount))


@few
@given(priced_jobs())
def test_lines_add_up_to_the_totals_whatever_the_prices(body):
    told = answer(body)
    totals, digits = told["totals"], -CURRENCIES[body["prices"]["currency"]]
    lines = [money(line["amount"]) for line in told["lines"] if "amount" in line]
    labour = [money(line["amount"]) for line in told["labour"]]
    classes = totals["by_class"]
    assert sum(lines) == money(totals["materials"])
    assert sum(labour) == money(totals["labour"])
    assert sum(lines) + sum(labour) == money(totals["cost"]) == sum(money(each["cost"]) for each in classes)
    steps = ("cost", "overhead", "profit", "minimum_charge")
    assert sum(money(totals[step]) for step in steps) == money(totals["price"])
    assert money(totals["price"]) + money(totals["tax"]) == money(totals["total"])
    for what in ("overhead", "price", "tax", "total"):
        assert sum(money(each[what]) for each in classes) == money(totals[what])
    assert money(totals["price"]) >= body["minimum_charge"]
    for amount in (*lines, *labour, money(totals["total"])):
        assert amount == amount.quantize(Decimal(1).scaleb(digits))
    without = [line["part"] for line in told["lines"] if "amount" not in line]
    assert told["unpriced"] == list(dict.fromkeys(without))
    if "range" in totals:
        assert totals["range"]["low"] <= totals["total"] <= totals["range"]["high"]


@few
@given(priced_jobs())
def test_packages_cover_the_need_and_one_fewer_would_not(body):
    told = answer(body)
    for line in told["lines"]:
        held = sum(package["size"] * package["count"] for package in line["packages"])
        if line["packages"]:
            assert held == pytest.approx(line["bought"], rel=1e-9)
            assert held >= line["quantity"] * (1 - 1e-9)
            assert all(held - package["size"] < line["quantity"] * (1 - 1e-12) for package in line["packages"])


@few
@given(jobs())
def test_counts_are_whole_and_reasons_make_the_quantity(body):
    for line in answer(body)["lines"]:
        by_length = find_item(line["part"]).by_length
        if not by_length:
            assert line["quantity"] == int(line["quantity"])
        assert line["needed"] + line["spare"] == pytest.approx(line["quantity"], rel=1e-9)
        assert line["quantity"] >= line["needed"] * (1 - 1e-9)
        assert sum(each["quantity"] for each in line["by_zone"]) == pytest.approx(line["needed"], rel=1e-9, abs=1e-12)
        if line["section"] != "consumables":
            assert sum(reason["count"] for reason in line["reasons"]) == pytest.approx(line["quantity"], rel=1e-9)
        assert all(reason["source"] for reason in line["reasons"])


@few
@given(jobs())
def test_every_line_has_an_id_that_a_price_book_can_name(body):
    told = answer(body)
    ids = [line["id"] for line in told["lines"]]
    assert len(set(ids)) == len(ids)
    parts = {line["part"]: {"unit": 1} for line in told["lines"]}
    priced = answer({**body, "prices": {"currency": "EUR", "parts": parts}})
    # Couplings and what they take may join the list, where pipe is cheaper in pieces; nothing else has no price.
    assert all(part.startswith(OF_COUPLINGS) for part in priced["unpriced"])
    for line in told["lines"]:
        assert find_item(line["part"]).name.said(System.US) == line["description"]


@few
@given(st.lists(zones(), min_size=2, max_size=3))
def test_zones_add_up(drawn):
    together, alone = answer(job(*drawn)), [answer(job(zone)) for zone in drawn]
    needed = {}
    for told in alone:
        for line in told["lines"]:
            needed[line["id"]] = needed.get(line["id"], 0) + line["needed"]
    found = {line["id"]: line["needed"] for line in together["lines"]}
    assert {line: amount for line, amount in found.items() if amount} == pytest.approx(
        {line: amount for line, amount in needed.items() if amount}, rel=1e-9
    )
    for name, amount in together["work"].items():
        assert amount == pytest.approx(sum(told["work"][name] for told in alone), rel=1e-9)


@few
@given(zones(), zones())
def test_ids_stay_when_the_job_changes_elsewhere(one, other):
    alone = by_line(answer(job(one)))
    both = by_line(answer(job(one, other)))
    for name, line in alone.items():
        if line["needed"]:
            assert both[name]["part"] == line["part"]
            assert both[name]["by_zone"][0]["quantity"] == pytest.approx(line["by_zone"][0]["quantity"])


@few
@given(zones())
def test_unit_systems_agree(zone):
    us, metric = (by_line(answer({"units": units, **job(body)})) for units, body in (
        ("us", {**zone, "units": "us"}), ("metric", in_metric({**zone, "units": "us"})),
    ))  # fmt: skip
    assert us.keys() == metric.keys()
    for name, line in us.items():
        factor = FEET_A_METRE if find_item(line["part"]).by_length else 1
        for what in ("needed", "spare", "quantity", "bought"):
            assert metric[name][what] == pytest.approx(line[what] * factor, rel=1e-6, abs=1e-9)
        assert [package["count"] for package in metric[name]["packages"]] == [
            package["count"] for package in line["packages"]
        ]


@few
@given(trees(), st.data())
def test_more_length_never_buys_less_of_that_pipe(runs, data):
    index = data.draw(st.integers(0, len(runs) - 1))
    longer = deepcopy(runs)
    longer[index]["length"] = round(runs[index]["length"] * data.draw(decimals(1, 3)), 2)
    if "ground" in longer[index]:
        longer[index]["ground"][-1][0] = longer[index]["length"]
    if isinstance(longer[index].get("outlets"), dict):
        longer[index]["outlets"].pop("count", None)
        runs[index]["outlets"].pop("count", None)
    before, after = (by_part(answer(job(body))) for body in (whole(runs), whole(longer)))
    for part, line in before.items():
        if line["section"] == "pipe":
            assert after[part]["quantity"] >= line["quantity"] * (1 - 1e-9)
            assert after[part]["bought"] >= line["bought"] * (1 - 1e-9)


def whole(runs):
    return {"supply": {"static_pressure": 50}, "runs": runs}


@few
@given(trees(), st.data())
def test_more_outlets_never_buy_fewer(runs, data):
    watered = [index for index, run in enumerate(runs) if "outlets" in run]
    index = data.draw(st.sampled_from(watered))
    more = deepcopy(runs)
    outlets = more[index]["outlets"]
    for each in [outlets] if isinstance(outlets, dict) else outlets:
        each["per_place"] = each.get("per_place", 1) + data.draw(st.integers(0, 3))
    if isinstance(outlets, dict) and "count" not in outlets:
        outlets["spacing"] = round(outlets["spacing"] / data.draw(st.integers(1, 3)), 6)
    told = answer(job(whole(runs))), answer(job(whole(more)))
    before, after = map(by_part, told)
    assert told[1]["work"]["outlet"] >= told[0]["work"]["outlet"]
    for part, line in before.items():
        if line["section"] == "outlets":
            assert after[part]["quantity"] >= line["quantity"]


def test_a_thousand_zones_are_a_job():
    zone = {"runs": [{"id": "row", "pipe": "dripline-17mm", "length": 10, "outlets": ROW_OUTLETS}]}
    told = answer(job(*[{"supply": {"static_pressure": 50}, **zone}] * 1000))
    lines = by_part(told)
    assert lines["flush-cap-barbed-17mm"]["quantity"] == 1000
    assert len(lines["flush-cap-barbed-17mm"]["by_zone"]) == 1000
    # 10 000 ft × 1.01 × 1.05 in coils of 1000 ft: rounded up once, 11 and not 1000.
    dripline = next(line for part, line in lines.items() if part.startswith("dripline"))
    assert [package["count"] for package in dripline["packages"]] == [11]


ROW_OUTLETS = {"emitter": "inline-compensating-0.6gph", "spacing": 1}
