"""The cheapest mix of packages against a general-purpose solver of integer programs, and by hand."""

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp

from service.takeoff.packages import Offer, cheapest_mix

offers = st.lists(
    st.builds(Offer, size=st.integers(1, 60), cost=st.integers(1, 500)),
    min_size=1,
    max_size=6,
    unique_by=lambda offer: offer.size,
)


def cost(counts, of):
    return sum(count * offer.cost for count, offer in zip(counts, of, strict=True))


def held(counts, of):
    return sum(count * offer.size for count, offer in zip(counts, of, strict=True))


@given(need=st.integers(1, 20_000), of=offers)
@example(need=640, of=[Offer(100, 14), Offer(250, 30), Offer(500, 55), Offer(1000, 120)])
def test_no_mix_is_cheaper(need, of):
    """HiGHS, the solver of integer programs in scipy, is the second opinion."""
    best = milp(
        c=np.array([offer.cost for offer in of]),
        constraints=LinearConstraint(np.array([[offer.size for offer in of]]), lb=need),
        integrality=np.ones(len(of)),
        bounds=Bounds(lb=0),
        options={"mip_rel_gap": 0},
    )
    assert cost(cheapest_mix(need, of), of) == round(best.fun)


@given(need=st.integers(0, 10**13), of=offers)
def test_it_covers_the_need_and_no_package_is_idle(need, of):
    counts = cheapest_mix(need, of)
    assert held(counts, of) >= need
    for count, offer in zip(counts, of, strict=True):
        assert count == 0 or held(counts, of) - offer.size < need


@settings(max_examples=15)
@given(
    need=st.integers(10**7, 10**9),
    of=st.lists(st.builds(Offer, st.integers(1, 10**5), st.integers(1, 10**6)), min_size=2, max_size=4),
)
def test_large_needs_in_odd_sizes_cost_within_one_package_of_the_least(need, of):
    counts = cheapest_mix(need, of)
    assert held(counts, of) >= need
    # No mix costs less than the need at the best price for its size.
    best = min(of, key=lambda offer: offer.cost / offer.size)
    assert cost(counts, of) <= need * best.cost / best.size * (1 + 1e-12) + max(offer.cost for offer in of)


BY_HAND = [
    # the need, size and cost of each offer, how many of each to buy
    (640, [(100, 1), (250, 1), (500, 1), (1000, 1)], [0, 0, 0, 1]),  # fewest: one coil of 1000
    (640, [(100, 14), (250, 30), (500, 55), (1000, 120)], [2, 0, 1, 0]),  # 55 + 28 = 83; 2 × 250 + 2 × 100 are 88
    (45, [(10, 1), (20, 1)], [1, 2]),  # fewest is three sticks; 20 + 20 + 10 leaves least over
    (53, [(1, 38), (25, 850)], [3, 2]),  # two bags and three pieces: 1814; three bags are 2550
    (100, [(100, 20), (1, 0)], [0, 100]),  # what costs nothing
    (1, [(1000, 7)], [1]),
    (0, [(10, 1)], [0]),
]


@pytest.mark.parametrize(("need", "of", "counts"), BY_HAND)
def test_mixes_by_hand(need, of, counts):
    assert cheapest_mix(need, [Offer(*offer) for offer in of]) == counts
