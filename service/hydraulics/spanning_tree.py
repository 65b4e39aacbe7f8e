"""The chains through which water would reach every junction if each loop were cut where it resists most."""

from dataclasses import dataclass

import numpy as np

from service.hydraulics.arrays import Bools, Floats, Ints


class Disconnected(ValueError):
    """Part of the network cannot be reached from the inlet."""


@dataclass(frozen=True, slots=True)
class SpanningTree:
    """Chains of least resistance that reach every junction from junction 0, and the rest, which close the loops.

    Flow in the tree follows from continuity alone, to the last bit; only the closing chains, which resist most, take
    it from a difference of heads, where a short fat link would drown it in rounding.
    """

    preorder: Ints  # (j,) junctions, each before all that hang on it
    chains: Ints  # (j - 1,) chain that leads to each of them but the first
    backwards: Bools  # (j - 1,) it leads to its declared start
    subtree_end: Ints  # (j,) by place in preorder: where its subtree ends
    closing: Ints  # (k,) chains that close a loop

    @property
    def leads_to(self) -> Ints:
        """Junction that each chain of the tree leads to. (j - 1,)"""
        return self.preorder[1:]

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
        least_first = through[np.argsort(resistance[through], kind="stable")]
        beside, closing = _tree(least_first, upstream[least_first], downstream[least_first], junctions)
        order: list[tuple[int, int, int]] = []  # each junction, the chain that leads to it, and its parent's place here
        stack = [(0, -1, 0)]
        while stack:
            junction, along, parent = stack.pop()
            stack.extend((beyond, chain, len(order)) for beyond, chain in beside[junction] if chain != along)
            order.append((junction, along, parent))
        if len(order) < junctions:
            raise Disconnected("some junction cannot be reached from the inlet")
        size = [1] * junctions
        for place in range(junctions - 1, 0, -1):
            size[order[place][2]] += size[place]
        preorder, chains, _ = np.array(order, dtype=np.intp).T
        return cls(
            preorder=preorder,
            chains=chains[1:],
            backwards=upstream[chains[1:]] == preorder[1:],
            subtree_end=np.arange(junctions) + size,
            closing=np.array(sorted(closing), dtype=np.intp),
        )


def _tree(
    chains: Ints, upstream: Ints, downstream: Ints, junctions: int
) -> tuple[list[list[tuple[int, int]]], list[int]]:
    """The chains that join what those before them left apart, and the others.

    The former by junction: the junctions that they lead to, each with the chain itself.

    J. B. Kruskal, "On the shortest spanning subtree of a graph and the traveling salesman problem", Proceedings of the
    American Mathematical Society 7, 1956, 48-50. A zone has so few junctions that a library's graph costs more to make.
    """
    joined = list(range(junctions))  # a junction further up in the same part, or itself

    def part(junction: int) -> int:
        while joined[junction] != junction:
            joined[junction] = junction = joined[joined[junction]]
        return junction

    beside: list[list[tuple[int, int]]] = [[] for _ in range(junctions)]
    closing = []
    for chain, one, other in zip(chains.tolist(), upstream.tolist(), downstream.tolist(), strict=True):
        if part(one) == part(other):
            closing.append(chain)
            continue
        joined[part(one)] = part(other)
        beside[one].append((other, chain))
        beside[other].append((one, chain))
    return beside, closing
