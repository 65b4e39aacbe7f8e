"""How chains, nodes and links hang together: bookkeeping that the solver needs, prepared once.

Links are numbered chain after chain, and each link has a *place*: the node at its end. The last link of a chain that
ends at a junction has a place too, a double of that junction, so that along a chain neighbours in the arrays are
neighbours in the pipe. The places of the junctions themselves come after those of the links.
"""

from dataclasses import dataclass

import numpy as np

from service.hydraulics.arrays import Bools, Floats, Ints
from service.hydraulics.spanning_tree import SpanningTree


@dataclass(frozen=True, slots=True)
class Chains:
    """Rows of links between junctions, as columns of one table."""

    links: Ints  # (c,) how many links
    upstream: Ints  # (c,) junction at the start
    downstream: Ints  # (c,) junction at the end, -1 for a dead end


@dataclass(frozen=True, slots=True)
class Shape:
    """Where everything is."""

    links: int  # m
    inner: int  # inner nodes
    junctions: int  # j
    link_start: Ints  # (m,) node
    link_end: Ints  # (m,) node
    node_place: Ints  # (n,) place of each node
    first: Ints  # (c,) first link of each chain, and its place
    last: Ints  # (c,) last one
    start_place: Ints  # (m,) place at the start of each link
    link_downstream: Ints  # (m,) junction at the end of the link's chain; at a dead end any one
    link_chain: Ints  # (m,) chain of each link
    through: Ints  # (t,) chains that end at a junction
    doubles: Ints  # (t,) places that double a junction: the last ones of these chains
    last_inner: Ints  # (u,) last inner places of the through chains that have any
    tree: SpanningTree
    closing: Ints  # (k,) last links of the chains that close a loop
    bandwidth: int
    band: Ints  # (j,) row of each junction in the banded matrix

    @classmethod
    def of(cls, chains: Chains, junctions: int, resistance: Floats) -> "Shape":
        """Bookkeeping of these chains.

        Raises
        ------
        Disconnected : some junction cannot be reached from the inlet.
        """
        links, upstream, downstream = chains.links, chains.upstream, chains.downstream
        ends_at_junction = downstream >= 0
        past = np.cumsum(links)
        first, last, total = past - links, past - 1, int(past[-1])
        link_chain = np.repeat(np.arange(len(links)), links)
        through = np.flatnonzero(ends_at_junction)
        doubles = last[through]
        is_inner: Bools = np.ones(total, dtype=np.bool_)
        is_inner[doubles] = False
        inner = int(np.count_nonzero(is_inner))
        link_end = np.cumsum(is_inner) - 1
        link_end[doubles] = inner + downstream[through]
        link_start = np.concatenate(([0], link_end[:-1]))
        link_start[first] = inner + upstream
        start_place = np.arange(total) - 1
        start_place[first] = total + upstream
        tree = SpanningTree.of(upstream, downstream, junctions, np.add.reduceat(resistance, first))
        band = _band_order(upstream[through], downstream[through], junctions)
        reach = np.abs(band[upstream[through]] - band[downstream[through]])
        return cls(
            links=total,
            inner=inner,
            junctions=junctions,
            link_start=link_start,
            link_end=link_end,
            node_place=np.concatenate((np.flatnonzero(is_inner), total + np.arange(junctions))),
            first=first,
            last=last,
            start_place=start_place,
            link_downstream=np.maximum(downstream, 0)[link_chain],
            link_chain=link_chain,
            through=through,
            doubles=doubles,
            last_inner=doubles[links[through] > 1] - 1,
            tree=tree,
            closing=last[tree.closing],
            bandwidth=int(reach.max()) if len(reach) else 0,
            band=band,
        )


def _band_order(start: Ints, end: Ints, junctions: int) -> Ints:
    """Row of each junction that keeps neighbours close, so that elimination fills little in. (j,)

    E. Cuthill and J. McKee, "Reducing the bandwidth of sparse symmetric matrices", Proceedings of the 24th ACM National
    Conference, 1969, 157-172; in reverse, after A. George.
    """
    beside: list[set[int]] = [set() for _ in range(junctions)]
    for one, other in zip(start.tolist(), end.tolist(), strict=True):
        beside[one].add(other)
        beside[other].add(one)
    degree = [len(others) for others in beside]
    order = [degree.index(min(degree))]
    seen = set(order)
    for junction in order:
        order.extend(sorted(beside[junction] - seen, key=lambda other: (degree[other], other)))
        seen |= beside[junction]
    band = np.empty(junctions, dtype=np.intp)
    band[order[::-1]] = np.arange(junctions)
    return band
