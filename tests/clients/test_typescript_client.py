"""Types generated for TypeScript from the running service, compiled strictly, in a program that makes real calls."""

import json
import subprocess

import pytest

from service.api import examples
from tests.clients.tools import FOLDER, tool

pytestmark = pytest.mark.node


def must(*command: object) -> str:
    ended = subprocess.run(list(map(str, command)), cwd=FOLDER, capture_output=True, text=True, check=False)
    assert ended.returncode == 0, ended.stdout + ended.stderr
    return ended.stdout


@pytest.fixture(scope="module")
def program(service) -> str:
    """The compiled program."""
    must(tool("openapi-typescript"), f"{service.url}/openapi.json", "--output", "generated/api.ts")
    must(tool("tsc"), "--project", ".")
    return "generated/built/check_zone.js"


def test_it_checks_a_zone_reads_a_problem_and_lists_parts(program, service):
    zone = examples.folder() / (examples.DEMO + examples.REQUEST)
    learned = json.loads(must("node", program, service.url, zone))
    answer = examples.answer(examples.DEMO)
    assert learned["verdict"] == answer["verdict"]
    assert learned["margin"] == pytest.approx(answer["critical_outlet"]["margin"], rel=1e-6)
    assert learned["pointers"] == ["#/runs"]
    assert learned["bores"] > 5
