"""Jobs that are well written and too much: refused, or answered in time."""

import time

import pytest

from service.takeoff.packages import LARGEST_TABLE, TABLES_OF_JOB, Offer, cheapest_mix, share_of
from tests.takeoff.jobs import answer, job, zone
from tests.takeoff.test_bad_jobs import faults, post

__all__ = ["post"]


def of_bores(first, count):
    """A zone with as many kinds of pipe, written out, on one main."""
    main = {"id": "main", "pipe": "pe-2in", "length": count + 1}
    outlets = {"emitter": "spray-8gph", "spacing": 3}
    sides = [
        {
            "id": f"side-{number}",
            "from": "main",
            "from_at": number,
            "pipe": {"inside_diameter": round(0.2 + (first + number) * 5e-4, 6), "material": "pvc"},
            "length": 3,
            "outlets": outlets,
        }
        for number in range(count)
    ]
    return zone(main, *sides)


def test_prices_name_as_many_tax_classes_as_there_may_be_rates(post):
    body = job(of_bores(0, 20))
    parts = {line["part"]: {"unit": 1} for line in answer(body)["lines"]}
    named = {part: {**price, "tax_class": f"class_{row}"} for row, (part, price) in enumerate(parts.items())}
    assert len(named) > 50
    told = faults(post({**body, "prices": {"currency": "USD", "parts": named}}))
    assert told == {"#/prices/parts": "at most 50 classes in all"}
    few = dict(list(named.items())[:50])
    sums = post({**body, "prices": {"currency": "USD", "parts": few}, "labour": LABOUR, "minimum_charge": 10**6}).json()
    # Fifty of the book, and of its own accord labour and the minimum charge.
    assert len(sums["totals"]["by_class"]) == 52


LABOUR = {"rate": 50, "tasks": [{"task": "Come and go", "per": "job", "hours": 1}]}


def test_a_list_longer_than_an_answer_is_refused(post, monkeypatch):
    # A side takes a pipe, adapter, coupling, cap, saddle for its outlet and tap: a thousand of them some 6000 lines.
    monkeypatch.setattr("service.takeoff.takeoff.told.MOST_LINES", 100)
    reply = post(job(of_bores(0, 30)))
    assert list(faults(reply)) == ["#/zones"]
    assert reply.json()["type"] == "/problems/job-too-large"
    assert reply.json()["errors"][0]["accepted"] == "in a job at most 100 kinds of parts"


AWKWARD = [
    Offer(size, size * 7 // 3 + 11 * row) for row, size in enumerate((999_997, 999_866, 999_721, 998_999, 998_111))
]


def test_mixes_of_many_awkward_needs_share_their_tables():
    assert share_of(1) == LARGEST_TABLE
    share = share_of(1000)
    assert 1000 * share <= TABLES_OF_JOB
    start = time.perf_counter()
    for need in range(3_000_000_000, 3_000_001_000):
        cheapest_mix(need, AWKWARD, share)
    # By full tables of a million entries each this would take minutes.
    assert time.perf_counter() - start < 5


@pytest.mark.parametrize("largest", [10, 1000, 50_000])
def test_a_smaller_table_costs_within_one_package_of_the_least(largest):
    for need in (1, 999_998, 5_000_123, 3_000_000_007):
        counts = cheapest_mix(need, AWKWARD, largest)
        held = sum(count * offer.size for count, offer in zip(counts, AWKWARD, strict=True))
        cost = sum(count * offer.cost for count, offer in zip(counts, AWKWARD, strict=True))
        assert held >= need
        assert all(not count or held - offer.size < need for count, offer in zip(counts, AWKWARD, strict=True))
        # No mix costs less than the need at the best price for its size.
        best = min(AWKWARD, key=lambda offer: offer.cost / offer.size)
        assert cost <= need * best.cost / best.size + max(offer.cost for offer in AWKWARD)


def test_a_short_body_of_awkward_packages_is_answered_in_time(post):
    body = job(of_bores(0, 150))
    for run in body["zones"][0]["runs"][1:]:
        run |= {"length": 30_000, "outlets": {"emitter": "spray-8gph", "spacing": 30_000}}
    packages = [{"size": round(9999.97 - 1.31 * row, 2), "price": round(900 + 0.37 * row, 2)} for row in range(10)]
    pipes = [line["part"] for line in answer(body)["lines"] if line["part"].startswith("described-pipe")]
    assert len(pipes) == 150
    start = time.perf_counter()
    reply = post({**body, "prices": {"currency": "USD", "parts": {part: {"packages": packages} for part in pipes}}})
    assert reply.status_code == 200
    assert time.perf_counter() - start < 20
