"""A network of pipe as chains between junctions: the arrays that the solver works on.

A *chain* is a row of links with nothing but single file nodes between them. It starts at a junction and ends at another
one, or dead. Nodes are numbered with the inner nodes of all chains first, chain after chain, and the junctions after
them; junction 0 is the inlet. Links are numbered chain after chain, so that an inner node has the link of its own
number (plus the number of through chains before it) upstream of it.
"""

from dataclasses import dataclass, field

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import (
    breadth_first_order,
    connected_components,
    minimum_spanning_tree,
    reverse_cuthill_mckee,
)

from service.hydraulics.arrays import Bools, Floats, Ints
from service.hydraulics.friction import FrictionLaw
from service.hydraulics.outlets import Outlets


class Disconnected(ValueError):
    """Part of the network cannot be reached from the inlet."""


@dataclass(frozen=True, slots=True)
class Chains:
    """Rows of links between junctions, as columns of one table."""

    links: Ints  # (c,) how many links
    upstream: Ints  # (c,) junction at the start
    downstream: Ints  # (c,) junction at the end, -1 for a dead end


@dataclass(frozen=True, slots=True)
class Network:
    """Pipes, junctions and outlets, with the bookkeeping that the solver needs prepared once."""

    chains: Chains
    friction: FrictionLaw  # of the m links
    resistance: Floats  # (m,) rough resistance of each link, to choose which chains close the loops
    elevation: Floats  # (n,) of each node above any datum [m]
    outlets: Outlets
    junctions: int
    shape: "Shape" = field(init=False)

    def __post_init__(self) -> None:
        """Derive the bookkeeping.

        Raises
        ------
        Disconnected : some junction cannot be reached from the inlet.
        """
        object.__setattr__(self, "shape", Shape.of(self.chains, self.junctions, self.resistance))

    @property
    def nodes(self) -> int:
        """Inner nodes and junctions."""
        return self.shape.inner + self.junctions

    @property
    def link_ends(self) -> tuple[Ints, Ints]:
        """Upstream and downstream node of each link. (m,), (m,)"""
        return self.shape.link_start, self.shape.link_end


@dataclass(frozen=True, slots=True)
class Shape:
    """How chains, nodes and links hang together."""

    inner: int  # inner nodes
    link_start: Ints  # (m,) node
    link_end: Ints  # (m,) node
    up_link: Ints  # (inner,) link into each inner node
    down_link: Ints  # (inner,) link out of it; m stands for none
    coupled: Floats  # (inner - 1,) 1 where the next inner node follows in the same chain, else 0
    node_chain: Ints  # (inner,)
    first_link: Ints  # (c,)
    last_link: Ints  # (c,) for a dead end: m, a link that does not conduct
    first_node: Ints  # (c,) first inner node of the chain, or 0 if it has none
    last_node: Ints  # (c,)
    has_inner: Bools  # (c,)
    node_offset: Ints  # (c + 1,) inner nodes before each chain
    link_chain: Ints  # (m,) chain of each link
    through: Ints  # (t,) chains that end at a junction
    tree: Ints  # (c,) junction that a chain of the spanning tree leads to, -1 for the others
    reversed: Bools  # (c,) a chain of the tree that leads to its declared start
    closing: Ints  # (k,) chains that close a loop
    preorder: Ints  # (j,) junctions, each before all that hang on it
    subtree_end: Ints  # (j,) by position in preorder: where its subtree ends
    position: Ints  # (j,) place of each junction in preorder
    bandwidth: int
    band: Ints  # (j,) place of each junction in the banded matrix

    @classmethod
    def of(cls, chains: Chains, junctions: int, resistance: Floats) -> "Shape":
        """Bookkeeping of these chains."""
        links, upstream, downstream = chains.links, chains.upstream, chains.downstream
        count = len(links)
        ends_at_junction = downstream >= 0
        inner_of_chain = links - ends_at_junction
        node_offset = np.concatenate(([0], np.cumsum(inner_of_chain)))
        link_offset = np.concatenate(([0], np.cumsum(links)))
        inner, total = int(node_offset[-1]), int(link_offset[-1])
        chain_number = np.arange(count)
        link_chain = np.repeat(chain_number, links)
        node_chain = np.repeat(chain_number, inner_of_chain)
        place = np.arange(inner) - node_offset[node_chain]
        up_link = link_offset[node_chain] + place
        is_last = place == inner_of_chain[node_chain] - 1
        down_link = np.where(is_last & ~ends_at_junction[node_chain], total, up_link + 1)
        along = np.arange(total) - link_offset[link_chain]
        link_start = np.where(along == 0, inner + upstream[link_chain], node_offset[link_chain] + along - 1)
        link_end = node_offset[link_chain] + along
        ends = link_offset[1:][ends_at_junction] - 1
        link_end[ends] = inner + downstream[ends_at_junction]
        has_inner = inner_of_chain > 0
        tree = _SpanningTree.of(chains, junctions, np.add.reduceat(resistance, link_offset[:-1]))
        through = np.flatnonzero(ends_at_junction)
        band = _band_order(upstream[through], downstream[through], junctions)
        reach = np.abs(band[upstream[through]] - band[downstream[through]])
        return cls(
            inner=inner,
            link_start=link_start,
            link_end=link_end,
            up_link=up_link,
            down_link=down_link,
            coupled=(node_chain[1:] == node_chain[:-1]).astype(float),
            node_chain=node_chain,
            first_link=link_offset[:-1],
            last_link=np.where(ends_at_junction, link_offset[1:] - 1, total),
            first_node=np.where(has_inner, node_offset[:-1], 0),
            last_node=np.where(has_inner, node_offset[1:] - 1, 0),
            has_inner=has_inner,
            node_offset=node_offset,
            link_chain=link_chain,
            through=through,
            tree=tree.leads_to,
            reversed=tree.backwards,
            closing=np.flatnonzero(ends_at_junction & (tree.leads_to < 0)),
            preorder=tree.preorder,
            subtree_end=tree.subtree_end,
            position=tree.position,
            bandwidth=int(reach.max()) if len(reach) else 0,
            band=band,
        )


