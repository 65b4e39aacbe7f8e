"""What takes the pressure of the outlets: pipe, or the heights that they stand at."""

from __future__ import annotations

import numpy as np

from service.hydraulics.arrays import Ints
from service.zones.outlet_bands import OutletBands
from service.zones.places import outlet_heights
from service.zones.state import State

EVERY = slice(None)


def lost_in_pipe(state: State, group: int, minimum: float) -> bool:
    """Whether an outlet would have its least pressure [Pa] if the pipes beyond the zone inlet lost none."""
    height = float(outlet_heights(state.pipework)[group])
    return state.inlet_pressure - height * state.pipework.water.specific_weight >= minimum


def made_by_heights(state: State, groups: Ints | slice = EVERY) -> bool:
    """Whether most of the difference in pressure between outlets is one of height."""
    pressures = state.outlet_pressure[groups]
    heads = pressures + outlet_heights(state.pipework)[groups] * state.pipework.water.specific_weight
    return bool(np.ptp(heads) < 0.5 * np.ptp(pressures))


def too_tall(state: State, bands: OutletBands) -> bool:
    """Whether no pressure at the zone inlet suits both the highest and the lowest outlets, even if pipe lost none."""
    lifted = outlet_heights(state.pipework) * state.pipework.water.specific_weight
    return bool((bands.minimum + lifted).max() > (bands.maximum + lifted).min())
