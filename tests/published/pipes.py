"""Lengths of pipe and what the service loses in them, for the rows."""

import fluids
import numpy as np

from service.hydraulics.arrays import Floats
from service.hydraulics.friction import FrictionLaw, Pipes, friction_law


def pipe(
    *, length: float, bore: float, roughness: float = 1.5e-6, smoothness: float = 150.0, local: float = 0.0
) -> Pipes:
    """One length of pipe."""
    return Pipes(*(np.array([value]) for value in (length, bore, roughness, smoothness, local)))


def loss(law: FrictionLaw, flow: float) -> float:
    """Head that one length of pipe loses. [m]"""
    return float(law.loss(np.array([flow]))[0][0])


def darcy_weisbach(*, length: float, bore: float, roughness: float, viscosity: float, flow: float) -> float:
    """Head loss by the service's Darcy-Weisbach law. [m]"""
    pipes = pipe(length=length, bore=bore, roughness=roughness)
    return loss(friction_law(pipes, law="darcy_weisbach", viscosity=viscosity), flow)


def by_colebrook(*, length: float, bore: float, roughness: float, viscosity: float, flow: float) -> float:
    """Head loss with the factor of Colebrook, which handbooks print, as another library solves for it. [m]"""
    velocity = flow / (np.pi / 4 * bore**2)
    factor = fluids.Colebrook(velocity * bore / viscosity, roughness / bore)
    return float(factor * length / bore * velocity**2 / (2 * 9.80665))


def hazen_williams(*, length: float, bore: float, smoothness: float, flow: float) -> float:
    """Head loss by the service's Hazen-Williams law. [m]"""
    pipes = pipe(length=length, bore=bore, smoothness=smoothness)
    return loss(friction_law(pipes, law="hazen_williams", viscosity=1e-6), flow)


class PowerLaw:
    """h = r Q^m: a source's own friction law, to compute its example the source's way in the service's network."""

    def __init__(self, resistance: Floats, exponent: float) -> None:
        """Fix r of each link [m (s/m³)^m] and m [-]."""
        self._resistance = resistance
        self._exponent = exponent

    def loss(self, flow: Floats) -> tuple[Floats, Floats]:
        """Head loss with the sign of the flow [m], and its derivative by flow [s/m²]."""
        per_flow = self._resistance * np.abs(flow) ** (self._exponent - 1)
        return per_flow * flow, self._exponent * per_flow
