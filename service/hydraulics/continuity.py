"""Flow of every link from what leaves at the places: accumulated from the far ends, exact to the last bit."""

import numpy as np

from service.hydraulics.arrays import Floats, RowSums
from service.hydraulics.shape import Chains, Shape


class Continuity:
    """Flows that balance at every node, of one network."""

    def __init__(self, chains: Chains, shape: Shape) -> None:
        """Prepare the sums over chains and subtrees."""
        tree = shape.tree
        self._shape = shape
        self._past = shape.last + 1
        self._one_junction = shape.junctions == 1 and not len(shape.through)
        # What a subtree needs is what its junctions need with the chains that start there; a tree chain counts to the
        # junction it leads to. In preorder a subtree is then a slice.
        position = tree.position
        home = chains.upstream.copy()
        home[tree.chains] = tree.leads_to
        closing = tree.closing
        targets = (np.arange(shape.junctions), home, chains.upstream[closing], chains.downstream[closing])
        self._needs = RowSums(position[np.concatenate(targets)], shape.junctions)
        self._ends = RowSums(np.concatenate((chains.upstream, chains.downstream[shape.through])), shape.junctions)
        self._subtree_start = position[tree.leads_to]
        self._subtree_end = tree.subtree_end[self._subtree_start]
        self._toward = np.where(tree.backwards, -1.0, 1.0)
        self._own = np.where(tree.backwards, 0.0, 1.0)

    def flows(self, outflow: Floats, closing_flow: Floats) -> tuple[Floats, Floats]:
        """Flow of every link, (a, m), and at the inlet, (a,) [m³/s].

        Parameters
        ----------
        outflow : (a, p) what leaves at each place, nothing at the doubles of junctions. [m³/s]
        closing_flow : (a, k) flow at the far end of each chain that closes a loop. [m³/s]
        """
        shape, rows = self._shape, len(outflow)
        before = np.zeros((rows, shape.links + 1))
        np.cumsum(outflow[:, : shape.links], axis=1, out=before[:, 1:])
        beyond = before.take(self._past, axis=1)
        if self._one_junction:
            inflow = before[:, -1] + outflow[:, -1]
        else:
            chain_outflow = beyond - before.take(shape.first, axis=1)
            far, inflow = self._far_flows(outflow[:, shape.links :], chain_outflow, closing_flow)
            beyond += far
        flow = beyond.take(shape.link_chain, axis=1)
        flow -= before[:, :-1]
        return flow, inflow

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

    def _far_flows(self, at_junctions: Floats, of_chains: Floats, closing_flow: Floats) -> tuple[Floats, Floats]:
        """Flow at the far end of each chain, (a, c), and at the inlet, (a,)."""
        tree = self._shape.tree
        needs = self._needs(np.concatenate((at_junctions, of_chains, closing_flow, -closing_flow), axis=1))
        below = np.zeros((len(needs), needs.shape[1] + 1))
        np.cumsum(needs, axis=1, out=below[:, 1:])
        far = np.zeros_like(of_chains)
        far[:, tree.closing] = closing_flow
        reached = below.take(self._subtree_end, axis=1) - below.take(self._subtree_start, axis=1)
        far[:, tree.chains] = self._toward * reached - self._own * of_chains.take(tree.chains, axis=1)
        return far, below[:, -1]
