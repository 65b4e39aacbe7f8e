"""Trade sizes as ids carry them, `0.75in` or `17mm`, and the few other figures that tell parts apart."""

from __future__ import annotations

import re

from service.units.dimensions import GALLON, HOUR, INCH, System, from_si, to_si
from service.units.sentence import Measured

_TOKEN = re.compile(r"(\d+(?:\.\d+)?)(in|mm|psi|gph|mesh|um)")

_LABELS = {"in": "in", "mm": "mm", "mesh": "mesh", "um": "µm"}

_MEASURED = {"psi": "pressure", "gph": "outlet_flow"}
"""Dimensions of what is no size of trade."""

WHOLE = 1e-6
"""Share by which a size may miss a whole number and still be one: what a conversion of units leaves. [-]"""

THREADS = {
    "0.5in": 0.622 * INCH, "0.75in": 0.824 * INCH, "1in": 1.049 * INCH, "1.25in": 1.380 * INCH, "1.5in": 1.610 * INCH,
    "2in": 2.067 * INCH, "3in": 3.068 * INCH, "4in": 4.026 * INCH,
}  # fmt: skip
"""Pipe threads by trade size, each with the bore of schedule 40 pipe of that size. [m]

Hydraulic Institute, Engineering Data Book, schedule 40 steel tables; 3 and 4 in from memory.
"""


def is_size(text: str) -> bool:
    """Whether a text is one size as ids carry it.

    >>> is_size("0.75in"), is_size("17mm"), is_size("any")
    (True, True, False)
    """
    return _TOKEN.fullmatch(text) is not None


def said(size: str) -> str | Measured:
    """A size for reading: a pressure or a flow in the reader's unit, what trade calls a size as trade does.

    >>> said("0.75in"), said("100um")
    ('0.75 in', '100 µm')
    """
    match = _TOKEN.fullmatch(size)
    if match is None:
        return size
    dimension = _MEASURED.get(match[2])
    if dimension is not None:
        return Measured(to_si(float(match[1]), dimension, System.US), dimension)
    return f"{match[1]} {_LABELS[match[2]]}"


def trade_size(nominal: str | None, bore: float) -> str:
    """The size of pipe: its trade size where it has one, else its bore [m].

    >>> trade_size("0.75in", 0.02093), trade_size(None, 0.0136)
    ('0.75in', '13.6mm')
    """
    written = (nominal or "").replace(" ", "").lower()
    return written if is_size(written) else millimetres(bore)


def outside_size(outside: float, *, metric: bool) -> str:
    """The size of a fitting that grips pipe of an outside diameter [m].

    >>> outside_size(0.7 * INCH, metric=False), outside_size(0.016, metric=True)
    ('0.7in', '16mm')
    """
    return millimetres(outside) if metric else f"{_short(outside / INCH, 3)}in"


def millimetres(length: float) -> str:
    """A small length [m] as a size: `13.6mm`."""
    return f"{_short(length * 1e3, 2)}mm"


def apart(spacing: float) -> str:
    """The spacing [m] of emitters inside tubing: whole inches where they are whole, else millimetres.

    >>> apart(0.3048), apart(0.3)
    ('12in', '300mm')
    """
    inches = spacing / INCH
    whole = round(inches)
    if whole > 0 and abs(inches - whole) <= WHOLE * whole:
        return f"{whole}in"
    return f"{_short(spacing * 1e3, 1)}mm"


def pressure_size(pressure: float) -> str:
    """A set pressure [Pa] as a size: `25psi`."""
    return f"{_short(from_si(pressure, 'pressure', System.US), 1)}psi"


def flow_size(flow: float) -> str:
    """The flow of an outlet [m³/s] as a size: `0.6gph`."""
    return f"{_short(flow / (GALLON / HOUR), 3)}gph"


def opening_size(opening: float) -> str:
    """The opening of a filter [m] as a size: `100um`."""
    return f"{_short(opening * 1e6, 1)}um"


def thread_for(bore: float, *, least: str = "0.5in", times: float = 1.0) -> str:
    """The smallest trade size whose bore is `times` that of a pipe [m], no less than `least`.

    >>> thread_for(0.57 * INCH, least="0.75in"), thread_for(1.0 * INCH)
    ('0.75in', '1in')
    """
    sizes = list(THREADS)
    fitting = (size for size in sizes[sizes.index(least) :] if THREADS[size] >= times * bore * (1 - WHOLE))
    return next(fitting, sizes[-1])


def _short(value: float, places: int) -> str:
    return f"{value:.{places}f}".rstrip("0").rstrip(".") if places else f"{value:.0f}"
