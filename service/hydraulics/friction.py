"""Friction along round pipe, in every flow regime, with its derivative by flow."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from service.hydraulics.arrays import Floats
from service.hydraulics.constants import STANDARD_GRAVITY

REYNOLDS_FLOOR = 1.0
"""Below this Reynolds number flow is laminar to the last bit of a double, so the factor need not be asked. [-]"""

REYNOLDS_CEILING = 1e12
"""Above this Reynolds number, which only a trial of the solver that goes far astray meets, f Re is held: its powers
would pass the largest double. [-]"""

LAMINAR = 64.0**12
CHURCHILL_A = 2.457**16 / 8.0**8
CHURCHILL_B = 37530.0**16 / 8.0**8
"""Churchill's constants, raised to the powers and over the factors in which they are used, see `friction_number`."""

HAZEN_WILLIAMS_COEFFICIENT = 10.67
HAZEN_WILLIAMS_FLOW_EXPONENT = 1.852
HAZEN_WILLIAMS_BORE_EXPONENT = 4.8704
"""h = 10.67 L Q^1.852 / (C^1.852 D^4.8704), m and m³/s. Other roundings in print differ by up to 0.8 %."""

HAZEN_WILLIAMS_LINEAR_FLOW = 1e-9
"""Flow below which Hazen-Williams is a straight line to zero (0.0036 L/h). [m³/s] Chosen here."""


BLOCK = 2**12
"""Links times scenarios whose friction is worked out at a time: the arrays of one block stay in the nearest cache."""


@dataclass(frozen=True, slots=True)
class Pipes:
    """Lengths of pipe, as columns of one table."""

    length: Floats  # (n,) along the pipe, equivalent lengths of connections included [m]
    bore: Floats  # (n,) inside diameter [m]
    roughness: Floats  # (n,) absolute [m]
    smoothness: Floats  # (n,) Hazen-Williams C [-]
    local: Floats  # (n,) sum of the K of fittings, on this bore's velocity [-]

    @property
    def area(self) -> Floats:
        """Cross-section. (n,) [m²]"""
        return np.pi / 4 * np.square(self.bore)


class FrictionLaw(Protocol):
    """Head loss of one table of pipes as a function of flow."""

    def loss(self, flow: Floats) -> tuple[Floats, Floats]:
        """Head loss with the sign of the flow [m], and its derivative by flow [s/m²]; both (..., n)."""


def friction_number(reynolds: Floats, relative_roughness: Floats | float) -> tuple[Floats, Floats]:
    """Darcy friction factor times Reynolds number after Churchill [1], and its logarithmic slope.

        f = 8 [(8/Re)^12 + (A + B)^(-3/2)]^(1/12)
        A = [2.457 ln(1 / ((7/Re)^0.9 + 0.27 e/D))]^16        B = (37530/Re)^16

    The product f Re is what head loss needs: it stays 64 down to standstill, where f alone grows without bound.

    Parameters
    ----------
    reynolds : (..., n) Reynolds number, from 1 to 1e12. [-]
    relative_roughness : (n,) or scalar, roughness over bore. [-]

    Returns
    -------
    number : (..., n) f Re, with f four times the Fanning factor. [-]
    slope : (..., n) d ln f / d ln Re, from -1 (laminar) to 0 (fully rough) and above it in transition. [-]

    Notes
    -----
    Laminar flow is met exactly and the regimes join without a step, so Newton sees no jump where a lateral slows
    down towards its last emitter. Between Re 2000 and 4000 no formula is better than its guess.

    Examples
    --------
    >>> number, slope = friction_number(np.array([64.0, 1e5]), 1e-4)
    >>> (number / np.array([64.0, 1e5])).round(5)
    array([1.     , 0.01846])

    References
    ----------
    [1] S. W. Churchill, "Friction-factor equation spans all fluid-flow regimes", Chemical Engineering 84 (24),
        1977, 91-92.
    """
    # The hottest lines of the service: arrays are reused in place, and powers are products, for pow() is dear. With
    # both sides times Re the laminar term is a constant: (f Re)^12 = 64^12 + [(8 Re)^8 / (A + B)]^(3/2), and with
    # Re^16 above and below the bar B is one too.
    smooth = np.log(reynolds)
    smooth *= -0.9
    smooth += 0.9 * np.log(7.0)
    np.exp(smooth, out=smooth)
    wall = smooth + 0.27 * relative_roughness
    depth = np.log(wall)
    cube = depth * depth * depth
    steepening = np.square(np.square(cube))
    steepening *= cube
    a = steepening * depth
    a *= CHURCHILL_A
    smooth /= wall
    steepening *= smooth
    steepening *= 0.9 * CHURCHILL_A
    to_8 = np.square(np.square(np.square(reynolds)))
    to_16 = np.square(to_8)
    a *= to_16
    a += CHURCHILL_B
    steepening *= to_16
    steepening += CHURCHILL_B
    over = np.divide(1.0, a, out=a)
    steepening *= over
    to_8 *= to_16
    over *= to_8
    turbulent = np.sqrt(over)
    turbulent *= over
    slope = steepening
    slope *= turbulent
    slope *= 2.0
    slope -= LAMINAR
    turbulent += LAMINAR
    slope /= turbulent
    number = np.log(turbulent, out=turbulent)
    number /= 12.0
    np.exp(number, out=number)
    return number, slope


