"""What may differ from scenario to scenario: the head at the inlet, and an end that stands open."""

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from service.hydraulics.arrays import Floats, Ints


class Source(Protocol):
    """What stands at the inlet of each scenario: a head that does not rise with the flow drawn."""

    def head(self, flow: Floats, scenario: Ints) -> tuple[Floats, Floats]:
        """Total head [m] and its derivative by flow [s/m²] of these scenarios, from their flows [m³/s]; all (a,)."""


@dataclass(frozen=True, slots=True)
class FixedHead:
    """A source whose head does not fall with flow."""

    heads: Floats  # (s,) [m]

    def head(self, flow: Floats, scenario: Ints) -> tuple[Floats, Floats]:
        """The same head at any flow."""
        return self.heads[scenario], np.zeros_like(flow)


@dataclass(frozen=True, slots=True)
class OpenEnds:
    """One pipe end a scenario that stands open to air."""

    node: Ints  # (s,) which node
    area: Floats  # (s,) cross-section of the opening [m²]; 0 keeps it shut
