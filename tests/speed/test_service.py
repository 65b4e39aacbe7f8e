"""What a check costs over HTTP, how soon a server answers, and how much memory it takes: ratios within one run."""

import json
import os
import statistics
import subprocess
import sys
import time
from pathlib import Path

import httpx
import pytest

from tests.edge.processes import ROOT, started

pytestmark = pytest.mark.speed

MOST_CHECK = 8.0
"""A whole check at 300 outlets over a bare echo of the same body. [-]"""

MOST_START = 3.0
"""Start to first healthy answer over `import fastapi, numpy, scipy.linalg`. [-]"""

MOST_IDLE = 150 * 2**20
MOST_LARGE = 2**30
"""Resident memory of an idle worker, and of one that answered 100 000 outlets. [B]"""

ROUNDS, CALLS = 15, 20
ONE_THREAD = {f"{library}_NUM_THREADS": "1" for library in ("OPENBLAS", "OMP", "MKL")}


def zone_of_300():
    """The demo zone with its rows cut to 304 outlets."""
    zone = json.loads((ROOT / "openapi_examples" / "dahlia-rows.request.json").read_text())
    row = next(run for run in zone["runs"] if run["id"] == "row")
    row["length"] = 38
    return zone


def zone_of_100_000():
    """A hundred rows of a thousand outlets, wide enough to work."""
    pipe = {"inside_diameter": 4, "material": "pvc"}
    return {
        "supply": {"static_pressure": 64},
        "runs": [
            {"id": "header", "pipe": pipe, "length": 300},
            {
                "id": "row",
                "from": "header",
                "from_at": 3,
                "pipe": "pe-1in",
                "length": 1000,
                "outlets": {"emitter": "inline-compensating-0.6gph", "spacing": 1},
                "copies": {"count": 100, "apart": 2.9},
            },
        ],
        "options": {"detail": "summary"},
    }


def status(process, field):
    """A field of the process table, in bytes."""
    lines = Path(f"/proc/{process.popen.pid}/status").read_text().splitlines()
    return next(int(line.split()[1]) * 1024 for line in lines if line.startswith(field))


def seconds(client, path, body):
    start = time.perf_counter()
    for _ in range(CALLS):
        assert client.post(path, content=body, headers={"content-type": "application/json"}).status_code == 200
    return time.perf_counter() - start


def test_a_check_costs_at_most_eight_echoes():
    body = json.dumps(zone_of_300()).encode()
    with (
        started("service", "serve") as service,
        started("tests.speed.bare", "0") as bare,
        httpx.Client(base_url=service.url, trust_env=False) as asked,
        httpx.Client(base_url=bare.url, trust_env=False) as echoed,
    ):
        answer = asked.post("/v1/zones/check", content=body, headers={"content-type": "application/json"}).json()
        assert answer["uniformity"]["count"] == 304
        seconds(echoed, "/echo", body)
        # Turn about, so that whatever else the machine does falls on both.
        turns = [(seconds(asked, "/v1/zones/check", body), seconds(echoed, "/echo", body)) for _ in range(ROUNDS)]
    check, echo = (1e3 * statistics.median(column) / CALLS for column in zip(*turns, strict=True))
    print(f"check of 304 outlets over HTTP: {check:.2f} ms, {check / echo:.2f} times a bare echo ({echo:.2f} ms)")
    assert check <= MOST_CHECK * echo


def test_a_server_answers_soon_and_stays_small():
    importing = [sys.executable, "-c", "import fastapi, numpy, scipy.linalg"]
    environment = {**os.environ, **ONE_THREAD}
    starts, imports = [], []
    for _ in range(5):
        begun = time.perf_counter()
        subprocess.run(importing, check=True, env=environment)
        imports.append(time.perf_counter() - begun)
        begun = time.perf_counter()
        with started("service", "serve") as service:
            assert httpx.get(f"{service.url}/healthz", trust_env=False).status_code == 200
            starts.append(time.perf_counter() - begun)
            idle = status(service, "VmRSS")
    start, plain = statistics.median(starts), statistics.median(imports)
    print(f"start to first healthy answer: {start:.2f} s, {start / plain:.2f} times the bare imports ({plain:.2f} s)")
    print(f"idle memory of a worker: {idle / 2**20:.0f} MiB")
    assert start <= MOST_START * plain
    assert idle < MOST_IDLE


def test_the_largest_zone_fits():
    with started("service", "serve") as service:
        begun = time.perf_counter()
        answer = httpx.post(f"{service.url}/v1/zones/check", json=zone_of_100_000(), timeout=120, trust_env=False)
        took = time.perf_counter() - begun
        peak = status(service, "VmHWM")
    assert answer.status_code == 200, answer.text
    assert answer.json()["uniformity"]["count"] == 100_000
    print(f"100 000 outlets in one request: {took:.1f} s, peak memory {peak / 2**20:.0f} MiB")
    assert peak < MOST_LARGE
