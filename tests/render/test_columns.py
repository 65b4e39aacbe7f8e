"""Tables of plain text: they line up, keep within their width, and let nothing steer the terminal."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.render.columns import Column, cut, paragraph, shown, table, width

words = st.text(st.characters(codec="utf-8", exclude_categories=["Cs"]), min_size=1, max_size=60)


@pytest.mark.parametrize(
    "text",
    [
        "\x1b[2Jgone",  # clears the screen (ECMA-48)
        "\x9b31mred",  # the same introducer as one C1 character
        "bell\x07",
        "\u202edesrever",  # right-to-left override (Unicode standard annex 9)
        "two\nlines",
    ],
)
def test_nothing_steers_the_terminal(text):
    categories = {unicodedata.category(char) for char in shown(text)}
    assert not categories & {"Cc", "Cf"}


@given(word=words, most=st.integers(5, 30))
def test_a_cut_text_fits(word, most):
    assert width(cut(shown(word), most)) <= most


def test_a_cut_address_keeps_its_copy_number():
    assert cut("cutting-garden:3/row:14", 13).endswith(":14")


@given(cells=st.lists(st.tuples(words, st.floats(0, 1e4)), min_size=1, max_size=6))
def test_columns_of_figures_end_at_one_place(cells):
    names = [shown(name) for name, _ in cells]
    figures = [f"{value:.1f}" for _, value in cells]
    lines = table([Column("run", names, right=False), Column("lost", figures, "psi")], most=50)
    assert len({width(line) for line in lines}) == 1
    assert all(width(line) <= 50 for line in lines)
    assert all(line.endswith(figure) for line, figure in zip(lines[2:], figures, strict=True))


def test_units_stand_under_headings():
    lines = table([Column("stage", ["feed"], right=False), Column("drop", ["1.9"], "psi")], most=80)
    assert lines == ["stage  drop", "        psi", "feed    1.9"]


@given(text=words, most=st.integers(30, 100))
def test_running_text_keeps_within_its_width(text, most):
    assert all(len(line) <= most for line in paragraph(text, most, first="  - "))
