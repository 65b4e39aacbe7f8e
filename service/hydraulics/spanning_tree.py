"""The chains through which water would reach every junction if each loop were cut where it resists most."""

from dataclasses import dataclass

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import breadth_first_order, connected_components, minimum_spanning_tree

from service.hydraulics.arrays import Bools, Floats, Ints


class Disconnected(ValueError):
    """Part of the network cannot be reached from the inlet."""


@dataclass(frozen=True, slots=True)
class SpanningTree:
    """Chains of least resistance that reach every junction from junction 0, and the rest, which close the loops.

    Flow in the tree follows from continuity alone, to the last bit; only the closing chains, which resist most, take
    it from a difference of heads, where a short fat link would drown it in rounding.
    """

    chains: Ints  # (j - 1,) chains of the tree
    leads_to: Ints  # (j - 1,) junction that each of them leads to
    backwards: Bools  # (j - 1,) it leads to its declared start
    closing: Ints  # (k,) chains that close a loop
    preorder: Ints  # (j,) junctions, each before all that hang on it
    subtree_end: Ints  # (j,) by place in preorder: where its subtree ends

    @property
    def position(self) -> Ints:
        """Place of each junction in preorder. (j,)"""
        position = np.empty_like(self.preorder)
        position[self.preorder] = np.arange(len(self.preorder))
        return position

    @classmethod
    def of(cls, upstream: Ints, downstream: Ints, junctions: int, resistance: Floats) -> "SpanningTree":
        """From the junctions at the ends of the chains (-1 for a dead end) and their resistances, all (c,).

        Raises
        ------
        Disconnected : some junction cannot be reached from the inlet.
        """
        through = np.flatnonzero(downstream >= 0)
        best = _best_between(upstream, downstream, through[upstream[through] != downstream[through]], resistance)
        # Ranks instead of resistances: a zero would read as no edge at all.
        ranks = np.argsort(np.argsort([resistance[chain] for chain in best.values()], kind="stable")) + 1.0
        low, high = np.array(list(best), dtype=np.intp).reshape(-1, 2).T
        graph = coo_array((ranks, (low, high)), shape=(junctions, junctions)).tocsr()
        parts, _ = connected_components(graph, directed=False)
        if parts > 1:
            raise Disconnected("some junction cannot be reached from the inlet")
        spanning = minimum_spanning_tree(graph).tocsr()
        parent = breadth_first_order((spanning + spanning.T).tocsr(), 0, directed=False)[1].tolist()
        leads_to = np.arange(1, junctions)
        chains = np.array(
            [best[min(parent[child], child), max(parent[child], child)] for child in leads_to.tolist()], dtype=np.intp
        )
        preorder, subtree_end = _preorder(parent)
        return cls(
            chains=chains,
            leads_to=leads_to,
            backwards=upstream[chains] == leads_to,
            closing=np.setdiff1d(through, chains),
            preorder=preorder,
            subtree_end=subtree_end,
        )


def _best_between(upstream: Ints, downstream: Ints, chains: Ints, resistance: Floats) -> dict[tuple[int, int], int]:
    """The least resistant of these chains between each pair of junctions, lower junction first."""
    best: dict[tuple[int, int], int] = {}
    for chain in chains[np.argsort(-resistance[chains], kind="stable")].tolist():
        a, b = int(upstream[chain]), int(downstream[chain])
        best[min(a, b), max(a, b)] = chain
    return best


def _preorder(parent: list[int]) -> tuple[Ints, Ints]:
    """Junctions in depth-first order, and by place in it the place just after each one's subtree."""
    children: list[list[int]] = [[] for _ in parent]
    for child in range(1, len(parent)):
        children[parent[child]].append(child)
    order: list[int] = []
    stack = [0]
    while stack:
        at = stack.pop()
        order.append(at)
        stack.extend(children[at])
    size = [1] * len(parent)
    for at in reversed(order[1:]):
        size[parent[at]] += size[at]
    preorder = np.array(order, dtype=np.intp)
    return preorder, np.arange(len(order)) + np.array(size, dtype=np.intp)[preorder]
