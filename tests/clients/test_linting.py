"""Linters of API documents have nothing to say, but for the rules that spectral.yaml argues away."""

import json
import subprocess

import pytest

from tests.clients.tools import FOLDER, tool

pytestmark = pytest.mark.node


def test_spectral_finds_nothing_by_its_own_rules_and_those_of_owasp(service, tmp_path):
    report = tmp_path / "report.json"
    command = [
        *(tool("spectral"), "lint", "--ruleset", FOLDER / "spectral.yaml", "--fail-severity", "hint"),
        *("--format", "json", "--output", report, f"{service.url}/openapi.json"),
    ]
    ended = subprocess.run(command, cwd=FOLDER, capture_output=True, text=True, check=False)
    findings = [(found["code"], ".".join(map(str, found["path"]))) for found in json.loads(report.read_text())]
    assert findings == []
    assert ended.returncode == 0, ended.stderr


def test_every_rule_that_is_off_has_its_reason_above_it():
    lines = (FOLDER / "spectral.yaml").read_text().splitlines()
    rules = [number for number, line in enumerate(lines) if line.rstrip().endswith(": off")]
    assert rules
    for number in rules:
        above = next(line for line in reversed(lines[:number]) if not line.rstrip().endswith(": off"))
        assert above.strip().startswith("# ")
