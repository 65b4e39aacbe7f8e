"""The printed loss budget adds up line by line to what is left, as a reader with a pencil would check it."""

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from service.render.budget import budget_lines

drops = st.lists(st.tuples(st.floats(0, 12), st.floats(-4, 4)), min_size=1, max_size=15)


def stages(start, steps):
    """A budget of stages from a starting pressure, each with a loss and a climb."""
    left = start
    told = []
    for number, (loss, climb) in enumerate(steps):
        left -= loss + climb
        told.append(
            {
                "stage": f"stage {number}",
                "kind": "friction",
                "flow": 6.4,
                "loss": loss,
                "elevation_change": climb,
                "pressure_after": left,
            }
        )
    return told


@given(start=st.floats(1, 150), steps=drops)
def test_printed_drops_and_heights_add_up_to_what_is_left(start, steps):
    *lines, total = budget_lines(stages(start, steps))
    places = len(total.left.partition(".")[2])
    taken = sum(Decimal(line.drop) + Decimal(line.climb) for line in lines)
    assert taken == Decimal(total.drop) + Decimal(total.climb)
    assert abs(float(taken + Decimal(total.left)) - start) <= 0.51 * 10.0**-places
    assert total.left == lines[-1].left


@given(start=st.floats(1, 150), steps=drops)
def test_every_printed_row_adds_up_and_is_true(start, steps):
    budget = stages(start, steps)
    *lines, total = budget_lines(budget)
    places = len(total.left.partition(".")[2])
    unit, before = 10.0**-places, round(start, places)
    for line, stage in zip(lines, budget, strict=True):
        assert Decimal(f"{before:.{places}f}") - Decimal(line.drop) - Decimal(line.climb) == Decimal(line.left)
        before = float(line.left)
        # Two roundings of what is left, and one of the smaller of the two.
        assert abs(float(line.drop) - stage["loss"]) <= 1.5 * unit + 1e-9
        assert abs(float(line.climb) - stage["elevation_change"]) <= 1.5 * unit + 1e-9
        assert float(line.drop) >= 0 or abs(stage["elevation_change"]) > stage["loss"]


def test_no_row_carries_the_rounding_of_the_others():
    *lines, total = budget_lines(stages(20.0, [(1.04, 0.0), (1.04, 0.0), (1.04, 0.0), (9.04, 0.0)]))
    # By hand: 18.96, 17.92, 16.88 and 7.84 are left, printed 19.0, 17.9, 16.9 and 7.8 after 20.0.
    assert [line.drop for line in lines] == ["1.0", "1.1", "1.0", "9.1"]
    assert (total.drop, total.left) == ("12.2", "7.8")


def test_no_stages_make_no_lines():
    assert budget_lines([]) == []
