"""The working pressures of a zone's outlets."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from service.hydraulics.arrays import Bools, Floats
from service.zones.pipework import Pipework


@dataclass(frozen=True, slots=True)
class OutletBands:
    """Working pressures of each outlet group. (g,) [Pa]"""

    minimum: Floats
    maximum: Floats
    stated: Bools  # whether the part states them

    @classmethod
    def of(cls, pipework: Pipework) -> OutletBands:
        """The bands of a zone's outlets."""
        kinds = pipework.plan.kinds
        low, high = (
            np.array([kind.emitter.pressure_range[end] for kind in kinds])[pipework.outlet_kind] for end in (0, 1)
        )
        stated = np.array([kind.emitter.range_stated for kind in kinds])[pipework.outlet_kind]
        return cls(low, high, stated)

    @property
    def stated_maximum(self) -> Floats:
        """Greatest working pressure, infinite where it is only assumed. (g,) [Pa]"""
        return np.where(self.stated, self.maximum, np.inf)
