"""Prices, labour, profit and tax, reckoned by hand."""

from decimal import Decimal

import pytest

from service.schemas.takeoff import TakeoffJob
from service.takeoff.buy import rounded
from tests.takeoff.jobs import DRIPLINE, INLINE, answer, by_part, job, zone

ROW = zone({"id": "row", "pipe": "dripline-17mm", "length": 80, "outlets": INLINE})

PRICES = {
    DRIPLINE: {"packages": [{"size": 100, "price": 36}, {"size": 500, "price": 149}]},
    "adapter-threaded-barbed-0.75in-17mm": {"unit": 0.88},
    "flush-cap-barbed-17mm": {"unit": 1.1},
    "pressure-tap-barbed": {"unit": 2.6},
    "tubing-stake-17mm": {"unit": 0.2, "packages": [{"size": 50, "price": 8}]},
    "hole-plug": {"packages": [{"size": 10, "price": 1.1}]},
    "thread-tape": {"unit": 1.1},
}
"""A price for each line of the row: 36 + 0.88 + 1.10 + 2.60 + 27 × 0.20 (dearer than no bag of 50 at 8.00) + 1.10 +
1.10 = 48.18."""


def priced(parts=PRICES, currency="USD", zones=(ROW,), **more):
    return answer(job(*zones, prices={"currency": currency, "parts": parts, **more.pop("book", {})}, **more))


def total(told, what="total"):
    return told["totals"][what]


def test_every_line_and_their_sum():
    told = priced()
    amounts = {part: line["amount"] for part, line in by_part(told).items()}
    assert amounts == {
        DRIPLINE: 36.0,  # 84.84 ft: one coil of 100
        "adapter-threaded-barbed-0.75in-17mm": 0.88,
        "flush-cap-barbed-17mm": 1.1,
        "pressure-tap-barbed": 2.6,
        "tubing-stake-17mm": 5.4,  # 27 at 0.20, below 8.00 for a bag
        "hole-plug": 1.1,
        "thread-tape": 1.1,
    }
    assert total(told) == 48.18
    assert told["totals"]["complete"] is True
    assert told["unpriced"] == []
    assert told["totals"]["says"] == "48.18 USD, every line priced."


def test_an_unpriced_part_is_named_and_the_total_says_so():
    told = priced({part: price for part, price in PRICES.items() if part != "hole-plug"})
    assert told["unpriced"] == ["hole-plug"]
    assert "amount" not in by_part(told)["hole-plug"]
    assert told["totals"]["complete"] is False
    assert told["totals"]["says"] == "47.08 USD; without a price and left out: 1 of 7 lines."


def test_a_price_book_without_parts_prices_nothing():
    told = priced({})
    assert len(told["unpriced"]) == len(told["lines"])
    assert total(told) == 0
    assert told["totals"]["complete"] is False


def test_without_prices_there_are_no_totals():
    told = answer(job(ROW))
    assert not {"totals", "labour", "unpriced"} & told.keys()


def test_pipe_by_the_foot_is_cut_in_whole_feet():
    told = by_part(priced({DRIPLINE: {"unit": 0.4}}))
    # 84.84 ft are 85 whole feet.
    assert told[DRIPLINE]["amount"] == 34.0
    assert told[DRIPLINE]["packages"] == [{"size": 1.0, "count": 85, "price": 0.4}]
    assert told[DRIPLINE]["buy"] == "85 ft cut off"


def test_a_coil_and_some_cut_off_where_that_is_cheapest():
    row = zone({"id": "row", "pipe": "dripline-17mm", "length": 110, "outlets": INLINE})
    told = by_part(priced({DRIPLINE: {"unit": 0.4, "packages": [{"size": 100, "price": 36}]}}, zones=[row]))
    # 110 × 1.01 × 1.05 = 116.655: a coil and 17 ft at 0.40 are 42.80; two coils 72.00; 117 ft cut off 46.80.
    assert told[DRIPLINE]["amount"] == 42.8
    # Coil and cut-off piece are two pieces: one coupling between them.
    assert told["coupling-barbed-17mm"]["quantity"] == 1


