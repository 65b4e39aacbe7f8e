"""Packages to buy: the cheapest mix that covers a need, by exact arithmetic in whole numbers.

Covering a need with packages of a few sizes, each as often as one likes, is the unbounded knapsack problem turned
round. Two facts keep it small:

* Let b be the size of the package with the lowest price for its size. Among any b other packages some have sizes that
  sum to a multiple of b (by the pigeonhole principle on the remainders of partial sums), and packages of size b do the
  same for no more. So some cheapest mix holds fewer than b others, and all but `b × largest other` of a large need is
  covered by packages of size b.
* What is left is a table of least costs for every sum of sizes. Taking in one more kind of package is a running minimum
  along every column of the table written in rows of that size, which numpy does at a stroke.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import reduce

import numpy as np
from numpy.typing import NDArray

LARGEST_TABLE = 200_000
"""Entries of the table of one need. [-] More would be wanted only by lengths that have no common measure, such as
99.97 ft beside 30.01 ft."""

TABLES_OF_JOB = 4_000_000
"""Entries of the tables of all needs of a job together. [-] A second's work."""

_BEYOND_ANY_COST = 2**62


@dataclass(frozen=True, slots=True)
class Offer:
    """A kind of package."""

    size: int  # in the grain of the need, above nought
    cost: int  # in the grain of money, nought or more


def share_of(needs: int) -> int:
    """Largest table for each of so many needs of one job."""
    return min(LARGEST_TABLE, TABLES_OF_JOB // max(needs, 1))


def cheapest_mix(need: int, offers: Sequence[Offer], largest: int = LARGEST_TABLE) -> list[int]:
    """How many packages of each offer to buy.

    Parameters
    ----------
    need : to be covered, in the same grain as the sizes.
    offers : one at least.
    largest : entries that the table may have.

    Returns
    -------
    (k,) counts of the cheapest mix; of several, one with the least left over, in which no package is idle.

    Notes
    -----
    Costs of 1 each give the fewest packages. Where the table would be too large, only the last of the need is free to
    be covered by any mix, or in the extreme by packages of one more size: the cost is then within that of one package
    of the least.

    Examples
    --------
    >>> cheapest_mix(640, [Offer(100, 1), Offer(250, 1), Offer(500, 1), Offer(1000, 1)])
    [0, 0, 0, 1]
    >>> cheapest_mix(640, [Offer(100, 14), Offer(250, 30), Offer(500, 55), Offer(1000, 120)])
    [2, 0, 1, 0]
    """
    if need <= 0:
        return [0] * len(offers)
    measure = reduce(math.gcd, (offer.size for offer in offers))
    sizes = [offer.size // measure for offer in offers]
    costs = [offer.cost for offer in offers]
    least = -(-need // measure)
    best = min(range(len(sizes)), key=lambda place: (Fraction(costs[place], sizes[place]), -sizes[place]))
    # The table goes on beyond the need by one package, and the part of the need in it may be longer by one of the best.
    free = sizes[best] * max((size for place, size in enumerate(sizes) if place != best), default=1)
    room = largest - max(sizes) - sizes[best]
    bulk = max(0, least - min(free, max(room, 0))) // sizes[best]
    rest = least - bulk * sizes[best]
    counts = _covered(rest, sizes, costs) if rest + max(sizes) <= largest else _by_one_size(rest, sizes, costs)
    counts[best] += bulk
    return counts


def _by_one_size(need: int, sizes: Sequence[int], costs: Sequence[int]) -> list[int]:
    """Counts of the cheapest cover by packages of one size."""
    many = [-(-need // size) for size in sizes]
    place = min(range(len(sizes)), key=lambda each: (many[each] * costs[each], many[each] * sizes[each]))
    return [many[each] if each == place else 0 for each in range(len(sizes))]


def _covered(need: int, sizes: Sequence[int], costs: Sequence[int]) -> list[int]:
    """Counts of the cheapest mix by the full table."""
    table = _least_costs(need + max(sizes), sizes, costs)
    total = need + int(np.argmin(table[need:]))
    counts = [0] * len(sizes)
    largest_first = sorted(range(len(sizes)), key=lambda place: -sizes[place])
    while total > 0:
        place = next(
            place
            for place in largest_first
            if sizes[place] <= total and table[total - sizes[place]] + costs[place] == table[total]
        )
        counts[place] += 1
        total -= sizes[place]
    return counts


def _least_costs(length: int, sizes: Sequence[int], costs: Sequence[int]) -> NDArray[np.int64]:
    """Least cost of packages whose sizes sum to exactly 0, 1, 2, … (length,)"""
    table = np.full(length, _BEYOND_ANY_COST, dtype=np.int64)
    table[0] = 0
    for size, cost in zip(sizes, costs, strict=True):
        rows = -(-length // size)
        padded = np.full(rows * size, _BEYOND_ANY_COST, dtype=np.int64)
        padded[:length] = table
        columns = padded.reshape(rows, size)
        paid = np.arange(rows, dtype=np.int64)[:, None] * cost
        # One more package leads one row down: the least cost is a running minimum once its price is taken out.
        columns -= paid
        np.minimum.accumulate(columns, axis=0, out=columns)
        columns += paid
        table = np.minimum(padded[:length], _BEYOND_ANY_COST)
    return table
