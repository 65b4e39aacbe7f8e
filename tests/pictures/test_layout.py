"""How a picture comes out: no words upon others or beyond its edges, and a plan that is to scale where it says so."""

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from matplotlib.figure import Figure
from matplotlib.text import Text

from service.api import examples
from service.api.asked_picture import SMALLEST_HEIGHT, SMALLEST_WIDTH
from service.render.pictures.names import Pipes, placed
from service.render.pictures.plan import plan_of
from service.render.plot import PLOTS, Plot, Size, drawn
from service.schemas.wire import to_wire
from service.schemas.zone import Zone
from service.units.dimensions import System
from service.zones.check import check
from tests.pictures.drawn_from import document

DPI = 100

SIZES = {
    "usual": Size(960, 600, 110),
    "smallest": Size(int(SMALLEST_WIDTH * DPI), int(SMALLEST_HEIGHT * DPI), DPI),
    "in a sheet": Size(710, 330, DPI, captioned=False),
}

ZONES = (
    "dahlia-rows",
    "dahlia-rows-end-to-end",
    "nested-copies",
    "forty-small-tubes",
    "grids",
    "many",
    "uphill",
    "ring",
    "comb",
    "arms",
)


@pytest.fixture
def words(monkeypatch):
    """Every text that is drawn, with its box: left, bottom, right, top. [px]"""
    found = {}
    draw = Text.draw

    def noted(text, renderer):
        if text.get_text() and text.get_visible():
            found[text] = text.get_text(), text.get_window_extent(renderer).extents  # the last time it is drawn
        draw(text, renderer)

    monkeypatch.setattr(Text, "draw", noted)
    return found.values()


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("plot", PLOTS)
@pytest.mark.parametrize("name", ZONES)
def test_no_words_lie_upon_others_or_beyond_the_edge(words, name, plot, size):
    drawn(document(plot, name), Plot(plot, SIZES[size]), "png")
    assert len(words) > 5
    for text, (left, bottom, right, top) in words:
        assert left > -1, text
        assert bottom > -1, text
        assert right < SIZES[size].width + 1, text
        assert top < SIZES[size].height + 1, text
    for (one, a), (other, b) in combinations(words, 2):
        width, height = np.minimum(a[2:], b[2:]) - np.maximum(a[:2], b[:2])
        # The box of a text is that of its line, which is higher than its letters.
        assert width < 2 or height < 4, (one, other)


@pytest.fixture
def figures(monkeypatch):
    """Every figure that is drawn."""
    found = []
    save = Figure.savefig
    monkeypatch.setattr(Figure, "savefig", lambda *given, **how: (found.append(given[0]), save(*given, **how)))
    return found


@pytest.mark.parametrize("name", ["dahlia-rows", "uphill"])
def test_a_response_shows_where_this_supply_stands(name, figures):
    told = document("response", name)
    drawn(told, Plot("response", SIZES["usual"]), "png")
    bottom, top = figures[0].axes[0].get_ylim()
    assert bottom < told["lowest_outlet"]["pressure"] < top
    assert bottom <= 0


def test_a_budget_shows_what_the_outlet_needs_even_where_the_supply_is_less(figures):
    zone = examples.request("dahlia-rows") | {"supply": {"static_pressure": 3}, "head": []}
    drawn(to_wire(check(Zone.model_validate(zone)), System.US), Plot("budget", SIZES["usual"]), "png")
    (axes,) = figures[0].axes
    (line,) = (line for line in axes.lines if str(line.get_label()).startswith("the outlet needs"))
    assert line.get_xdata()[0] == 8
    assert axes.get_xlim()[1] > 8


@pytest.mark.parametrize("size", [*SIZES.values(), Size(400, 1400, 60), Size(1600, 400, 60)])
@pytest.mark.parametrize("name", ["comb", "arms", "ring", "long-line-from-its-centre", "nested-copies", "pot"])
def test_a_plan_shows_every_pipe_whole(name, size, figures):
    drawn(document("plan", name), Plot("plan", size), "svg")
    axes = figures[0].axes[0]
    pipes = np.concatenate(plan_of(document("plan", name)).stretches)
    (left, right), (bottom, top) = axes.get_xlim(), axes.get_ylim()
    assert left < pipes[:, 0].min() <= pipes[:, 0].max() < right
    assert bottom < pipes[:, 1].min() <= pipes[:, 1].max() < top


@pytest.mark.parametrize("name", ["comb", "arms", "long-line-from-its-centre", "dahlia-rows-metric"])
def test_a_plan_is_measured_from_its_corner_as_far_as_it_reaches(name, figures):
    drawn(document("plan", name), Plot("plan", SIZES["usual"]), "png")
    pipes = np.concatenate(plan_of(document("plan", name)).stretches)
    for axis, low, size in zip(
        (figures[0].axes[0].xaxis, figures[0].axes[0].yaxis), pipes.min(axis=0), np.ptp(pipes, axis=0), strict=True
    ):
        told = [
            (place, float(label.get_text()))
            for place, label in zip(axis.get_ticklocs(), axis.get_ticklabels(), strict=True)
        ]
        for place, figure in told:
            assert figure == pytest.approx(place - low)
            assert 0 <= figure <= size + 1e-6
        assert len(told) > 1 or size == 0


@pytest.mark.parametrize("name", ["dahlia-rows", "many", "manifold", "uphill"])
def test_a_plan_that_is_to_scale_says_so_and_has_equal_axes(name, figures):
    drawn(document("plan", name), Plot("plan", SIZES["usual"]), "svg")
    said = " ".join(text.get_text() for text in figures[0].texts)
    to_scale = plan_of(document("plan", name)).true
    assert ("; to scale" in said) == to_scale
    assert ("not to scale" in said) != to_scale
    if to_scale:
        origin, along, up = figures[0].axes[0].transData.transform([(0.0, 0.0), (1.0, 0.0), (0.0, 1.0)])
        assert (along - origin)[0] == pytest.approx((up - origin)[1], rel=1e-6)


@pytest.mark.parametrize("name", ["dahlia-rows", "nested-copies", "grids", "manifold"])
def test_a_plan_names_its_runs(words, name):
    runs = {pipe["run"] for pipe in document("plan", name)["pipes"]}
    drawn(document("plan", name), Plot("plan", SIZES["usual"]), "png")
    assert runs <= {text for text, _ in words}


places = st.floats(0, 400)


@given(
    rows=st.lists(st.tuples(places, places, st.floats(1, 200), st.booleans()), min_size=1, max_size=30),
    name=st.text(min_size=1, max_size=20),
)
def test_names_keep_off_pipes_marks_and_each_other(rows, name):
    starts = np.array([(x, y) for x, y, _, _ in rows])
    along = np.array([(length, 0) if level else (0, length) for _, _, length, level in rows])
    ends = np.stack((starts, starts + along), axis=1)
    frame = np.array([0.0, 0.0, 500.0, 500.0])
    pipes = Pipes([name] * len(rows), ends, [False] * len(rows), np.full(len(rows), 2.5))
    boxes = [found.box for found in placed(pipes, starts[:1], frame)]
    for box in boxes:
        assert (box[:2] >= frame[:2]).all()
        assert (box[2:] <= frame[2:]).all()
    others = [*boxes, *(np.concatenate(pair) for pair in ends)]
    for number, box in enumerate(boxes):
        for other in (*others[:number], *others[number + 1 :]):
            assert not ((box[:2] < other[2:]) & (other[:2] < box[2:])).all()
