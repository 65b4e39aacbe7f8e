"""The two small clients of openapi_examples/, run as a user runs them."""

import json
import subprocess
import sys

import pytest

from service.api import examples

CLIENTS = [
    pytest.param((sys.executable, "check_zone.py"), id="python"),
    pytest.param(("node", "check_zone.mjs"), id="javascript", marks=pytest.mark.node),
]


def run(client, file, service):
    program, script = client
    command = [program, str(examples.folder() / script), str(file), service.url]
    return subprocess.run(command, capture_output=True, text=True, check=False, timeout=60)


@pytest.mark.parametrize("client", CLIENTS)
def test_a_client_tells_the_verdict_and_the_margin(client, service):
    file = examples.folder() / (examples.TWIN + examples.REQUEST)
    ended = run(client, file, service)
    answer = examples.answer(examples.TWIN)
    margin, run_ = answer["critical_outlet"]["margin"], answer["critical_outlet"]["run"]
    assert ended.returncode == 0, ended.stderr
    assert ended.stdout.splitlines()[0] == f"{answer['name']}: fail"
    assert f"least to spare: {margin:.1f} psi in {run_}" in ended.stdout
    assert sum(line.startswith("fail: ") for line in ended.stdout.splitlines()) >= 1


@pytest.mark.parametrize("client", CLIENTS)
def test_a_client_tells_every_fault(client, service, tmp_path):
    file = tmp_path / "broken.json"
    zone = examples.request(examples.DEMO)
    zone["supply"]["static_pressure"] = -1
    zone["runs"][0]["lenght"] = 3
    file.write_text(json.dumps(zone))
    ended = run(client, file, service)
    assert ended.returncode == 1
    assert "2 fields or parameters cannot be taken." in ended.stderr
    assert ended.stdout.startswith("#/supply/static_pressure: ")
    assert "Did you mean length?" in ended.stdout


@pytest.mark.parametrize("script", ["check_zone.py", "check_zone.mjs"])
def test_a_client_is_short_enough_to_be_read(script):
    code = [line for line in (examples.folder() / script).read_text("utf-8").splitlines() if line.strip()]
    assert len(code) <= 20
