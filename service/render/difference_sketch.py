"""A small drawing of how far the heads of random zones are from another code's, as SVG that a page holds inline."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any
from xml.etree import ElementTree as ET

WIDTH, ROW, BAR = 640, 92, 48
"""Of the drawing, of one comparison, of the highest bar."""

LEFT, RIGHT, TOP, BOTTOM = 8, 8, 4, 40

MARKS = {-12: "10⁻¹² m", -9: "1 nm", -6: "1 µm", -3: "1 mm", 0: "1 m"}
"""Powers of ten of a metre that are named below."""


def difference_sketch(comparisons: Sequence[Mapping[str, Any]]) -> str:
    """One row of bars a comparison: how many zones lie within each power of ten, on one common axis."""
    powers = [int(power) for power in comparisons[0]["decades"]]
    frame = _Frame(powers[0], powers[-1] + 1, len(comparisons))
    title = "Zones by the largest difference of head from another code, in powers of ten of a metre"
    box = f"0 0 {WIDTH} {frame.bottom + BOTTOM}"
    drawing = ET.Element("svg", {"class": "sketch differences", "viewBox": box, "role": "img", "aria-label": title})
    ET.SubElement(drawing, "title").text = title
    drawing.extend(_axis(frame))
    for number, comparison in enumerate(comparisons):
        drawing.extend(_row(frame, number, comparison))
    return ET.tostring(drawing, encoding="unicode")


class _Frame:
    """Where powers of ten and comparisons stand in the drawing."""

    def __init__(self, least: int, most: int, rows: int) -> None:
        self.least = least
        self.decade = (WIDTH - LEFT - RIGHT) / (most - least)
        self.bottom = TOP + ROW * rows

    def x(self, power: int) -> float:
        return LEFT + self.decade * (power - self.least)

    def foot(self, row: int) -> float:
        return TOP + ROW * (row + 1) - 6


def _axis(frame: _Frame) -> Iterator[ET.Element]:
    for power, words in MARKS.items():
        x = f"{frame.x(power):.1f}"
        yield ET.Element("line", {"class": "grid", "x1": x, "x2": x, "y1": str(TOP), "y2": str(frame.bottom)})
        yield _text(words, frame.x(power), frame.bottom + 18, "middle")


def _row(frame: _Frame, number: int, comparison: Mapping[str, Any]) -> Iterator[ET.Element]:
    foot, decades = frame.foot(number), comparison["decades"]
    most = max(decades.values())
    yield _text(comparison["what"], LEFT, foot - BAR - 12, "start", "what")
    for power, count in decades.items():
        if count:
            height = max(BAR * count / most, 1.5)
            bar = {"x": f"{frame.x(int(power)) + 1:.1f}", "y": f"{foot - height:.1f}"}
            size = {"width": f"{frame.decade - 2:.1f}", "height": f"{height:.1f}"}
            drawn = ET.Element("rect", {"class": "bar", **bar, **size})
            ET.SubElement(drawn, "title").text = f"{count} zones from 1e{power} to 1e{int(power) + 1} m"
            yield drawn
    ends = {"x1": str(LEFT), "x2": str(WIDTH - RIGHT), "y1": f"{foot:.1f}", "y2": f"{foot:.1f}"}
    yield ET.Element("line", {"class": "foot", **ends})


def _text(words: str, x: float, y: float, anchor: str, kind: str = "label") -> ET.Element:
    element = ET.Element("text", {"x": f"{x:.1f}", "y": f"{y:.1f}", "text-anchor": anchor, "class": kind})
    element.text = words
    return element
