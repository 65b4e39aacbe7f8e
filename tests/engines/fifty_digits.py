"""The laws written out for mpmath, with as many digits as it is told to carry, and laterals walked up from their ends.

Whatever a double loses shows against them. Nothing of the service is used: every law is written again from its source.
A lateral needs no root finding: with the pressure at its dead end known, each outlet's flow gives the flow of the link
above it, that flow the head above that, and so on to the inlet.
"""

from __future__ import annotations

from collections.abc import Sequence

import mpmath
from mpmath import mpf

from tests.networks import SMOOTH, VISCOSITY, Kind

Number = mpmath.mpf

G = mpf("9.80665")


def darcy_weisbach(
    flow: Number, length: float, bore: float, *, roughness: float = SMOOTH, k: float = 0.0, viscosity: float = VISCOSITY
) -> Number:
    """Loss at a flow above zero. [m] S. W. Churchill, Chemical Engineering 84 (24), 1977, 91-92."""
    velocity = flow / (mpmath.pi * mpf(bore) ** 2 / 4)
    reynolds = velocity * bore / viscosity
    wall = (7 / reynolds) ** mpf("0.9") + mpf("0.27") * roughness / bore
    a = (mpf("2.457") * mpmath.log(1 / wall)) ** 16
    b = (37530 / reynolds) ** 16
    factor = 8 * ((8 / reynolds) ** 12 + (a + b) ** mpf("-1.5")) ** (mpf(1) / 12)
    return (factor * length / bore + k) * velocity**2 / (2 * G)


def hazen_williams(flow: Number, length: float, bore: float, *, c: float = 150.0, k: float = 0.0) -> Number:
    """Loss at a flow above zero, straight below 1e-9 m³/s, as the service states. [m]"""
    velocity = flow / (mpmath.pi * mpf(bore) ** 2 / 4)
    smooth = mpf(c) ** mpf("1.852") * mpf(bore) ** mpf("4.8704")
    friction = mpf("10.67") * length * flow * max(flow, mpf("1e-9")) ** mpf("0.852") / smooth
    return friction + k * velocity**2 / (2 * G)


FRICTION = {"darcy_weisbach": darcy_weisbach, "hazen_williams": hazen_williams}


def outlet(kind: Kind, head: Number) -> Number:
    """Flow of one outlet at its working head, straight in the first tenth of a millimetre. [m³/s]"""
    if kind.exponent:
        return kind.flow * _root(head / kind.at, mpf(kind.exponent), mpf("1e-4") / kind.at)
    if head > kind.saturates:
        return kind.flow * mpmath.sqrt(head / kind.saturates)
    if head >= kind.at:
        return mpf(kind.flow)
    opening = mpf(kind.at) - mpf(kind.closing)
    return kind.flow * _root((head - kind.closing) / opening, mpf("0.5"), min(mpf("1e-4") / opening, mpf("0.01")))


def _root(share: Number, exponent: Number, straight: Number) -> Number:
    if share <= 0:
        return mpf(0)
    return share**exponent if share > straight else share * straight ** (exponent - 1)


def behind_tube(kind: Kind, head: Number, law: str = "darcy_weisbach") -> Number:
    """Flow of one outlet on its small tube, from the pressure head in the pipe. [m³/s]"""
    length, bore, rise = kind.tube or (0.0, 1.0, 0.0)
    low, high = mpf(0), mpf(head) - rise
    for _ in range(mpmath.mp.prec + 10):
        middle = (low + high) / 2
        flow = outlet(kind, middle)
        enough = middle + (FRICTION[law](flow, length, bore) if flow else 0) > head - rise
        low, high = (low, middle) if enough else (middle, high)
    return outlet(kind, (low + high) / 2)


def walked_up(
    kinds: Sequence[Kind], *, at_end: float, lengths: Sequence[float], bore: float, heights: Sequence[float], law: str
) -> tuple[list[Number], list[Number]]:
    """Heads of the nodes, from the inlet on, and flows of the links, of a lateral with this pressure head at its end.

    One outlet of each kind in a row, each at the end of its link, at these heights above the inlet.
    """
    head, carried = mpf(at_end) + heights[-1], mpf(0)
    heads, flows = [head], []
    for kind, length, height in zip(reversed(kinds), reversed(lengths), reversed(heights), strict=True):
        carried += outlet(kind, head - height)
        head += FRICTION[law](carried, length, bore)
        heads.append(head)
        flows.append(carried)
    return heads[::-1], flows[::-1]
