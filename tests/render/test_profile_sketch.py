"""The drawing of a pressure profile: well-formed, to scale, and harmless whatever it is labelled with."""

from itertools import pairwise
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.render.profile_sketch import MOST_POINTS, Curve, curve_of, profile_sketch, ticks

UNITS = {"pressure": "psi", "length": "ft"}


def drawn(*curves, least=8.0, title="Pressure"):
    return ET.fromstring(profile_sketch(curves, least=least, title=title, units=UNITS))  # noqa: S314 - our own drawing


def points(drawing):
    return [
        [tuple(map(float, pair.split(","))) for pair in curve.get("points").split()]
        for curve in drawing.iter("polyline")
    ]


def test_readings_stand_to_scale():
    drawing = drawn(Curve("row", "sound", [0.0, 50.0, 100.0], [20.0, 15.0, 10.0]))
    (first, middle, last) = points(drawing)[0]
    assert middle[0] - first[0] == pytest.approx(last[0] - middle[0], abs=0.2)
    assert middle[1] - first[1] == pytest.approx(last[1] - middle[1], abs=0.2)
    # Pressure falls, so the curve goes down; the dashed line of 8 psi lies below its end at 10 psi.
    assert first[1] < middle[1] < last[1] < float(drawing.find("line[@class='least']").get("y1"))


def test_a_label_is_text_and_no_markup():
    drawing = drawn(Curve("<script>", "sound", [0.0, 1.0], [9.0, 9.0]), title='"><b>')
    assert "<script>" in [text.text for text in drawing.iter("text")]
    assert drawing.find("script") is None


def test_a_long_profile_is_thinned_but_keeps_its_ends():
    profile = [{"at": float(at), "pressure": 30.0 - at / 1000} for at in range(10_001)]
    curve = curve_of("line", "sound", profile)
    assert len(curve.at) <= MOST_POINTS + 1
    assert (curve.at[0], curve.at[-1]) == (0.0, 10_000.0)


@given(largest=st.floats(0.01, 1e5))
def test_ticks_cover_the_largest_reading_in_even_steps(largest):
    marks = ticks(largest)
    steps = [after - before for before, after in pairwise(marks)]
    assert marks[0] == 0
    assert marks[-1] >= largest * (1 - 1e-6)
    assert len(marks) <= 7
    assert steps == pytest.approx([steps[0]] * len(steps))
