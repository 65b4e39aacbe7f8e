"""Under load and at the end: refusals come at once, health does not wait, nothing accepted is lost."""

import asyncio
import signal
import socket
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor, as_completed
from contextlib import contextmanager
from itertools import islice

import httpx
import pytest

from tests.edge.processes import Process, received, started, status_of

SLOW = {"length": 1, "seconds": 1.0}


@contextmanager
def asking(process: Process) -> Iterator[httpx.Client]:
    """A client that is ready before the clock runs: its certificates take longer to read than a request to send."""
    with httpx.Client(base_url=process.url, timeout=20, trust_env=False) as client:
        yield client


def test_past_the_queue_the_answer_is_503_at_once(server):
    """One thread and a queue of two: of six slow requests three are refused before the first of the others is done."""
    with asking(server) as client, ThreadPoolExecutor(6) as pool:
        waiting = [pool.submit(client.post, "/v1/tiny", json=SLOW) for _ in range(6)]
        endings = [future.result() for future in islice(as_completed(waiting), 3)]
        assert client.get("/healthz").status_code == 200
        assert not all(future.done() for future in waiting)
        assert [answer.status_code for answer in endings] == [503] * 3
        assert all(int(answer.headers["Retry-After"]) > 0 for answer in endings)
        assert sorted(future.result().status_code for future in waiting) == [200] * 3 + [503] * 3
        assert client.post("/v1/tiny", json={"length": 1}).status_code == 200


def longest_wait_beside_two_large_bodies() -> float:
    """How long the slowest question about health took, over the time in which two bodies of 9 MB were read. [-]"""
    pieces = b'{"length": 1}' + b', {"length": 1}' * 49_999
    body = b'{"length": 1, "pieces": [' + pieces + b"]" + b" " * 8_000_000 + b"}"
    with started(threads=1, queue=4) as process, asking(process) as client, ThreadPoolExecutor(2) as pool:
        begun = time.monotonic()
        headers = {"Content-Type": "application/json"}
        large = [pool.submit(client.post, "/v1/job", content=body, headers=headers, timeout=60) for _ in range(2)]
        waits = []
        while not all(future.done() for future in large):
            start = time.monotonic()
            assert client.get("/healthz").status_code == 200
            waits.append(time.monotonic() - start)
        took = time.monotonic() - begun
        assert {future.result().status_code for future in large} == {200}
    return max(waits) / took


def test_a_large_body_does_not_hold_up_the_others():
    """Reading one takes a good part of a second; whoever asks meanwhile is answered between two breaths.

    Whoever had to wait for one of the two would wait nearly half of the time, every time; a machine that is busy with
    something else may hold up one question now and then.
    """
    assert any(longest_wait_beside_two_large_bodies() < 1 / 3 for _ in range(3))


def test_told_to_stop_it_finishes_what_is_in_flight():
    """Requests computed, queued, half sent and just connected when the signal comes: all are answered, none after."""
    with started(threads=1, queue=8) as process, asking(process) as client, ThreadPoolExecutor(3) as pool:
        slow = [pool.submit(client.post, "/v1/tiny", json=SLOW) for _ in range(3)]
        half = socket.create_connection(("127.0.0.1", process.port), timeout=10)
        half.sendall(
            b"POST /v1/tiny HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: 13\r\n\r\n{"
        )
        late = socket.create_connection(("127.0.0.1", process.port), timeout=10)
        kept = socket.create_connection(("127.0.0.1", process.port), timeout=10)
        kept.sendall(b"GET /healthz HTTP/1.1\r\nHost: x\r\n\r\n")
        assert status_of(received(kept)) == 200
        time.sleep(0.5)
        process.terminate()
        # Sent before whoever sends could know that the server leaves.
        late.sendall(b"GET /healthz HTTP/1.1\r\nHost: x\r\n\r\n")
        kept.sendall(b"GET /healthz HTTP/1.1\r\nHost: x\r\n\r\n")
        assert status_of(received(late)) == 200
        assert status_of(received(kept)) == 200
        half.sendall(b'"length": 1}')
        assert status_of(received(half)) == 200
        assert [future.result().status_code for future in slow] == [200, 200, 200]
        assert process.wait() in {0, -signal.SIGTERM}
        with pytest.raises(OSError, match="refused"):
            socket.create_connection(("127.0.0.1", process.port), timeout=1)
        for connection in (half, late, kept):
            assert connection.recv(4096) == b""
            connection.close()


def test_told_to_stop_it_does_not_wait_for_the_idle():
    with started() as process, socket.create_connection(("127.0.0.1", process.port)):
        start = time.monotonic()
        process.terminate()
        process.wait()
        assert time.monotonic() - start < 3


def test_told_to_stop_it_refuses_what_it_cannot_read_as_ever():
    with (
        started() as process,
        socket.create_connection(("127.0.0.1", process.port), timeout=10) as late,
        asking(process) as client,
        ThreadPoolExecutor(1) as pool,
    ):
        slow = pool.submit(client.post, "/v1/tiny", json=SLOW)
        time.sleep(0.3)
        process.terminate()
        time.sleep(0.3)  # till it has heard, and less than it leaves a silent connection
        late.sendall(b"hello\r\n\r\n")
        assert status_of(received(late)) == 400
        assert slow.result().status_code == 200
    assert not [line for line in process.log() if line["level"] in {"error", "critical"}]


def test_several_processes_serve_one_port():
    with started(workers=2) as process, asking(process) as client, ThreadPoolExecutor(1) as pool:
        assert {httpx.get(f"{process.url}/healthz").status_code for _ in range(20)} == {200}
        slow = pool.submit(client.post, "/v1/tiny", json=SLOW)
        time.sleep(0.4)
        process.terminate()
        assert slow.result().status_code == 200
        assert process.wait() in {0, -signal.SIGTERM}


def test_a_sheet_gets_all_its_cells_though_it_asks_for_hundreds_at_once():
    """300 questions that differ, as a sheet sends them when it recalculates: none is turned away."""
    line = "/v1/laterals/profile?pipe=dripline-17mm&length=40&spacing=2&emitter=compensating-1gph&pick=flow"

    async def asked(url):
        limits = httpx.Limits(max_connections=300)
        async with httpx.AsyncClient(base_url=url, limits=limits, timeout=60, trust_env=False) as client:
            addresses = [f"{line}&inlet_pressure={20 + cell / 10}" for cell in range(300)]
            return await asyncio.gather(*(client.get(address) for address in addresses))

    with started("service", "serve") as process:
        answers = asyncio.run(asked(process.url))
    assert {answer.status_code for answer in answers} == {200}
