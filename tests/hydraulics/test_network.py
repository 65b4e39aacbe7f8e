"""Nodes and links are numbered as the network says, and a part that hangs on nothing is refused."""

import numpy as np
import pytest
from hypothesis import given

from service.hydraulics.network import Chains, Disconnected
from service.hydraulics.spanning_tree import SpanningTree
from tests.networks import Drawing, Kind, Sketch, drawings


@given(drawing=drawings())
def test_links_lead_from_node_to_node_as_the_numbering_says(drawing: Drawing):
    """Inner nodes first, chain after chain, junctions after them; walked link by link in the drawing."""
    network = drawing.network()
    start, end = network.link_ends
    assert (start.tolist(), end.tolist()) == drawing.ends()
    assert network.nodes == len(drawing.elevation)


def test_a_zone_with_a_part_that_hangs_on_nothing_is_refused():
    sketch = Sketch()
    island = sketch.junction()
    for up in (0, island):
        sketch.outlet(Kind(1e-6, 10.0), chain=sketch.chain(up, length=[1.0], bore=0.02), at=0)
    with pytest.raises(Disconnected, match=r"^some junction cannot be reached from the inlet$"):
        sketch.drawing().network()


def test_flow_that_is_taken_from_heads_is_taken_where_resistance_is_greatest():
    """Of three chains in a triangle the most resistant one closes the loop, and of two parallel ones as well."""
    upstream, downstream = np.array([0, 1, 0, 0, 1]), np.array([1, 2, 2, 1, -1])
    tree = SpanningTree.of(upstream, downstream, 3, np.array([2.0, 1.0, 3.0, 1.0, 1.0]))
    assert sorted(tree.chains.tolist()) == [1, 3]
    assert tree.closing.tolist() == [0, 2]
    assert tree.preorder.tolist() == [0, 1, 2]
    assert tree.subtree_end.tolist() == [3, 3, 3]
    assert tree.position.tolist() == [0, 1, 2]


def test_chains_are_columns():
    drawing_chains = Chains(links=np.array([2]), upstream=np.array([0]), downstream=np.array([-1]))
    assert drawing_chains.links.sum() == 2
