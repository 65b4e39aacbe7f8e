"""The whole service in a process of its own, as clients elsewhere meet it."""

from collections.abc import Iterator

import pytest

from tests.edge.processes import Process, started


@pytest.fixture(scope="session")
def service() -> Iterator[Process]:
    """The service as `endline serve` starts it."""
    with started("service", "serve", allowed_origins="https://sheets.example") as process:
        yield process
