"""The way that water takes from the zone inlet to a place."""

from __future__ import annotations

from dataclasses import dataclass

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


@dataclass(frozen=True, slots=True)
class _Junctions:
    """Steps from a junction to the next one upstream. Links of a step are in the order in which water passes them."""

    pipework: Pipework
    flow: Floats

    def leave(self, node: int) -> tuple[Ints, bool, int]:
        """From any node to a junction."""
        shape, chains = self.pipework.network.shape, self.pipework.network.chains
        if node >= shape.inner:
            return np.zeros(0, dtype=np.intp), False, node - shape.inner
        link = int(shape.node_place[node])
        chain = int(shape.link_chain[link])
        last = int(shape.last[chain])
        if chains.downstream[chain] >= 0 and link < last and -self.flow[link + 1] > max(self.flow[link], NOTHING):
            return np.arange(last, link, -1), True, int(chains.downstream[chain])
        return np.arange(shape.first[chain], link + 1), False, int(chains.upstream[chain])

    def ascend(self, junction: int, seen: set[int]) -> tuple[Ints, bool, int]:
        """From a junction to one upstream of it."""
        shape, chains = self.pipework.network.shape, self.pipework.network.chains
        ending = np.flatnonzero((chains.downstream == junction) & (chains.upstream != junction))
        starting = np.flatnonzero((chains.upstream == junction) & (chains.downstream >= 0))
        starting = starting[chains.downstream[starting] != junction]
        inflow = np.concatenate((self.flow[shape.last[ending]], -self.flow[shape.first[starting]]))
        beyond = np.concatenate((chains.upstream[ending], chains.downstream[starting]))
        most = float(inflow.max())
        # Chains are numbered with parents first, so the first one that ends here leads on to a lower one, up to the
        # inlet: that is the way where nothing flows, and out of any circle.
        best = int(np.argmax(inflow >= most * (1 - EQUAL))) if most > NOTHING else 0
        if int(beyond[best]) in seen:
            best = 0
        chain = int(np.concatenate((ending, starting))[best])
        links = np.arange(shape.first[chain], shape.last[chain] + 1)
        backwards = best >= len(ending)
        return (links[::-1] if backwards else links), backwards, int(beyond[best])