def test_couplings_follow_the_coils_that_are_bought():
    row = zone({"id": "row", "pipe": "dripline-17mm", "length": 300, "outlets": INLINE})
    short = by_part(priced({DRIPLINE: {"packages": [{"size": 100, "price": 36}]}}, zones=[row]))
    # 318.15 ft: four coils of 100, so three couplings; unpriced it is one coil of 500.
    assert short["coupling-barbed-17mm"]["quantity"] == 3
    assert "coupling-barbed-17mm" not in by_part(answer(job(row)))
    none = answer(job(row, prices={"currency": "USD", "parts": {}}, allowances={"coil_couplings": False}))
    assert "coupling-barbed-17mm" not in by_part(none)


LABOUR = {
    "rate": 50,
    "tasks": [
        {"task": "Lay", "per": "dripline_length", "hours": 0.01},  # 80 ft: 0.80 h, 40.00
        {"task": "Connect", "per": "end", "hours": 0.25, "rate": 60},  # one end: 15.00
        {"task": "Come and go", "per": "job", "hours": 1.5},  # 75.00
    ],
}


def test_labour_by_task():
    told = priced(labour=LABOUR)
    assert [(line["hours"], line["amount"]) for line in told["labour"]] == [(0.8, 40.0), (0.25, 15.0), (1.5, 75.0)]
    assert (total(told, "materials"), total(told, "labour"), total(told)) == (48.18, 130.0, 178.18)


def test_overhead_and_markup():
    told = priced(overhead=10, markup=25)
    # 48.18 + 4.82 (4.818) = 53.00; a quarter of it 13.25; 66.25.
    assert (total(told, "overhead"), total(told, "profit"), total(told, "price")) == (4.82, 13.25, 66.25)
    assert told["totals"]["formula"] == "price = cost × (1 + 10 % overhead) × (1 + 25 % markup)"


def test_margin_is_a_share_of_the_price():
    told = priced(overhead=10, margin=20)
    # 53.00 / 0.8 = 66.25: a margin of 20 % is a markup of 25 %.
    assert (total(told, "profit"), total(told, "price")) == (13.25, 66.25)
    assert told["totals"]["formula"] == "price = cost × (1 + 10 % overhead) / (1 - 20 % margin)"


def test_tax_by_class_on_the_price():
    told = priced(labour=LABOUR, markup=10, tax={"rates": {"materials": 8, "labour": 0}})
    # Materials 48.18 + 4.82 = 53.00, taxed 4.24; labour 130 + 13 = 143, untaxed.
    assert (total(told, "price"), total(told, "tax"), total(told)) == (196.0, 4.24, 200.24)


def test_tax_on_the_cost():
    told = priced(markup=10, tax={"rates": {"materials": 8}, "base": "cost"})
    assert total(told, "tax") == 3.85  # 8 % of 48.18 is 3.8544


def test_a_class_of_its_own_for_a_part():
    parts = {**PRICES, DRIPLINE: {**PRICES[DRIPLINE], "tax_class": "farm_use"}}
    told = priced(parts, tax={"rates": {"materials": 10, "farm_use": 0}})
    assert total(told, "tax") == 1.22  # 10 % of 48.18 - 36
    assert {each["tax_class"]: each["cost"] for each in told["totals"]["by_class"]} == {
        "farm_use": 36.0,
        "materials": 12.18,
    }


def test_a_class_without_a_line_or_a_rate_is_noted():
    parts = {**PRICES, DRIPLINE: {**PRICES[DRIPLINE], "tax_class": "farm_use"}}
    told = priced(parts, tax={"rates": {"materials": 10, "frm_use": 0}})
    assert {note["code"] for note in told["notes"]} == {"unused-tax-class", "no-tax-rate"}


