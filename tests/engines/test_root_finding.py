"""Heads of random zones, by the service and by scipy's root of the same equations written separately."""

from tests.engines.comparisons import against_root_finding
from tests.networks import Taste


def test_heads_agree_with_the_root_of_the_equations():
    """Trees, grids and meshes, hills, both friction laws, every outlet and supply: to a micrometre of head."""
    taste = Taste(chains=3, places=4, onto_itself=False)
    found = against_root_finding("root of the equations", taste, first=50_000, zones=200)
    print(found)
    assert found.apart.max() < 1e-6
    assert found.unsolved <= 4
