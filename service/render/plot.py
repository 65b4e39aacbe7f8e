"""Plots of an answer by the name that `plot=` takes, drawn by the module of that name in `service.render.pictures`."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from importlib import import_module
from typing import Any

from markupsafe import Markup

PLOTS = ("profile", "budget", "response", "plan")
"""Every plot. Which of them an answer has depends on what was asked."""

POINTS_PER_INCH = 72.0

NAMES_OF_GROUPS = re.compile(r' id="[A-Za-z]+[_.][^"]*"')
"""Ids that nothing in a drawing refers to. Two drawings on a page would have the same ones."""


@dataclass(frozen=True, slots=True)
class Size:
    """How large a picture is. Type keeps its size on paper, so with more dots to the inch it takes more of them."""

    width: int  # [px]
    height: int  # [px]
    dpi: int  # dots to the inch
    captioned: bool = True  # whether title and footer are drawn, or the page that holds the picture has them

    @property
    def inches(self) -> tuple[float, float]:
        """Width and height on paper. [in]"""
        return self.width / self.dpi, self.height / self.dpi

    @property
    def points(self) -> float:
        """Width on paper. [points]"""
        return self.width / self.dpi * POINTS_PER_INCH


@dataclass(frozen=True, slots=True)
class Plot:
    """A plot as it is asked for."""

    name: str
    size: Size


def drawn(document: Mapping[str, Any], plot: Plot, form: str) -> bytes:
    """The plot of a document made for it, as `png` or `svg`."""
    # Late: the plotting library takes a second to load, and most services never draw.
    module = import_module(f"service.render.pictures.{plot.name}")
    draw: Callable[[Mapping[str, Any], Size, str], bytes] = module.draw
    return draw(document, plot.size, form)


def inline(document: Mapping[str, Any], plot: Plot) -> Markup:
    """The plot as an element of a page."""
    drawing = NAMES_OF_GROUPS.sub("", drawn(document, plot, "svg").decode())
    return Markup(drawing[drawing.index("<svg") :])  # noqa: S704 - made by an XML writer, which escapes what it is given
