"""The edge as its tests meet it: within the process where that will do, through a real socket where it will not."""

import asyncio
import socket
from collections.abc import Callable, Iterator
from typing import Any

import httpx
import pytest

from service.settings import Settings
from tests.edge.processes import Process, started
from tests.edge.tiny import tiny_app

Ask = Callable[..., httpx.Response]


def asker(settings: Settings) -> Ask:
    app = tiny_app(settings)

    async def request(method: str, url: str, **kwargs: Any) -> httpx.Response:
        transport = httpx.ASGITransport(app, raise_app_exceptions=False)
        async with httpx.AsyncClient(transport=transport, base_url="http://endline.test") as client:
            return await client.request(method, url, **kwargs)

    return lambda method, url, **kwargs: asyncio.run(request(method, url, **kwargs))


@pytest.fixture(scope="session")
def ask() -> Ask:
    """Asks the tiny service, within this process."""
    return asker(Settings(allowed_origins="https://sheets.example,https://forms.example", threads=2))


@pytest.fixture(scope="module")
def server() -> Iterator[Process]:
    """The tiny service in a process of its own, impatient."""
    with started(header_seconds=1, body_seconds=1, threads=1, queue=2, zone_body_bytes=64 * 1024) as process:
        yield process


@pytest.fixture
def connection(server: Process) -> Iterator[socket.socket]:
    """A bare connection to that process."""
    with socket.create_connection(("127.0.0.1", server.port), timeout=10) as bare:
        yield bare
