"""What is shipped: pinned by hash, from nowhere in particular, and complete."""

import re
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]

PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
PINNED = (ROOT / ".ci/requirements.txt").read_text("utf-8")


def name(requirement: str) -> str:
    return re.match(r"[A-Za-z0-9._-]+", requirement)[0].lower().replace("_", "-")


@pytest.mark.parametrize("requirement", PROJECT["project"]["dependencies"])
def test_every_dependency_is_pinned_in_the_container(requirement):
    assert re.search(rf"^{re.escape(name(requirement))}==[^ ]+ \\$", PINNED, re.MULTILINE)


def test_every_pin_has_hashes():
    for block in re.split(r"\n(?=[a-z])", PINNED.strip()):
        assert re.fullmatch(r"[a-z0-9._-]+==[^ ]+ \\\n( +--hash=sha256:[0-9a-f]{64}( \\\n|$))+", block), block[:80]


@pytest.mark.parametrize(
    "file",
    [
        "pyproject.toml",
        ".ci/requirements.txt",
        ".ci/run",
        "Dockerfile",
        ".pre-commit-config.yaml",
        "tests/clients/node/package.json",
    ],
)
def test_no_file_names_a_host(file):
    assert not re.search(r"://(?!127\.0\.0\.1)", (ROOT / file).read_text("utf-8"))


def test_the_container_runs_as_nobody_and_says_where_it_listens():
    dockerfile = (ROOT / "Dockerfile").read_text("utf-8")
    assert re.search(r"^USER (?!root)", dockerfile, re.MULTILINE)
    assert "HEALTHCHECK" in dockerfile
    assert "--require-hashes" in dockerfile
    assert "0.0.0.0" in dockerfile.splitlines()[-1]
