"""Heads of random zones, by the service and by scipy's root of the same equations written separately.

Trees, grids and meshes, hills, both friction laws, every outlet and supply: to a micrometre of head.
"""

import pytest

from tests.engines.comparisons import compare


def agree(zones: int | None = None) -> None:
    found = compare("root", zones)
    print(found)
    assert found.apart.max() < 1e-6
    assert found.unsolved <= 0.02 * (len(found.apart) + found.unsolved)


def test_heads_agree_with_the_root_of_the_equations():
    agree(150)


@pytest.mark.thorough
def test_heads_of_all_zones_agree_with_the_root_of_the_equations():
    agree()
