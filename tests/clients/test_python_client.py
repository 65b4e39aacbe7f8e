"""A Python client generated from the running service, making real calls."""

import importlib
import os
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import pytest

from service.api import examples


@pytest.fixture(scope="module")
def client(service, tmp_path_factory) -> ModuleType:
    """The package that openapi-python-client writes."""
    folder = tmp_path_factory.mktemp("generated")
    command = [
        *(sys.executable, "-m", "openapi_python_client", "generate", "--url", f"{service.url}/openapi.json"),
        *("--meta", "none", "--output-path", folder / "endline_client", "--fail-on-warning"),
    ]
    # It tidies what it wrote with the linter that stands beside this interpreter.
    path = {"PATH": f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"}
    ended = subprocess.run(command, capture_output=True, text=True, check=False, env={**os.environ, **path})
    assert ended.returncode == 0, ended.stdout + ended.stderr
    sys.path.insert(0, str(folder))
    try:
        yield importlib.import_module("endline_client")
    finally:
        sys.path.remove(str(folder))


def called(client: ModuleType, tag: str, operation: str):
    return importlib.import_module(f"{client.__name__}.api.{tag}.{operation}")


def test_it_checks_a_zone(client, service):
    models = importlib.import_module(f"{client.__name__}.models")
    zone = models.Zone.from_dict(examples.request(examples.DEMO))
    with client.Client(base_url=service.url) as caller:
        answer = called(client, "zones", "check_zone").sync(client=caller, body=zone)
    assert isinstance(answer, models.CheckAnswer)
    assert answer.verdict == models.Verdict.PASS
    assert answer.critical_outlet.margin > 0
    assert answer.units["pressure"] == "psi"


def test_it_reads_a_problem(client, service):
    models = importlib.import_module(f"{client.__name__}.models")
    zone = models.Zone.from_dict({"supply": {"static_pressure": -1}, "runs": []})
    with client.Client(base_url=service.url) as caller:
        problem = called(client, "zones", "check_zone").sync(client=caller, body=zone)
    assert isinstance(problem, models.Problem)
    assert {error.pointer for error in problem.errors} == {"#/supply/static_pressure", "#/runs"}


def test_it_lists_parts_and_asks_for_one(client, service):
    models = importlib.import_module(f"{client.__name__}.models")
    with client.Client(base_url=service.url) as caller:
        listed = called(client, "parts", "list_parts").sync(client=caller, kind=models.ListPartsKind.PIPE)
        one = called(client, "parts", "get_part").sync(client=caller, id=listed.parts[0].id)
    assert {part.kind_of_part for part in listed.parts} == {"pipe"}
    assert one.part.inside_diameter == listed.parts[0].inside_diameter
