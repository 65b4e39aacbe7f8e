"""Pictures as files: of the size asked for, well-formed, the same every time, and harmless whatever they name."""

import json
import struct
import subprocess
import sys
from copy import deepcopy
from hashlib import sha256
from itertools import pairwise
from textwrap import dedent
from xml.etree import ElementTree as ET

import pytest

from service import __version__
from service.render.pictures.lettering import UNKNOWN, drawable, fitted, text_width
from service.render.pictures.plan import COLOURS
from service.render.plot import PLOTS, Plot, Size, drawn
from service.units.sentence import figure as rounded
from tests.formats.test_hostile_text import HOSTILE
from tests.pictures.drawn_from import document, made_for, written

SIZE = Size(960, 600, 110)
SVG = "{http://www.w3.org/2000/svg}"

HARD_TO_DRAW = ("dahlia-rows-end-to-end", "rain-tank", "pot", "mixed", "many", "grids", "uphill")

NAMED = [text for text in HOSTILE if text.isprintable() and len(text) <= 200]
"""Those that a caller may name a zone by."""


def png_size(picture):
    """Width and height in the header of a PNG (Portable Network Graphics, second edition, 11.2.2). [px]"""
    assert picture[:8] == b"\x89PNG\r\n\x1a\n"
    return struct.unpack(">II", picture[16:24])


def words(picture):
    """Every text of an SVG."""
    root = ET.fromstring(picture)  # noqa: S314 - our own drawing
    return ["".join(text.itertext()) for text in root.iter(SVG + "text")]


@pytest.mark.parametrize("plot", PLOTS)
@pytest.mark.parametrize("name", HARD_TO_DRAW)
def test_every_plot_of_every_zone_is_drawn(name, plot):
    picture = drawn(document(plot, name), Plot(plot, SIZE), "svg")
    shown = words(picture)
    assert written(name)["name"] in shown
    assert any(text.startswith(f"endline {__version__}") for text in shown)


@pytest.mark.parametrize("plot", PLOTS)
@pytest.mark.parametrize(("width", "height", "dpi"), [(324, 243, 54), (900, 1100, 150)])
def test_a_png_has_the_pixels_that_were_asked_for(plot, width, height, dpi):
    picture = drawn(document(plot, "rain-tank"), Plot(plot, Size(width, height, dpi)), "png")
    assert png_size(picture) == (width, height)


@pytest.mark.parametrize(("plot", "form"), [*zip(PLOTS, ("png", "svg", "svg", "png"), strict=True)])
def test_equal_answers_give_equal_bytes(plot, form):
    first, second = (drawn(made_for(plot, written("mixed")), Plot(plot, SIZE), form) for _ in range(2))
    assert first == second


def test_another_process_draws_the_same_bytes():
    program = """
        import json, sys
        from hashlib import sha256
        from service.render.plot import Plot, Size, drawn
        told = json.load(sys.stdin)
        for form in ("png", "svg"):
            print(sha256(drawn(told, Plot("plan", Size(960, 600, 110)), form)).hexdigest())
    """
    told = document("plan", "mixed")
    ran = [sys.executable, "-c", dedent(program)]
    theirs = subprocess.run(ran, input=json.dumps(told), check=True, capture_output=True, text=True).stdout.split()
    assert theirs == [sha256(drawn(told, Plot("plan", SIZE), form)).hexdigest() for form in ("png", "svg")]


@pytest.mark.parametrize("text", NAMED[::6])
def test_a_name_is_drawn_as_text(text):
    told = deepcopy(document("plan", "rain-tank"))
    told["name"] = text
    picture = drawn(told, Plot("plan", SIZE), "svg")
    root = ET.fromstring(picture)  # noqa: S314 - our own drawing
    assert {element.tag for element in root.iter()}.isdisjoint({SVG + "script", SVG + "a", SVG + "image"})
    assert fitted(text, 600, 11, bold=True) in words(picture)


