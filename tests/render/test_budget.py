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


def test_the_largest_drop_takes_what_rounding_leaves_over():
    *lines, total = budget_lines(stages(20.0, [(1.04, 0.0), (1.04, 0.0), (1.04, 0.0), (9.04, 0.0)]))
    # By hand: 12.16 in all leaves 7.84, printed as 7.8; the drops must then come to 12.2, and one by one lack 0.2.
    assert [line.drop for line in lines] == ["1.0", "1.0", "1.0", "9.2"]
    assert (total.drop, total.left) == ("12.2", "7.8")


def test_no_stages_make_no_lines():
    assert budget_lines([]) == []
