"""Whether water leaves carbonate scale: the Langelier saturation index."""

from __future__ import annotations

import math
from dataclasses import dataclass

from service.schemas.water import Water

PARTNERS = ("ph", "dissolved_solids", "calcium_hardness", "alkalinity")
"""Laboratory values that the index needs, all of them."""

LEAST_DISSOLVED = 1e-3
"""Dissolved solids below which the formula is not followed. [kg/m³] Distilled water has about as much."""


@dataclass(frozen=True, slots=True)
class Saturation:
    """Where a water stands against calcium carbonate."""

    index: float  # pH less the pH of saturation [-]
    ph: float  # of saturation [-]
    temperature: float  # [°C]


def saturation_ph(*, dissolved_solids: float, calcium_hardness: float, alkalinity: float, temperature: float) -> float:
    """PH at which water is saturated with calcium carbonate. [-]

        pHs = (9.3 + A + B) - (C + D)
        A = (log10 TDS - 1) / 10        B = -13.12 log10(T + 273) + 34.55
        C = log10 Ca - 0.4              D = log10 alkalinity

    with TDS in mg/L, Ca and alkalinity in mg/L as CaCO3, T in °C.

    Parameters
    ----------
    dissolved_solids : total dissolved solids [kg/m³]
    calcium_hardness, alkalinity : as CaCO3, above zero [kg/m³]
    temperature : [°C]

    Examples
    --------
    >>> round(saturation_ph(dissolved_solids=0.320, calcium_hardness=0.150, alkalinity=0.034, temperature=25), 2)
    8.23

    References
    ----------
    W. F. Langelier, "The analytical control of anti-corrosion water treatment", Journal AWWA 28 (10), 1936, 1500-1521
    (from memory); this form of it and the example as read in an encyclopedia text on several public pages.
    """
    a = (math.log10(1e3 * max(dissolved_solids, LEAST_DISSOLVED)) - 1.0) / 10.0
    b = -13.12 * math.log10(temperature + 273.0) + 34.55
    c = math.log10(1e3 * calcium_hardness) - 0.4
    d = math.log10(1e3 * alkalinity)
    return (9.3 + a + b) - (c + d)


def langelier(water: Water) -> Saturation | None:
    """Saturation at the warmest temperature in the pipes, None where a partner is missing or nothing could fall out."""
    ph, solids, calcium, alkalinity = (getattr(water, name) for name in PARTNERS)
    if ph is None or solids is None or not calcium or not alkalinity:
        return None
    saturated = saturation_ph(
        dissolved_solids=solids, calcium_hardness=calcium, alkalinity=alkalinity, temperature=water.warmest
    )
    return Saturation(ph - saturated, saturated, water.warmest)


def missing_partners(water: Water) -> tuple[str, ...]:
    """What the index lacks, where something was given that is of use for it alone."""
    if water.calcium_hardness is None and water.alkalinity is None:
        return ()
    return tuple(name for name in PARTNERS if getattr(water, name) is None)
