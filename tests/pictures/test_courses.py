"""Where pipes lie on the sketch: true distances where they fit, clear of each other in any case."""

import numpy as np
import pytest
from hypothesis import given, settings

from service.render.pictures.courses import Course, courses_of, crossing
from tests.pictures.drawn_from import document, made_for
from tests.strategies import zones


def course(start, heading, length):
    return Course((np.array([0.0, length]), np.array([0.0, length])), np.array(start, float), np.array(heading, float))


def laid(name):
    pipes = document("plan", name)["pipes"]
    courses, true = courses_of(pipes)
    return {pipe["run"]: each for pipe, each in zip(pipes, courses, strict=True)}, true


def test_rows_lie_side_by_side_as_far_apart_as_they_are():
    courses, true = laid("dahlia-rows")
    assert true
    assert courses["feed"].at(45.0) == pytest.approx(courses["header"].start)
    for number in range(1, 9):
        row = courses[f"row:{number}"]
        assert row.start - courses["row:1"].start == pytest.approx([0.0, 3.0 * (number - 1)])
        assert row.at(80.0) - row.start == pytest.approx([80.0, 0.0])


def test_a_closed_grid_closes_on_the_sketch():
    pipes = document("plan", "drip-grid-on-a-slope")["pipes"]
    courses, true = courses_of(pipes)
    assert true
    for pipe, each in zip(pipes, courses, strict=True):
        if "joins" in pipe:
            joined = courses[pipe["joins"]["pipe"]].at(pipe["joins"]["at"])
            assert each.at(pipe["length"]) == pytest.approx(joined)


def test_two_arms_from_one_place_go_opposite_ways():
    courses, true = laid("long-line-from-its-centre")
    assert true
    one, other = courses["hedge:1"], courses["hedge:2"]
    assert one.start == pytest.approx(other.start)
    assert one.heading == pytest.approx(-other.heading)


@pytest.mark.parametrize("name", ["nested-copies", "manifold", "grids"])
def test_what_does_not_fit_at_true_distances_is_drawn_apart(name):
    courses, true = laid(name)
    assert not true
    assert not crossing(list(courses.values()))


@pytest.mark.parametrize(
    ("one", "other", "cross"),
    [
        (([0, 0], [1, 0], 10), ([5, -5], [0, 1], 10), True),
        (([0, 0], [1, 0], 10), ([5, 0], [0, 1], 10), False),  # leaves it
        (([0, 0], [1, 0], 10), ([10, 0], [1, 0], 10), False),  # goes on from it
        (([0, 0], [1, 0], 10), ([4, 0], [1, 0], 10), True),  # lies upon it
        (([0, 0], [1, 0], 10), ([0, 1], [1, 0], 10), False),
        (([0, 0], [0, 1], 10), ([0, 4], [0, -1], 10), True),
    ],
)
def test_crossing_is_told_from_touching(one, other, cross):
    assert crossing([course(*one), course(*other)]) is cross


@settings(max_examples=30)
@given(zone=zones())
def test_no_tree_crosses_itself_and_every_pipe_starts_on_its_parent(zone):
    pipes = made_for("plan", zone)["pipes"]
    courses, true = courses_of(pipes)
    for pipe, each in zip(pipes, courses, strict=True):
        if "parent" in pipe:
            parent = courses[pipe["parent"]]
            along = float((each.start - parent.start) @ parent.heading)
            assert each.start == pytest.approx(parent.start + along * parent.heading)
            assert -1e-9 <= along <= parent.along[1][-1] + 1e-9
        drawn = float(np.abs(each.at(pipe["length"]) - each.start).sum())
        assert drawn >= pipe["length"] * (1 - 1e-9)
        if true:
            assert drawn == pytest.approx(pipe["length"])
    assert not crossing(courses)