def test_the_minimum_charge_is_reached_and_taxed_by_its_own_rate():
    told = priced(minimum_charge=100, tax={"rates": {"materials": 10, "minimum_charge": 5}})
    # 48.18 up to 100 is 51.82; tax 4.82 (4.818) and 2.59 (2.591).
    assert (total(told, "minimum_charge"), total(told, "price"), total(told, "tax")) == (51.82, 100.0, 7.41)
    assert total(told, "profit") == 0
    assert total(priced(minimum_charge=40), "minimum_charge") == 0


def test_range_of_what_is_uncertain():
    book = {"uncertainty": 10}
    parts = {**PRICES, DRIPLINE: {**PRICES[DRIPLINE], "uncertainty": 0}}
    told = priced(parts, book=book, labour={**LABOUR, "uncertainty": 20}, quantity_uncertainty=5)
    # Dripline 36 × 0.95 = 34.20; the others line by line × 0.9 × 0.95, rounded: 0.88 → 0.75, 1.10 → 0.94 (three of
    # them), 2.60 → 2.22, 5.40 → 4.62; labour 40 and 15 × 0.8 × 0.95 = 30.40 and 11.40, the visit 75 × 0.8 = 60.
    low = [34.20, 0.75, 0.94, 0.94, 0.94, 2.22, 4.62, 30.40, 11.40, 60.00]
    assert told["totals"]["range"]["low"] == pytest.approx(sum(low), abs=1e-9)
    # Up: 37.80; × 1.1 × 1.05: 1.02, 1.27 (three), 3.00, 6.24; × 1.2 × 1.05: 50.40, 18.90; 90.
    high = [37.80, 1.02, 1.27, 1.27, 1.27, 3.00, 6.24, 50.40, 18.90, 90.00]
    assert told["totals"]["range"]["high"] == pytest.approx(sum(high), abs=1e-9)


def test_nothing_uncertain_has_no_range():
    assert "range" not in priced()["totals"]


@pytest.mark.parametrize(
    ("currency", "price", "amount"), [("JPY", 12.5, 13), ("KWD", 0.0345, 0.035), ("EUR", 0.345, 0.35)]
)
def test_amounts_have_the_decimals_of_their_currency(currency, price, amount):
    told = by_part(priced({"pressure-tap-barbed": {"unit": price}}, currency=currency))
    assert told["pressure-tap-barbed"]["amount"] == amount


def test_half_is_rounded_up_from_the_digits_that_were_written():
    # As a binary number 0.345 is below its digits, and 2.675 too: floats would round both down.
    assert rounded(Decimal("0.345"), 2) == Decimal("0.35")
    assert rounded(Decimal("2.675"), 2) == Decimal("2.68")
    assert by_part(priced({"pressure-tap-barbed": {"unit": 2.675}}))["pressure-tap-barbed"]["amount"] == 2.68


def test_a_price_that_the_job_does_not_use_is_a_note():
    told = priced({**PRICES, "nipple-0.75in": {"unit": 1}, "tee-barbed-99mm": {"unit": 1}})
    (note,) = told["notes"]
    assert (note["code"], note["where"]) == ("unused-price", "#/prices/parts")
    assert note["message"] == "Prices that the job does not use: nipple-0.75in, tee-barbed-99mm."
    book = {f"tee-barbed-{size}mm": {"unit": 1} for size in range(10, 17)}
    (note,) = priced({**PRICES, **book})["notes"]
    assert note["message"].endswith("tee-barbed-14mm and 2 more.")


def test_the_price_book_of_the_house_serves_jobs_that_bring_none():
    house = TakeoffJob.model_validate(job(ROW, prices={"currency": "EUR", "parts": PRICES})).prices
    assert answer(job(ROW), prices=house)["totals"]["total"] == 48.18
    own = answer(job(ROW, prices={"currency": "USD", "parts": {}}), prices=house)
    assert (own["totals"]["currency"], own["totals"]["total"]) == ("USD", 0)


