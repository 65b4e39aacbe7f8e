"""An answer that is kept costs hardly more than an endpoint that does nothing.

Measured twice: the applications by themselves, where a server would hide what the service adds, and as callers meet
them, each in a process of its own behind its server and a socket.
"""

import asyncio
import socket
import statistics
import time

import pytest
from fastapi import FastAPI, Response

from service.app import create_app
from service.settings import Settings
from tests.edge.processes import received, started, status_of
from tests.formats.questions import uniform

pytestmark = pytest.mark.speed

MOST = 2.0
"""Times the bare endpoint. [-]"""

ROUNDS, CALLS = 15, 200

HOW = [{}, {"pick": "end_of_line_pressure"}, {"table": "runs"}]


async def called(app, address):
    """One GET, without a client or a socket that would cost more than what is measured."""
    path, _, query = address.partition("?")
    sent = []

    async def receive():
        return {"type": "http.request", "body": b"", "more_body": False}

    async def send(message):
        sent.append(message)

    scope = {
        "type": "http",
        "asgi": {"version": "3.0"},
        "http_version": "1.1",
        "method": "GET",
        "scheme": "http",
        "path": path,
        "raw_path": path.encode(),
        "query_string": query.encode(),
        "root_path": "",
        "headers": [(b"host", b"endline.test"), (b"accept", b"*/*")],
        "client": ("127.0.0.1", 50_000),
        "server": ("127.0.0.1", 8000),
        "state": {},
    }
    await app(scope, receive, send)
    return sent[0]["status"], b"".join(message.get("body", b"") for message in sent)


def bare(body, media_type):
    """An application with one endpoint, which has its answer at hand."""
    app = FastAPI()

    @app.get("/bare")
    async def answer():
        return Response(body, media_type=media_type)

    return app


async def seconds(app, address):
    start = time.perf_counter()
    for _ in range(CALLS):
        await called(app, address)
    return time.perf_counter() - start


@pytest.mark.parametrize("how", HOW, ids=str)
def test_a_kept_answer_costs_at_most_twice_a_bare_endpoint(how):
    async def measured():
        service, address = create_app(Settings()), uniform(**how)
        status, body = await called(service, address)
        assert status == 200
        assert (await called(service, address))[1] == body
        plain = bare(body, "application/json")
        # Turn about, so that whatever else the machine does falls on both.
        return [(await seconds(service, address), await seconds(plain, "/bare")) for _ in range(ROUNDS)]

    kept, nothing = zip(*asyncio.run(measured()), strict=True)
    ratio = statistics.median(kept) / statistics.median(nothing)
    print(f"kept answer {how}: {1e6 * statistics.median(kept) / CALLS:.0f} µs, {ratio:.2f} times a bare endpoint")
    assert ratio <= MOST


def asked(connection, address):
    """One GET over a connection that stays open, by a client that costs next to nothing."""
    connection.sendall(f"GET {address} HTTP/1.1\r\nHost: endline.test\r\nAccept: */*\r\n\r\n".encode())
    answer = received(connection)
    assert status_of(answer) == 200
    return answer


def seconds_over_http(connection, address):
    start = time.perf_counter()
    for _ in range(CALLS):
        asked(connection, address)
    return time.perf_counter() - start


@pytest.mark.parametrize("how", HOW, ids=str)
def test_so_it_does_over_http(how):
    """The bare endpoint has the same server, and sends as many bytes."""
    address = uniform(**how)
    with (
        started("service", "serve") as service,
        started("tests.speed.bare", "0") as plain,
        socket.create_connection(("127.0.0.1", service.port)) as kept_by,
        socket.create_connection(("127.0.0.1", plain.port)) as bare_by,
    ):
        size = len(asked(kept_by, address).partition(b"\r\n\r\n")[2])
        rounds = [
            (seconds_over_http(kept_by, address), seconds_over_http(bare_by, f"/bytes/{size}")) for _ in range(ROUNDS)
        ]
    kept, nothing = map(statistics.median, zip(*rounds, strict=True))
    print(f"kept answer over HTTP {how}: {1e6 * kept / CALLS:.0f} µs, {kept / nothing:.2f} times a bare endpoint")
    assert kept / nothing <= MOST
