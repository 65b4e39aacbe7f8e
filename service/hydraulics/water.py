"""Density and viscosity of liquid water at atmospheric pressure."""

from dataclasses import dataclass

from service.hydraulics.constants import STANDARD_GRAVITY


def density(temperature: float) -> float:
    """Density of air-free water after Kell [1], 0 to 60 °C. [kg/m³]

    Parameters
    ----------
    temperature : water temperature. [°C]

    Examples
    --------
    >>> round(density(20.0), 2)
    998.2

    References
    ----------
    [1] G. S. Kell, "Density, thermal expansivity, and compressibility of liquid water from 0° to 150 °C",
        J. Chem. Eng. Data 20 (1), 1975, 97-105, equation 16.
    """
    t = temperature
    numerator = 999.83952 + t * (
        16.945176 + t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 - 280.54253e-12 * t)))
    )
    return numerator / (1.0 + 16.879850e-3 * t)


def dynamic_viscosity(temperature: float) -> float:
    """Dynamic viscosity after Kestin, Sokolov and Wakeham [1], 0 to 60 °C. [Pa s]

    Within 0.1 % of IAPWS R12-08 up to 50 °C and 0.25 % up to 60 °C.

    Parameters
    ----------
    temperature : water temperature. [°C]

    Examples
    --------
    >>> round(dynamic_viscosity(20.0), 6)
    0.001002

    References
    ----------
    [1] J. Kestin, M. Sokolov, W. A. Wakeham, "Viscosity of liquid water in the range -8 °C to 150 °C",
        J. Phys. Chem. Ref. Data 7 (3), 1978, 941-948, equation 15.
    """
    below = 20.0 - temperature
    exponent = below / (temperature + 96.0) * (1.2364 + below * (-1.37e-3 + below * 5.7e-6))
    return float(1002.0e-6 * 10.0**exponent)


@dataclass(frozen=True, slots=True)
class Water:
    """Water at one temperature."""

    temperature: float  # [°C]
    density: float  # [kg/m³]
    kinematic_viscosity: float  # [m²/s]

    @classmethod
    def at(cls, temperature: float) -> "Water":
        """Water at a temperature in °C, 0 to 60."""
        rho = density(temperature)
        return cls(temperature=temperature, density=rho, kinematic_viscosity=dynamic_viscosity(temperature) / rho)

    @property
    def specific_weight(self) -> float:
        """Pressure of one metre of this water. [Pa/m]"""
        return self.density * STANDARD_GRAVITY