def test_prices_by_the_foot_serve_a_job_in_metres():
    house = TakeoffJob.model_validate(job(ROW, prices={"currency": "EUR", "parts": {DRIPLINE: {"unit": 0.4}}})).prices
    row = {"id": "row", "pipe": "dripline-17mm", "length": 24.384, "outlets": {**INLINE, "spacing": 0.3048}}
    metric = zone(row, supply={"static_pressure": 400})
    told = by_part(answer({"units": "metric", **job(metric)}, prices=house))
    # 80 ft again: 85 whole feet, and the answer tells their length in metres.
    assert told[DRIPLINE]["amount"] == 34.0
    assert told[DRIPLINE]["packages"] == [{"size": pytest.approx(0.3048), "count": 85, "price": 0.4}]


def test_rigid_pipe_by_the_foot_is_bought_in_its_lengths():
    outlets = {"emitter": "spray-8gph", "spacing": 5}
    line = zone({"id": "line", "pipe": "pvc-sch40-0.75in", "length": 45, "outlets": outlets})
    told = by_part(priced({"pvc-sch40-0.75in": {"unit": 0.5}}, zones=[line]))["pvc-sch40-0.75in"]
    # 47.25 ft are two sticks of 20 ft and one of 10 ft, 50 ft at 0.50.
    assert [(package["size"], package["count"], package["price"]) for package in told["packages"]] == [
        (pytest.approx(20), 2, 10.0),
        (pytest.approx(10), 1, 5.0),
    ]
    assert (told["amount"], told["buy"]) == (25.0, "2 × 20 ft + 1 × 10 ft")
    # Where the book says what is sold, a foot is a foot.
    told = by_part(priced({"pvc-sch40-0.75in": {"unit": 0.5, "packages": [{"size": 100, "price": 90}]}}, zones=[line]))
    assert (told["pvc-sch40-0.75in"]["amount"], told["pvc-sch40-0.75in"]["buy"]) == (24.0, "48 ft cut off")


def test_sleeves_by_the_foot_too():
    body = job(
        {**ROW, "installation": {"sleeve_length": 8}},
        prices={"currency": "USD", "parts": {"sleeve-1.25in": {"unit": 0.7}}},
    )
    # 8.4 ft: a stick of 10 ft.
    assert by_part(answer(body))["sleeve-1.25in"]["amount"] == 7.0


def test_hours_are_priced_before_they_are_rounded():
    tasks = [
        {"task": "Flush", "per": "end", "hours": 0.004},
        {"task": "Lay", "per": "dripline_length", "hours": 0.0001},
    ]
    row = {"id": "row", "pipe": "dripline-17mm", "length": 80.126, "outlets": {**INLINE, "count": 80}}
    told = priced({}, zones=[zone(row)], labour={"rate": 60, "tasks": tasks})
    # 0.004 h × 60 = 0.24; 80.126 ft × 0.0001 h × 60 = 0.480756.
    assert [line["amount"] for line in told["labour"]] == [0.24, 0.48]
    assert [line["hours"] for line in told["labour"]] == pytest.approx([0.004, 0.0080126])
    large = priced({}, zones=[zone(row)], labour={"rate": 60_000, "tasks": tasks[1:]})
    assert total(large, "labour") == 480.76  # not 480.60, of 80.12 ft


def test_the_formula_tells_of_the_minimum_charge():
    told = priced(markup=30, minimum_charge=100)
    assert told["totals"]["formula"] == "price = cost × (1 + 30 % markup), at least the minimum charge"


def test_the_minimum_charge_is_not_taxed_where_cost_is():
    told = priced(minimum_charge=100, tax={"rates": {"materials": 10, "minimum_charge": 5}, "base": "cost"})
    # Taxed is what the contractor pays: 48.18, and nothing of the 51.82 on top.
    assert (total(told, "minimum_charge"), total(told, "tax"), total(told)) == (51.82, 4.82, 104.82)


def test_each_priced_line_names_its_currency():
    told = by_part(priced({"hole-plug": {"unit": 1}}, currency="EUR"))
    assert told["hole-plug"]["currency"] == "EUR"
    assert "currency" not in told["thread-tape"]
