"""The dimensions callers meet, and their unit in each system.

Everything inside the service is SI: pressure in Pa (gauge), flow in m³/s, length in m, temperature in °C, duration
in s, concentration in kg/m³. The units below exist at the edge only.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

Number = TypeVar("Number", float, NDArray[np.float64])


class System(StrEnum):
    """The unit systems a caller may choose between."""

    US = "us"
    METRIC = "metric"


FOOT = 0.3048
"""International foot. [m] Exact: international yard and pound agreement, 1959."""

INCH = FOOT / 12
"""International inch. [m] Exact, as the foot."""

POUND_FORCE = 4.4482216152605
"""Pound-force. [N] Exact: NIST Special Publication 811, appendix B.8."""

GALLON = 231 * INCH**3
"""US liquid gallon, 231 cubic inches. [m³] Exact: NIST Handbook 44, appendix C."""

LITRE = 1e-3
"""Litre. [m³] Exact: 12th CGPM, 1964."""

MINUTE = 60.0
"""Minute. [s] Exact."""

HOUR = 3600.0
"""Hour. [s] Exact."""


WRITTEN_DIGITS = 12
"""Significant digits of a converted figure. [-] The last ones are blurred by conversion there and back."""


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit by its label and its line to SI: `si = factor · (value − zero)`."""

    label: str
    factor: float
    zero: float = 0.0  # the reading at which the SI value is nought

    def to_si(self, value: Number) -> Number:
        """SI value(s) of reading(s) in this unit. Shape kept."""
        return (value - self.zero) * self.factor

    def from_si(self, value: Number) -> Number:
        """Reading(s) in this unit of SI value(s). Shape kept."""
        return value / self.factor + self.zero

    def as_written(self, value: float) -> float:
        """Reading in this unit of an SI value, without the blur of conversion."""
        return float(f"{value / self.factor + self.zero:.{WRITTEN_DIGITS}g}")


@dataclass(frozen=True, slots=True)
class Dimension:
    """One kind of quantity and the unit each system writes it in."""

    name: str
    us: Unit
    metric: Unit

    def unit(self, system: System) -> Unit:
        """The unit of this dimension in a system."""
        return self.us if system is System.US else self.metric


_MICROMETRE = Unit("µm", 1e-6)
_MINUTES = Unit("min", MINUTE)
_MILLIGRAM_PER_LITRE = Unit("mg/L", 1e-6 / LITRE)

DIMENSIONS: Mapping[str, Dimension] = MappingProxyType(
    {
        dimension.name: dimension
        for dimension in (
            Dimension("pressure", Unit("psi", POUND_FORCE / INCH**2), Unit("kPa", 1e3)),
            Dimension("length", Unit("ft", FOOT), Unit("m", 1.0)),
            Dimension("flow", Unit("gpm", GALLON / MINUTE), Unit("L/min", LITRE / MINUTE)),
            Dimension("outlet_flow", Unit("gph", GALLON / HOUR), Unit("L/h", LITRE / HOUR)),
            Dimension("diameter", Unit("in", INCH), Unit("mm", 1e-3)),
            Dimension("velocity", Unit("ft/s", FOOT), Unit("m/s", 1.0)),
            Dimension("area", Unit("ft²", FOOT**2), Unit("m²", 1.0)),
            Dimension("temperature", Unit("°F", 5 / 9, zero=32.0), Unit("°C", 1.0)),
            Dimension("volume", Unit("gal", GALLON), Unit("L", LITRE)),
            Dimension("roughness", _MICROMETRE, _MICROMETRE),
            Dimension("depth", Unit("in", INCH), Unit("mm", 1e-3)),
            Dimension("rate", Unit("in/h", INCH / HOUR), Unit("mm/h", 1e-3 / HOUR)),
            Dimension("duration", _MINUTES, _MINUTES),
            Dimension("concentration", _MILLIGRAM_PER_LITRE, _MILLIGRAM_PER_LITRE),
        )
    }
)
"""Every dimension by name: one row for each in the unit table that callers are shown."""


def to_si(value: Number, dimension: str, system: System) -> Number:
    """SI value(s) of what a caller wrote, a float or an array.

    >>> round(to_si(25.0, "pressure", System.US))
    172369
    """
    return DIMENSIONS[dimension].unit(system).to_si(value)


def from_si(value: Number, dimension: str, system: System) -> Number:
    """What a caller reads for SI value(s), a float or an array.

    >>> round(from_si(20.0, "temperature", System.US), 9)
    68.0
    """
    return DIMENSIONS[dimension].unit(system).from_si(value)


def as_written(value: float, dimension: str, system: System) -> float:
    """What a caller reads for an SI value, without the blur: 60 psi that came in goes out as 60.

    >>> as_written(to_si(60.0, "pressure", System.US), "pressure", System.US)
    60.0
    """
    return DIMENSIONS[dimension].unit(system).as_written(value)


def column_as_written(values: NDArray[np.float64], dimension: str, system: System) -> NDArray[np.float64]:
    """The same for a column of values, NaN kept."""
    converted = from_si(values, dimension, system)
    size = np.abs(np.where((converted == 0.0) | ~np.isfinite(converted), 1.0, converted))
    scale = 10.0 ** (WRITTEN_DIGITS - 1 - np.floor(np.log10(size)))
    rounded: NDArray[np.float64] = np.rint(converted * scale) / scale
    return rounded


def labels(system: System) -> dict[str, str]:
    """The unit label of every dimension: the `units` map of an answer."""
    return {name: dimension.unit(system).label for name, dimension in DIMENSIONS.items()}
