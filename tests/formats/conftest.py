"""The service within this process, and questions for it."""

import pytest

from service.settings import Settings
from tests.edge.conftest import asker


@pytest.fixture(scope="module")
def ask():
    """Asks a service that nobody else asks."""
    return asker(Settings(threads=2))
