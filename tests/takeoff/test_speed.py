"""A job of many zones: more than one body may hold, and time that grows with the zones and no faster."""

import json
import time
from copy import deepcopy

import pytest

from service.api import examples
from service.api.strict_json import parse
from service.cli.takeoff import TAKEOFF
from service.schemas.takeoff import TakeoffJob
from service.settings import MIB, Settings
from service.takeoff.takeoff import takeoff
from tests.running import running_service

DEMO = examples.request(examples.DEMO)


def many(zones, places=0):
    """The demo zone so often, with outlets one by one where `places` says how many."""
    zone = deepcopy(DEMO)
    if places:
        zone["runs"][2]["outlets"] = [
            {"at": 1 + 0.2 * place, "emitter": "compensating-1gph"} for place in range(places)
        ]
    return {"zones": [{**zone, "name": f"zone number {number}"} for number in range(zones)]}


def seconds(work):
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def test_a_job_may_be_larger_than_a_zone():
    body = json.dumps(many(1000), indent=1).encode()
    assert len(body) > Settings().zone_body_bytes
    with running_service() as service:
        reply = service.post(TAKEOFF, content=body, headers={"Content-Type": "application/json"})
    assert reply.status_code == 200
    assert reply.json()["work"]["zone"] == 1000


@pytest.mark.speed
def test_time_grows_with_the_zones_and_no_faster():
    few, all_of_them = (TakeoffJob.model_validate(many(zones)) for zones in (200, 1000))
    takeoff(few)  # warms caches
    assert min(seconds(lambda: takeoff(all_of_them)) for _ in range(3)) < 8 * min(
        seconds(lambda: takeoff(few)) for _ in range(3)
    )


@pytest.mark.speed
def test_a_full_body_of_a_thousand_zones(benchmark):
    body = json.dumps(many(1000, places=300)).encode()
    assert 15 * MIB < len(body) <= 16 * MIB
    benchmark.pedantic(lambda: takeoff(TakeoffJob.model_validate(parse(body))), rounds=2)
