"""Heads of random zones, by the service and by scipy's root of the same equations written separately.

Trees, grids and meshes, hills, both friction laws, every outlet and supply: to a micrometre of head.
"""

from tests.engines.comparisons import compare


def test_heads_agree_with_the_root_of_the_equations():
    found = compare("root")
    print(found)
    assert found.apart.max() < 1e-6
    assert len(found.apart) >= 500
