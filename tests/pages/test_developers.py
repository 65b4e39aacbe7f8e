"""The map in DEVELOPERS.md shows the house as it stands."""

import re
import tomllib
from pathlib import Path

import pytest

HOUSE = Path(__file__).parents[2]

TEXT = (HOUSE / "DEVELOPERS.md").read_text(encoding="utf-8")

PATHS = sorted(set(re.findall(r"`((?:service|tests|openapi_examples|\.ci)/[\w./-]*|[\w.]+\.(?:toml|md))`", TEXT)))


@pytest.mark.parametrize("path", PATHS)
def test_every_place_on_the_map_exists(path):
    assert (HOUSE / path).exists()


def test_every_room_is_on_the_map():
    rooms = {room.name for room in (HOUSE / "service").iterdir() if room.is_dir() and room.name != "__pycache__"}
    assert rooms - set(re.findall(r"`service/([a-z]+)/`", TEXT)) == set()


def test_its_marks_are_those_of_the_test_run():
    options = tomllib.loads((HOUSE / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["pytest"]["ini_options"]
    marks = {mark.partition(":")[0] for mark in options["markers"]}
    assert set(re.findall(r"pytest -m (\w+)", TEXT)) <= marks
