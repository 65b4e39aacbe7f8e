"""Flow of every link from what leaves at the places beyond it: continuity holds at every node to the last bits."""

import numpy as np

from service.hydraulics.arrays import Floats, RowSums
from service.hydraulics.shape import Chains, Shape


class Continuity:
    """Flows that balance at every node, of one network."""

    def __init__(self, chains: Chains, shape: Shape) -> None:
        """Put the places in a row so that all that lies beyond a link stands together.

        Junction follows junction as in the tree. Each comes after the chain of the tree that leads to it, in the order
        in which water would pass that, and before the chains that end dead there or close a loop.
        """
        tree = shape.tree
        self._shape = shape
        self._ends = RowSums(np.concatenate((chains.upstream, chains.downstream[shape.through])), shape.junctions)
        self._rejoins = RowSums(chains.downstream[tree.closing], shape.junctions)
        leading = np.zeros(len(chains.links), dtype=np.bool_)
        leading[tree.chains] = True
        backwards = np.zeros_like(leading)
        backwards[tree.chains] = tree.backwards
        beside = chains.upstream.copy()  # the junction in whose company a chain stands
        beside[tree.chains] = tree.leads_to
        turn = np.concatenate((tree.position[beside], tree.position))
        rank = np.concatenate((np.where(leading, 0, 2), np.ones_like(tree.position)))
        width = np.concatenate((chains.links, np.ones_like(tree.position)))
        order = np.lexsort((rank, turn))
        past = np.empty_like(width)
        past[order] = np.cumsum(width[order])
        starts = past - width
        end = past[: len(leading)]
        company = np.bincount(turn, width, minlength=shape.junctions).cumsum().astype(np.intp)
        end[tree.chains] = company[tree.subtree_end[tree.position[tree.leads_to]] - 1]
        chain, links = shape.link_chain, np.arange(shape.links)
        turned = backwards[chain]
        at = starts[chain] + np.where(turned, shape.last[chain] - links, links - shape.first[chain])
        self._row = np.empty(shape.links + shape.junctions, dtype=np.intp)
        self._row[np.concatenate((at, starts[len(leading) :]))] = np.arange(len(self._row))
        self._from, self._to = at + turned, end[chain]
        self._sign = np.where(turned, -1.0, 1.0) if turned.any() else None

    def flows(self, outflow: Floats, closing_flow: Floats) -> tuple[Floats, Floats]:
        """Flow of every link, (a, m), and at the inlet, (a,) [m³/s].

        Parameters
        ----------
        outflow : (a, p) what leaves at each place, nothing at the doubles of junctions. [m³/s]
        closing_flow : (a, k) flow at the far end of each chain that closes a loop. [m³/s]
        """
        shape = self._shape
        if closing_flow.size:
            # What a closing chain brings to its end leaves the tree there, and comes back to the junction.
            outflow = outflow.copy()
            outflow[:, shape.closing] = closing_flow
            outflow[:, shape.links :] -= self._rejoins(closing_flow)
        before = np.zeros((len(outflow), outflow.shape[1] + 1))
        np.cumsum(outflow.take(self._row, axis=1), axis=1, out=before[:, 1:])
        flow = before.take(self._to, axis=1)
        flow -= before.take(self._from, axis=1)
        if self._sign is not None:
            flow *= self._sign
        return flow, before[:, -1]

    def lacking(self, flow: Floats, inflow: Floats, outflow: Floats) -> Floats:
        """Sum over all nodes of the flow that comes and does not go, or goes and did not come. (a,) [m³/s]

        Looked at node by node, whatever the flows were made from; arguments as `flows` takes and gives them.
        """
        shape = self._shape
        inner = flow - outflow[:, : shape.links]
        inner[:, :-1] -= flow[:, 1:]
        # The last link of a chain has none after it, only the next chain's first, which must not count.
        inner[:, shape.last[:-1]] += flow.take(shape.first[1:], axis=1)
        inner[:, shape.doubles] = 0.0
        ends = np.concatenate((-flow.take(shape.first, axis=1), flow.take(shape.doubles, axis=1)), axis=1)
        junctions = self._ends(ends) - outflow[:, shape.links :]
        junctions[:, 0] += inflow
        total: Floats = np.abs(inner).sum(axis=1) + np.abs(junctions).sum(axis=1)
        return total
