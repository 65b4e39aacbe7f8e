"""Schemathesis reads the API document and asks everything it allows, and much that it does not: nothing is found."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
CONFIG = Path(__file__).parent / "schemathesis.toml"

SEED = 20261125
"""Fixed, so that what is found once is found again."""

PHASES = [
    pytest.param(("Examples", "Fuzzing", "Stateful"), id="examples, fuzzing, stateful"),
    pytest.param(("Coverage",), id="coverage", marks=pytest.mark.thorough),
]


@pytest.mark.parametrize("phases", PHASES)
def test_schemathesis_finds_nothing(service, tmp_path, phases):
    # The only warning there can be is that invented part ids are mostly refused, which is what they should be.
    command = [
        *(sys.executable, "-m", "schemathesis.cli", "--config-file", CONFIG, "run", f"{service.url}/openapi.json"),
        *("--checks", "all", "--phases", ",".join(phases).lower(), "--continue-on-failure"),
        *("--max-examples", "25", "--seed", str(SEED), "--warnings", "off", "--no-color"),
    ]
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    ended = subprocess.run(command, cwd=tmp_path, env=environment, capture_output=True, text=True, check=False)
    assert ended.returncode == 0, ended.stdout[-6000:] + ended.stderr[-2000:]
    assert "No issues found" in ended.stdout
    assert all(f"✅ {phase}" in ended.stdout for phase in phases)
