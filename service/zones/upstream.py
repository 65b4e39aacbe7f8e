"""The way that water takes from the zone inlet to a place."""

from __future__ import annotations

import numpy as np

from service.hydraulics.arrays import Bools, Floats, Ints
from service.zones.pipework import Pipework

NOTHING = 1e-12
"""Flow that counts as none. [m³/s] A tenth of a drop in an hour: what rounding leaves circling in a dead loop."""

EQUAL = 1e-9
"""Relative difference within which two inflows are equal. [-] Rounding."""


def way_to(pipework: Pipework, flow: Floats, node: int) -> tuple[Ints, Bools]:
    """Links from the zone inlet to a node along the largest inflow, and which are passed against their direction.

    Of equal inflows the one declared first is taken; where nothing flows the way goes up the pipe's own run.

    Parameters
    ----------
    pipework : the zone beyond its inlet
    flow : (m,) flow of each link, along its run [m³/s]
    node : where to
    """
    junctions = _Junctions(pipework, flow)
    links, backwards, at = junctions.leave(node)
    way = [(links, backwards)]
    seen = {at}
    while at != 0:
        links, backwards, at = junctions.ascend(at, seen)
        way.append((links, backwards))
        seen.add(at)
    parts = [part for part, _ in reversed(way)]
    passed = np.repeat([back for _, back in reversed(way)], [len(part) for part in parts])
    return np.concatenate(parts), passed.astype(np.bool_)


class _Junctions:
    """Steps from a junction to the next one upstream. Links of a step are in the order in which water passes them."""

    def __init__(self, pipework: Pipework, flow: Floats) -> None:
        self._shape, self._chains, self._flow = pipework.network.shape, pipework.network.chains, flow
        self._first, self._last = flow[self._shape.first], flow[self._shape.last]  # (c,) flow of the chains
        self._ending: list[list[int]] = [[] for _ in range(pipework.network.junctions)]
        self._starting: list[list[int]] = [[] for _ in range(pipework.network.junctions)]
        ends = zip(self._chains.upstream.tolist(), self._chains.downstream.tolist(), strict=True)
        for chain, (upstream, downstream) in enumerate(ends):
            if upstream != downstream >= 0:
                self._ending[downstream].append(chain)
                self._starting[upstream].append(chain)

    def leave(self, node: int) -> tuple[Ints, bool, int]:
        """From any node to a junction."""
        shape, chains, flow = self._shape, self._chains, self._flow
        if node >= shape.inner:
            return np.zeros(0, dtype=np.intp), False, node - shape.inner
        link = int(shape.node_place[node])
        chain = int(shape.link_chain[link])
        last = int(shape.last[chain])
        if chains.downstream[chain] >= 0 and link < last and -flow[link + 1] > max(flow[link], NOTHING):
            return np.arange(last, link, -1), True, int(chains.downstream[chain])
        return np.arange(shape.first[chain], link + 1), False, int(chains.upstream[chain])

    def ascend(self, junction: int, seen: set[int]) -> tuple[Ints, bool, int]:
        """From a junction to one upstream of it."""
        shape, chains = self._shape, self._chains
        ways = [(self._last[chain], int(chains.upstream[chain]), chain) for chain in self._ending[junction]]
        ending = len(ways)
        ways += [(-self._first[chain], int(chains.downstream[chain]), chain) for chain in self._starting[junction]]
        most = max(inflow for inflow, _, _ in ways)
        # Chains are numbered with parents first, so the first one that ends here leads on to a lower one, up to the
        # inlet: that is the way where nothing flows, and out of any circle.
        best = 0
        if most > NOTHING:
            best = next(place for place, (inflow, _, _) in enumerate(ways) if inflow >= most * (1 - EQUAL))
        if ways[best][1] in seen:
            best = 0
        _, beyond, chain = ways[best]
        links = np.arange(shape.first[chain], shape.last[chain] + 1)
        backwards = best >= ending
        return (links[::-1] if backwards else links), backwards, beyond
