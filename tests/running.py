"""The whole service, listening on a free port."""

from collections.abc import Iterator
from contextlib import contextmanager

import httpx

from service.cli.demo import open_door, serving, url_of
from service.settings import Settings


@contextmanager
def running_service() -> Iterator[httpx.Client]:
    """A client of a service that runs while the block lasts."""
    settings = Settings()
    with (
        open_door(settings, 0) as door,
        serving(settings, door),
        httpx.Client(base_url=url_of(door), timeout=60, trust_env=False) as client,
    ):
        yield client