def _band_order(start: Ints, end: Ints, junctions: int) -> Ints:
    """Place of each junction that keeps neighbours close, so that elimination fills little in. (j,)"""
    ones = np.ones(len(start))
    graph = coo_array((ones, (start, end)), shape=(junctions, junctions)).tocsr()
    order = reverse_cuthill_mckee((graph + graph.T).tocsr(), symmetric_mode=True)
    band = np.empty(junctions, dtype=np.intp)
    band[order] = np.arange(junctions)
    return band


@dataclass(frozen=True, slots=True)
class _SpanningTree:
    """The chains through which every junction is reached with the least resistance in any one of them.

    Flow in these follows from continuity alone, to the last bit; only the others, which resist most, take it from a
    difference of heads, where a short fat link would drown it in rounding.
    """

    leads_to: Ints
    backwards: Bools
    preorder: Ints
    subtree_end: Ints
    position: Ints

    @classmethod
    def of(cls, chains: Chains, junctions: int, resistance: Floats) -> "_SpanningTree":
        """Spanning tree of the chains that end at junctions, rooted at junction 0."""
        leads_to = np.full(len(chains.links), -1, dtype=np.intp)
        backwards = np.zeros(len(chains.links), dtype=np.bool_)
        through = np.flatnonzero((chains.downstream >= 0) & (chains.upstream != chains.downstream))
        # Of parallel chains only the least resistant can be in the tree: keep it under its pair of junctions.
        low = np.minimum(chains.upstream[through], chains.downstream[through])
        high = np.maximum(chains.upstream[through], chains.downstream[through])
        key = low * junctions + high
        order = np.lexsort((resistance[through], key))
        through, key, low, high = through[order], key[order], low[order], high[order]
        keep = np.concatenate(([True], key[1:] != key[:-1])) if len(key) else np.zeros(0, dtype=np.bool_)
        through, low, high = through[keep], low[keep], high[keep]
        # Ranks instead of resistances: a zero would read as no edge at all.
        rank = np.empty(len(through))
        rank[np.argsort(resistance[through], kind="stable")] = np.arange(1, len(through) + 1)
        graph = coo_array((rank, (low, high)), shape=(junctions, junctions)).tocsr()
        parts = int(connected_components(graph, directed=False, return_labels=False))
        if parts > 1:
            raise Disconnected("some junction cannot be reached from the inlet")
        spanning = minimum_spanning_tree(graph).tocoo()
        parent = breadth_first_order((spanning + spanning.T).tocsr(), 0, directed=False)[1]
        chain_of = {}
        for chain, a, b in zip(through.tolist(), low.tolist(), high.tolist(), strict=True):
            chain_of[a, b] = chain
        children: list[list[int]] = [[] for _ in range(junctions)]
        for child in range(1, junctions):
            up = int(parent[child])
            children[up].append(child)
            chain = chain_of[min(up, child), max(up, child)]
            leads_to[chain] = child
            backwards[chain] = int(chains.upstream[chain]) == child
        preorder, subtree_end = _preorder(children)
        position = np.empty(junctions, dtype=np.intp)
        position[preorder] = np.arange(junctions)
        return cls(leads_to, backwards, preorder, subtree_end, position)


def _preorder(children: list[list[int]]) -> tuple[Ints, Ints]:
    """Junctions in depth-first order, and by place in it the place just after each one's subtree."""
    order: list[int] = []
    stack = [0]
    while stack:
        at = stack.pop()
        order.append(at)
        stack.extend(children[at])
    size = [1] * len(children)
    for at in reversed(order):
        size[at] += sum(size[child] for child in children[at])
    preorder = np.array(order, dtype=np.intp)
    return preorder, np.arange(len(order)) + np.array(size, dtype=np.intp)[preorder]
