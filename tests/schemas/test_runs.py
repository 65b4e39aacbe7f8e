"""Where outlets stand along a run, and how the run lies."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.schemas.runs import Run
from service.units.dimensions import System
from service.units.reading import reading
from tests.schemas.village_hall import QUINCE
from tests.strategies import lying, outlets

FOOT = 0.3048


def run_of(system=System.US, **fields):
    with reading(system):
        return Run.model_validate({"id": "row", "pipe": "dripline-17mm", "length": 80, **fields})


def even(**fields):
    return {"emitter": "inline-compensating-0.6gph", **fields}


@pytest.mark.parametrize(
    ("length", "outlets", "places"),
    [
        (80, even(spacing=1, first_at=0.5), [0.5 + n for n in range(80)]),
        (80, even(spacing=20), [10, 30, 50, 70]),  # half a spacing before the first
        (80, even(spacing=20, first_at=20), [20, 40, 60, 80]),  # the last one at the very end
        (80, even(spacing=20, count=2), [10, 30]),
        (80, even(spacing=90), [45]),
        (0.3, even(spacing=0.1, first_at=0.1), [0.1, 0.2, 0.3]),  # 0.1 + 2 · 0.1 is above 0.3 in binary
        (1.2, even(spacing=0.4, first_at=0.4), [0.4, 0.8, 1.2]),
    ],
)
def test_even_outlets_stand_where_a_tape_would_put_them(length, outlets, places):
    run = run_of(length=length, outlets=outlets)
    assert run.outlet_places().at / FOOT == pytest.approx(places)
    assert run.outlet_places().at.max() <= run.length
    assert run.outlet_count == len(places)


@given(st.integers(1, 4000), st.integers(1, 400), st.integers(1, 400), st.sampled_from(System))
def test_as_many_outlets_fit_as_by_exact_arithmetic(length, spacing, first, system):
    """Lengths in hundredths, counted with fractions: neither binary fractions nor units lose or add an outlet."""
    run = run_of(system, length=length / 100, outlets=even(spacing=spacing / 100, first_at=first / 100))
    fitting = int((Fraction(length) - first) / spacing // 1) + 1 if length >= first else 0
    assert run.outlet_count == fitting


@given(st.integers(200, 12_000).map(lambda n: n / 100).flatmap(lambda n: st.tuples(st.just(n), outlets(n))))
def test_outlets_stand_on_the_run_in_its_direction(drawn):
    length, written = drawn
    run = run_of(length=length, outlets=written)
    places = run.outlet_places()
    assert np.all(np.diff(places.at) >= 0)
    assert np.all((places.at > 0) & (places.at <= run.length))
    assert sum(places.kinds[kind].per_place for kind in places.kind) == run.outlet_count
    if isinstance(written, list):
        assert places.at / FOOT == pytest.approx(sorted(place["at"] for place in written))


def test_a_hundred_thousand_even_outlets_are_one_kind():
    run = run_of(length=10_000, outlets=even(spacing=0.1, per_place=1))
    places = run.outlet_places()
    assert len(places.at) == run.outlet_count == 100_000
    assert len(places.kinds) == 1


def test_outlets_of_one_kind_are_told_as_one():
    twice = [{"at": at, "emitter": emitter} for at in (3, 9) for emitter in ("compensating-1gph", "turbulent-1gph")]
    places = run_of(outlets=twice).outlet_places()
    assert len(places.kinds) == 2
    assert list(places.kind) == [0, 1, 0, 1]


def test_a_run_without_outlets_has_no_places():
    run = run_of()
    assert (run.outlet_count, len(run.outlet_places().at), run.outlet_places().kinds) == (0, 0, ())


def test_the_ground_under_the_quince():
    run = run_of(**{name: value for name, value in QUINCE.items() if name not in {"from", "from_at"}})
    assert run.climb == pytest.approx(3.5 * FOOT)
    # By hand: 3 ft in the first 25, then half a foot in 15.
    heights = run.height(np.array([0, 10, 25, 34, 40]) * FOOT) / FOOT
    assert heights == pytest.approx([0, 1.2, 3, 3.3, 3.5])


def test_an_even_rise_and_level_ground():
    assert run_of(rise=-8).height(20 * FOOT) == pytest.approx(-2 * FOOT)
    assert run_of().climb == 0


@given(st.integers(100, 10_000).map(lambda n: n / 100).flatmap(lambda n: st.tuples(st.just(n), lying(n))))
def test_a_run_never_climbs_faster_than_its_pipe_is_long(drawn):
    length, lies = drawn
    run = run_of(length=length, **lies)
    at, heights = run.knots
    assert at[0] == heights[0] == 0
    assert at[-1] == run.length
    assert run.climb == heights[-1]
    assert np.all(np.abs(np.diff(heights)) <= np.diff(at) * (1 + 1e-9))


def test_pipe_may_stand_upright():
    assert run_of(rise=80).climb == pytest.approx(80 * FOOT)
