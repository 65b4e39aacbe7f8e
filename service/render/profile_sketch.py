"""A small drawing of pressure along lines of tubing, as SVG that a page holds inline and colours by its own sheet."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from xml.etree import ElementTree as ET

from service.units.sentence import figure

WIDTH, HEIGHT = 640, 300
LEFT, RIGHT, TOP, BOTTOM = 44, 14, 42, 54

TICKS = 6
"""Most ticks on an axis. [-]"""

MOST_POINTS = 200
"""Points drawn of a line; a longer profile is thinned out, its ends kept. [-]"""


@dataclass(frozen=True, slots=True)
class Curve:
    """Pressure along one line, in the units of the drawing."""

    label: str
    kind: str  # class of the curve in the style sheet
    at: Sequence[float]
    pressure: Sequence[float]


def curve_of(label: str, kind: str, profile: Sequence[Mapping[str, Any]]) -> Curve:
    """The curve of a profile as an answer holds it."""
    step = max(1, math.ceil(len(profile) / MOST_POINTS))
    kept = [*profile[:-1:step], profile[-1]]
    return Curve(label, kind, [row["at"] for row in kept], [row["pressure"] for row in kept])


def profile_sketch(curves: Sequence[Curve], *, least: float, title: str, units: Mapping[str, str]) -> str:
    """The curves over distance, with the `least` pressure that the outlets need as a dashed line."""
    longest = max(max(curve.at) for curve in curves)
    across = [reading for reading in ticks(longest) if reading <= longest]
    up = ticks(max(least, *(max(curve.pressure) for curve in curves)))
    frame = _Frame(longest, up[-1])
    box = f"0 0 {WIDTH} {HEIGHT}"
    drawing = ET.Element("svg", {"class": "sketch", "viewBox": box, "role": "img", "aria-label": title})
    ET.SubElement(drawing, "title").text = title
    drawing.extend(_axes(frame, across, up, units))
    y = f"{frame.y(least):.1f}"
    ends = {"x1": str(LEFT), "x2": str(WIDTH - RIGHT), "y1": y, "y2": y}
    drawing.append(ET.Element("line", {"class": "least", **ends}))
    needed = f"the outlets need {figure(least)} {units['pressure']}"
    drawing.append(_text(needed, WIDTH - RIGHT, frame.y(least) - 6, "end", "least-label"))
    for curve in curves:
        drawing.extend(_drawn(frame, curve))
    return ET.tostring(drawing, encoding="unicode")


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where readings stand in the drawing."""

    longest: float
    highest: float

    def x(self, at: float) -> float:
        return LEFT + (WIDTH - LEFT - RIGHT) * at / self.longest

    def y(self, pressure: float) -> float:
        return HEIGHT - BOTTOM - (HEIGHT - TOP - BOTTOM) * max(pressure, 0.0) / self.highest


def ticks(largest: float) -> list[float]:
    """Readings from 0 to the first one not below `largest`, in steps of 1, 2 or 5 times a power of ten.

    >>> ticks(23.4)
    [0.0, 5.0, 10.0, 15.0, 20.0, 25.0]
    """
    if largest <= 0:
        return [0.0, 1.0]
    magnitude = 10.0 ** math.floor(math.log10(largest / (TICKS - 1)))
    step = next(m * magnitude for m in (1, 2, 5, 10) if largest / (m * magnitude) <= TICKS - 1)
    return [round(step * count, 9) for count in range(math.ceil(largest / step - 1e-9) + 1)]


def _axes(
    frame: _Frame, across: Sequence[float], up: Sequence[float], units: Mapping[str, str]
) -> Iterator[ET.Element]:
    for reading in up:
        y = f"{frame.y(reading):.1f}"
        yield ET.Element("line", {"class": "grid", "x1": str(LEFT), "x2": str(WIDTH - RIGHT), "y1": y, "y2": y})
        yield _text(figure(reading), LEFT - 6, frame.y(reading) + 4, "end")
    for reading in across:
        yield _text(figure(reading), frame.x(reading), HEIGHT - BOTTOM + 22, "middle")
    yield _text(f"pressure, {units['pressure']}", 4, TOP - 24, "start")
    yield _text(f"distance along the line, {units['length']}", WIDTH - RIGHT, HEIGHT - 6, "end")


def _drawn(frame: _Frame, curve: Curve) -> Iterator[ET.Element]:
    places = [(frame.x(at), frame.y(pressure)) for at, pressure in zip(curve.at, curve.pressure, strict=True)]
    points = " ".join(f"{x:.1f},{y:.1f}" for x, y in places)
    yield ET.Element("polyline", {"class": f"curve {curve.kind}", "points": points})
    x, y = places[-1]
    yield ET.Element("circle", {"class": f"end {curve.kind}", "cx": f"{x:.1f}", "cy": f"{y:.1f}", "r": "4"})
    beside = x < WIDTH / 2
    yield _text(curve.label, x + 9 if beside else x, y + 4 if beside else y - 10, "start" if beside else "end")


def _text(words: str, x: float, y: float, anchor: str, kind: str = "label") -> ET.Element:
    place = {"x": f"{x:.1f}", "y": f"{y:.1f}", "text-anchor": anchor, "class": kind}
    element = ET.Element("text", place)
    element.text = words
    return element