def test_names_of_devices_and_markup_in_them_are_drawn_as_text():
    zone = written("dahlia-rows") | {"name": "$x_1$ 50 % \\frac{1}{2} 😀 שלום"}
    zone["head"][2]["name"] = "=1+1 <b>$a$</b>"
    shown = words(drawn(made_for("budget", zone), Plot("budget", SIZE), "svg"))
    assert zone["name"] in shown
    assert "=1+1 <b>$a$</b>" in shown
    assert drawn(made_for("budget", zone), Plot("budget", SIZE), "png")


def parts(picture):
    """Root, title and description of an SVG; the title has to come first (SVG 2, 5.7)."""
    root = ET.fromstring(picture)  # noqa: S314 - our own drawing
    title, desc = list(root)[:2]
    assert (title.tag, desc.tag) == (SVG + "title", SVG + "desc")
    return root, title.text, desc.text


@pytest.mark.parametrize("plot", PLOTS)
def test_a_reader_that_sees_nothing_is_told_what_an_svg_shows(plot):
    told = document(plot, "dahlia-rows")
    root, title, desc = parts(drawn(told, Plot(plot, SIZE), "svg"))
    assert root.get("role") == "img"
    assert title.startswith(f"{told['name']}: ")
    outlet = told["lowest_outlet" if plot == "response" else "critical_outlet"]
    figure = rounded(outlet["pressure"])
    assert figure in desc, desc
    if plot == "response":
        assert all(rounded(mark["pressure"]) in desc for mark in told["thresholds"].values())
    if plot == "budget":
        assert all(stage["stage"] in desc for stage in told["loss_budget"])


@pytest.mark.parametrize(
    ("plot", "name"),
    [*zip(PLOTS, ("花坛", "花坛 <b>\"&'", '花 "rosé" & <b> שלום', "देव's &amp; 'ไทย'"), strict=True)],
)
def test_an_svg_keeps_names_in_scripts_that_the_typeface_lacks(plot, name):
    told = deepcopy(document(plot, "rain-tank"))
    told["name"] = name
    picture = drawn(told, Plot(plot, SIZE), "svg")
    assert told["name"] in words(picture)
    assert parts(picture)[1].startswith(told["name"])
    assert UNKNOWN not in picture.decode()


def test_names_of_nothing_but_marks_are_readable_where_they_cannot_be_kept():
    zone = written("dahlia-rows") | {"name": "花坛"}
    zone["head"][2]["name"] = "过滤器"
    told = made_for("budget", zone)
    as_device = deepcopy(told) | {"name": "zone"}
    next(stage for stage in as_device["loss_budget"] if stage["stage"] == "过滤器")["stage"] = "device"
    assert {"花坛", "过滤器"} <= set(words(drawn(told, Plot("budget", SIZE), "svg")))
    assert drawn(told, Plot("budget", SIZE), "png") == drawn(as_device, Plot("budget", SIZE), "png")


def test_what_cannot_be_drawn_is_marked_and_what_turns_text_around_is_dropped():
    assert drawable("rosée\u202e \u2066x\u2069 花") == f"rosée x {UNKNOWN}"


@pytest.mark.parametrize("text", [*NAMED, "W" * 200, "i" * 200])
def test_text_is_cut_to_its_room(text):
    shown = fitted(text, 120.0, 9)
    assert text_width(shown, 9) <= 120
    assert drawable(shown) == drawable(text) or shown.endswith("…")


def test_pressures_stay_apart_in_grey_print():
    """Lightness of the classes rises from one to the next: relative luminance as WCAG 2.2 defines it."""

    def luminance(colour):
        linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in colour[:3]]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    classes = [luminance(COLOURS(step / 7)) for step in range(8)]
    steps = [(brighter + 0.05) / (darker + 0.05) for darker, brighter in pairwise(classes)]
    assert min(steps) > 1.15
    assert 1.05 / (classes[-1] + 0.05) > 1.3  # the lightest against white paper
