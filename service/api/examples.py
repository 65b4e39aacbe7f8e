"""The example zones: the very files of openapi_examples/, which are packed into the distribution."""

import json
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Any

DEMO = "dahlia-rows"
"""The zone that everything is first shown with; it passes."""

TWIN = "dahlia-rows-end-to-end"
"""The same emitters joined into one line on a weaker supply; it fails."""

REQUEST, ANSWER = ".request.json", ".answer.json"

JOB, TAKEOFF = ".job.json", ".takeoff.json"
"""What jobs to be taken off and their answers are called."""


@cache
def folder() -> Traversable:
    """Where the files are: inside the package once installed, beside it in a checkout."""
    package = files("service")
    packed = package / "openapi_examples"
    return packed if packed.is_dir() else package / ".." / "openapi_examples"


def names() -> list[str]:
    """Every example by name, in alphabetical order."""
    return sorted(file.name.removesuffix(REQUEST) for file in folder().iterdir() if file.name.endswith(REQUEST))


def written(name: str) -> str:
    """The request of an example as it is written in its file."""
    return (folder() / (name + REQUEST)).read_text(encoding="utf-8")


def request(name: str) -> Any:
    """The request of an example."""
    return json.loads(written(name))


def answer(name: str) -> Any:
    """The committed answer of an example."""
    return json.loads((folder() / (name + ANSWER)).read_text(encoding="utf-8"))


def jobs() -> list[str]:
    """Every example job by name, in alphabetical order."""
    return sorted(file.name.removesuffix(JOB) for file in folder().iterdir() if file.name.endswith(JOB))


def job(name: str) -> Any:
    """The request of a job to be taken off."""
    return json.loads((folder() / (name + JOB)).read_text(encoding="utf-8"))


def job_takeoff(name: str) -> Any:
    """The committed answer of a job."""
    return json.loads((folder() / (name + TAKEOFF)).read_text(encoding="utf-8"))
