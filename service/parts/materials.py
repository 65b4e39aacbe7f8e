"""Pipe materials: how rough they are, and how much pressure they lose in the heat."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

import numpy as np

from service.units.dimensions import FOOT, System, to_si


class Material(StrEnum):
    """What pipe is made of."""

    PE = "pe"
    PVC = "pvc"
    CPVC = "cpvc"
    PEX = "pex"
    PP = "pp"
    VINYL = "vinyl"
    COPPER = "copper"
    STEEL = "steel"
    GALVANIZED_STEEL = "galvanized_steel"
    CAST_IRON = "cast_iron"


@dataclass(frozen=True, slots=True)
class Wall:
    """The inner surface of pipe of one material."""

    roughness: float  # absolute [m]
    hazen_williams_c: float  # in pipe of an inch and more [-]
    source: str


SMOOTH_ROUGHNESS = 1.5e-6
"""Roughness of drawn tubing and plastics. [m] Hydraulic Institute, Engineering Data Book, table 3.A.1: 0.000005 ft."""

_HI = "roughness: Hydraulic Institute, Engineering Data Book, table 3.A.1"
_EPANET = "C: EPANET 2 user manual, roughness coefficients for new pipe"
_NRCS = "C: USDA-NRCS, Conservation Practice Standard 430HH (2002), plastic pipe"

WALLS: Mapping[Material, Wall] = MappingProxyType(
    {
        **dict.fromkeys(
            (Material.PE, Material.PVC, Material.CPVC, Material.PEX, Material.PP, Material.VINYL),
            Wall(SMOOTH_ROUGHNESS, 150.0, f"{_HI}; {_NRCS}"),
        ),
        Material.COPPER: Wall(SMOOTH_ROUGHNESS, 140.0, f"{_HI}; C: common practice, 130 to 140"),
        Material.STEEL: Wall(0.00015 * FOOT, 140.0, f"{_HI}; {_EPANET} (140 to 150)"),
        Material.GALVANIZED_STEEL: Wall(0.0005 * FOOT, 120.0, f"{_HI}; {_EPANET}"),
        Material.CAST_IRON: Wall(0.00085 * FOOT, 130.0, f"{_HI}; {_EPANET} (130 to 140)"),
    }
)
"""Default roughness and Hazen-Williams C of each material."""

FLEXIBLE = frozenset({Material.PE, Material.VINYL})
"""Materials of drip tubing, whose C is lower where the bore is small."""

SMALL_TUBING_C = ((16.5e-3, 130.0), (22e-3, 140.0))
"""Hazen-Williams C of drip tubing below a bore. [m, -]

Keller & Karmeli, Trickle Irrigation Design, 1974, from memory: 130 for 14-15 mm, 140 for 18-19 mm, 150 for 25-27 mm;
the limits between lie halfway.
"""


def default_hazen_williams_c(material: Material, bore: float) -> float:
    """Hazen-Williams C of a material at an inside diameter [m]. [-]

    >>> default_hazen_williams_c(Material.PE, 0.0145), default_hazen_williams_c(Material.PVC, 0.0145)
    (130.0, 150.0)
    """
    if material in FLEXIBLE:
        for below, coefficient in SMALL_TUBING_C:
            if bore < below:
                return coefficient
    return WALLS[material].hazen_williams_c


DERATING: Mapping[Material, tuple[tuple[float, float], ...]] = MappingProxyType(
    {
        Material.PVC: (
            (73, 1.0), (80, 0.88), (90, 0.75), (100, 0.62), (110, 0.50), (120, 0.40), (130, 0.30), (140, 0.22),
        ),
        Material.CPVC: (
            (80, 1.0), (90, 0.91), (100, 0.82), (110, 0.72), (120, 0.65), (130, 0.57), (140, 0.50),
        ),
    }
)  # fmt: skip
"""Share of its pressure rating that pipe keeps, by water temperature. [°F, -]

Printed alike in public data tables for solvent-welded PVC and CPVC pipe; where two differ by a hundredth (PVC at 110
and 130 °F) the lower one stands. Other materials: no standard derating is applied.
"""


_DERATING_BY_CELSIUS = {
    material: ([to_si(float(fahrenheit), "temperature", System.US) for fahrenheit, _ in rows], [s for _, s in rows])
    for material, rows in DERATING.items()
}


def pressure_derating(material: Material, temperature: float) -> float:
    """Share of its rating that pipe keeps at a water temperature [°C], linear between the rows of the table. [-]

    >>> round(pressure_derating(Material.PVC, 37.78), 3), pressure_derating(Material.PE, 37.78)
    (0.62, 1.0)
    """
    rows = _DERATING_BY_CELSIUS.get(material)
    return 1.0 if rows is None else float(np.interp(temperature, *rows))
