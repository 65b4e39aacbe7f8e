"""The drawing of the house is true: arrows go one way, and never round."""

import subprocess
import sys
from pathlib import Path

import grimp
import pytest

ROOT = Path(__file__).parents[1]

ROOMS = ["api", "render", "takeoff", "zones", "schemas", "parts", "units", "hydraulics"]

BELOW = {
    "hydraulics": set(),
    "units": set(),
    "parts": {"units", "hydraulics"},
    "schemas": {"parts", "units", "hydraulics"},
    "zones": {"schemas", "parts", "units", "hydraulics"},
}
"""The rooms each room may know, as the drawing has it."""


@pytest.fixture(scope="module")
def graph():
    return grimp.build_graph("service", include_external_packages=True, exclude_type_checking_imports=False)


def test_the_contracts_hold():
    command = [Path(sys.executable).parent / "lint-imports", "--no-cache"]
    ended = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert ended.returncode == 0, ended.stdout


def test_no_module_imports_itself_round_a_corner(graph):
    """Within a room too: two files that need each other are one file, or three."""
    modules = sorted(module for module in graph.modules if module.startswith("service"))
    imports = {
        module: {found for found in graph.find_modules_directly_imported_by(module) if found.startswith("service")}
        for module in modules
    }
    assert list(circles(imports)) == []


@pytest.mark.parametrize(("room", "below"), BELOW.items())
def test_a_room_knows_only_those_below(graph, room, below):
    known = {
        found.split(".")[1]
        for module in graph.find_descendants(f"service.{room}") | {f"service.{room}"}
        for found in graph.find_modules_directly_imported_by(module)
        if found.startswith("service.") and found.split(".")[1] in ROOMS
    }
    assert known - {room} <= below


def test_the_numeric_core_needs_nothing_but_arrays(graph):
    outside = {
        found.split(".")[0]
        for module in graph.find_descendants("service.hydraulics")
        for found in graph.find_modules_directly_imported_by(module)
        if not found.startswith("service")
    }
    assert outside - set(sys.stdlib_module_names) == {"numpy", "scipy"}


def circles(imports):
    """Every circle of imports, by depth-first search, each once."""
    done, path = set(), []

    def follow(module):
        if module in path:
            yield [*path[path.index(module) :], module]
        elif module not in done:
            path.append(module)
            for imported in sorted(imports.get(module, ())):
                yield from follow(imported)
            path.pop()
            done.add(module)

    for module in sorted(imports):
        yield from follow(module)


def test_the_search_for_circles_finds_one():
    assert list(circles({"a": {"b"}, "b": {"c"}, "c": {"a"}})) == [["a", "b", "c", "a"]]
    assert list(circles({"a": {"b", "c"}, "b": {"c"}, "c": set()})) == []
