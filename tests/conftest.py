"""What every test run shares."""

import pytest
from hypothesis import HealthCheck, Phase, settings

from tests.running import running_service

# Time is the benchmark's business, and a busy machine is not a defect. The same examples in every run make a failure
# one that can be looked at again.
settings.register_profile("endline", deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
# For runs on thousands of mutants, where it matters that something fails, but not how simply.
settings.register_profile(
    "few", settings.get_profile("endline"), max_examples=20, phases=(Phase.explicit, Phase.generate)
)
settings.load_profile("endline")


def pytest_xdist_auto_num_workers(config):
    """Two processes for a run of everything; one for a part, which is not worth sharing out, and for benchmarks."""
    everything = config.args_source is pytest.Config.ArgsSource.TESTPATHS
    return 2 if everything and config.option.markexpr != "speed" else 0


@pytest.fixture(scope="module")
def service():
    """A client of the whole service, which runs for the tests of one module."""
    with running_service() as client:
        yield client
