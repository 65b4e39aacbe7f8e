"""A network of pipe as chains between junctions: what the solver is asked about.

A *chain* is a row of links with nothing but single file nodes between them. It starts at a junction and ends at another
one, or dead. Nodes are numbered with the inner nodes of all chains first, chain after chain, and the junctions after
them; junction 0 is the inlet. Links are numbered chain after chain.
"""

from dataclasses import dataclass, field

from service.hydraulics.arrays import Floats, Ints
from service.hydraulics.condensation import Condensation
from service.hydraulics.continuity import Continuity
from service.hydraulics.friction import FrictionLaw
from service.hydraulics.outlets import Outlets
from service.hydraulics.shape import Chains, Shape
from service.hydraulics.spanning_tree import Disconnected

__all__ = ["Chains", "Disconnected", "Network"]


@dataclass(frozen=True, slots=True)
class Network:
    """Pipes, junctions and outlets, with the bookkeeping that the solver needs prepared once."""

    chains: Chains
    friction: FrictionLaw  # of the m links
    resistance: Floats  # (m,) rough resistance of each link, to choose which chains close the loops
    elevation: Floats  # (n,) of each node above any datum [m]
    outlets: Outlets
    junctions: int
    shape: Shape = field(init=False)
    continuity: Continuity = field(init=False)
    condensation: Condensation = field(init=False)

    def __post_init__(self) -> None:
        """Derive the bookkeeping.

        Raises
        ------
        Disconnected : some junction cannot be reached from the inlet.
        """
        shape = Shape.of(self.chains, self.junctions, self.resistance)
        object.__setattr__(self, "shape", shape)
        object.__setattr__(self, "continuity", Continuity(self.chains, shape))
        object.__setattr__(self, "condensation", Condensation(self.chains, shape))

    @property
    def nodes(self) -> int:
        """Inner nodes and junctions."""
        return self.shape.inner + self.junctions

    @property
    def link_ends(self) -> tuple[Ints, Ints]:
        """Upstream and downstream node of each link. (m,), (m,)"""
        return self.shape.link_start, self.shape.link_end