def friction_factor(reynolds: Floats, relative_roughness: Floats | float) -> Floats:
    """Darcy friction factor after Churchill, see `friction_number`. (..., n) [-]"""
    factor: Floats = friction_number(reynolds, relative_roughness)[0] / reynolds
    return factor


class DarcyWeisbach:
    """h = (f L/D + ΣK) v |v| / 2g with Churchill's factor."""

    def __init__(self, pipes: Pipes, *, viscosity: float) -> None:
        """Fix the pipes and the kinematic viscosity [m²/s]."""
        area = pipes.area
        self._reynolds_per_flow = pipes.bore / (area * viscosity)
        self._relative_roughness = pipes.roughness / pipes.bore
        self._laminar = viscosity * pipes.length / (2 * STANDARD_GRAVITY * np.square(pipes.bore) * area)
        self._local = pipes.local / (2 * STANDARD_GRAVITY * np.square(area))

        self._fitted = bool(pipes.local.any())

    def loss(self, flow: Floats) -> tuple[Floats, Floats]:
        """Head loss with the sign of the flow [m], and its derivative by flow [s/m²]; both (..., n)."""
        if flow.size <= BLOCK:
            return self._loss(flow, slice(None))
        table = flow.reshape(-1, flow.shape[-1])
        loss, resistance = np.empty_like(table), np.empty_like(table)
        for rows, links in _blocks(*table.shape):
            loss[rows, links], resistance[rows, links] = self._loss(table[rows, links], links)
        return loss.reshape(flow.shape), resistance.reshape(flow.shape)

    def _loss(self, flow: Floats, part: slice) -> tuple[Floats, Floats]:
        size = np.abs(flow)
        reynolds = size * self._reynolds_per_flow[part]
        np.maximum(reynolds, REYNOLDS_FLOOR, out=reynolds)
        np.minimum(reynolds, REYNOLDS_CEILING, out=reynolds)
        per_flow, slope = friction_number(reynolds, self._relative_roughness[part])
        per_flow *= self._laminar[part]
        slope += 2.0
        slope *= per_flow
        if self._fitted:
            size *= self._local[part]
            per_flow += size
            slope += size
            slope += size
        per_flow *= flow
        return per_flow, slope


def _blocks(rows: int, links: int) -> Iterator[tuple[slice, slice]]:
    """Parts of a table of scenarios and links, of at most `BLOCK` each."""
    wide = min(links, BLOCK)
    high = max(BLOCK // wide, 1)
    for row in range(0, rows, high):
        for link in range(0, links, wide):
            yield slice(row, row + high), slice(link, link + wide)


class HazenWilliams:
    """h = 10.67 L Q^1.852 / (C^1.852 D^4.8704) + ΣK v |v| / 2g, for comparison with handbook tables.

    Linear below `HAZEN_WILLIAMS_LINEAR_FLOW`. References: A. Hazen and G. S. Williams, "Hydraulic Tables", 1905; SI
    form in common use.
    """

    def __init__(self, pipes: Pipes) -> None:
        """Fix the pipes."""
        self._resistance = (
            HAZEN_WILLIAMS_COEFFICIENT
            * pipes.length
            / (pipes.smoothness**HAZEN_WILLIAMS_FLOW_EXPONENT * pipes.bore**HAZEN_WILLIAMS_BORE_EXPONENT)
        )
        self._local = pipes.local / (2 * STANDARD_GRAVITY * np.square(pipes.area))
        self._fitted = bool(pipes.local.any())

    def loss(self, flow: Floats) -> tuple[Floats, Floats]:
        """Head loss with the sign of the flow [m], and its derivative by flow [s/m²]; both (..., n)."""
        size = np.abs(flow)
        per_flow = np.log(np.maximum(size, HAZEN_WILLIAMS_LINEAR_FLOW))
        per_flow *= HAZEN_WILLIAMS_FLOW_EXPONENT - 1.0
        np.exp(per_flow, out=per_flow)
        per_flow *= self._resistance
        slope = np.where(size > HAZEN_WILLIAMS_LINEAR_FLOW, HAZEN_WILLIAMS_FLOW_EXPONENT, 1.0)
        slope *= per_flow
        if self._fitted:
            size *= self._local
            per_flow += size
            slope += size
            slope += size
        per_flow *= flow
        return per_flow, slope


def friction_law(pipes: Pipes, *, law: str, viscosity: float) -> FrictionLaw:
    """Law of that name, `darcy_weisbach` or `hazen_williams`, fixed to these pipes. viscosity [m²/s]"""
    return HazenWilliams(pipes) if law == "hazen_williams" else DarcyWeisbach(pipes, viscosity=viscosity)
