"""What a printed sheet says of an answer, in the order in which people look for it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup
from pydantic import BaseModel

from service.render.budget import BudgetLine, budget_lines
from service.render.cells import is_number, said
from service.render.listing import SUMMARY, Document, listing, plans
from service.render.material_list import MaterialList
from service.render.plain import one_line
from service.render.profile_sketch import curve_of, profile_sketch
from service.render.rounding import decimals, fixed
from service.render.rungs import Rung, rungs
from service.units.sentence import figure

MOST_ROWS = 40
"""Rows that a printed table shows. [-] Of more runs those with the lowest pressures, of more places some of each."""

MOST_COLUMNS = 9
"""Columns that fit on paper. [-]"""

HEADLINE = (
    ("flow", "flow", "flow"),
    ("inlet_pressure", "pressure", "at the inlet"),
    ("zone_inlet_pressure", "pressure", "at the zone inlet"),
    ("end_of_line_pressure", "pressure", "at the end of the line"),
    ("friction_loss", "pressure", "lost to friction"),
    ("elevation_change", "pressure", "given up to height"),
    ("velocity", "velocity", "fastest"),
    ("volume", "volume", "held by the pipe"),
)
"""Single figures that stand large at the top of a sheet, where an answer has them."""

TOLD = frozenset(
    {
        "budget",
        "findings",
        "cautions",
        "assumed",
        "runs",
        "profile",
        "thresholds",
        "end_of_line",
        "published",
        "labour",
    }
)
"""Tables that have a section of their own, or are told by one. Every other one stands at the end as it is."""


@dataclass(frozen=True, slots=True)
class Printed:
    """A table with its figures rounded, column by column, as it is printed."""

    title: str
    headings: Sequence[tuple[str, str, bool]]  # words, unit, whether its cells are figures
    rows: Sequence[Sequence[str]]
    left_out: int = 0

    @property
    def is_wide(self) -> bool:
        """Whether it has more columns than paper is wide; then each row is told by itself."""
        return len(self.headings) > MOST_COLUMNS

    @property
    def told_row_by_row(self) -> Iterator[tuple[str, list[tuple[str, str]]]]:
        """Of each row its name and whatever else it has: words, and the cell with its unit."""
        words = [heading for heading, _, _ in self.headings]
        key = words.index("id") if "id" in words else 0
        for row in self.rows:
            cells = [
                (heading, f"{cell} {unit}".rstrip())
                for place, ((heading, unit, _), cell) in enumerate(zip(self.headings, row, strict=True))
                if cell and place != key
            ]
            yield row[key], sorted(cells, key=lambda cell: cell[0] == "source")


class Sheet:
    """An answer, seen by the template of the sheet."""

    def __init__(self, model: type[BaseModel], document: Document) -> None:
        """`document` is the answer as it goes over the wire."""
        self.model = model
        self.document = document
        self.units: Mapping[str, str] = document.get("units", {})

    @property
    def title(self) -> str:
        """What the sheet is about."""
        return str(self.document.get("name") or self.model.__name__.removesuffix("Answer"))

    def measured(self, value: float, dimension: str) -> str:
        """A figure with its unit."""
        return f"{figure(value)} {self.units.get(dimension, '')}".rstrip()

    @property
    def figures(self) -> Iterator[tuple[str, str]]:
        """What stands large at the top: words and figure."""
        for key, dimension, words in HEADLINE:
            if key in self.document:
                yield words, self.measured(self.document[key], dimension)
        critical = self.document.get("critical_outlet")
        if critical:
            words = "to spare" if critical["margin"] >= 0 else "too little"
            yield f"{words} at the worst outlet", self.measured(abs(critical["margin"]), "pressure")
        if "uniformity" in self.document:
            yield "emission uniformity", f"{figure(self.document['uniformity']['emission_uniformity'])} %"
        if self.takeoff and self.takeoff.total:
            yield self.takeoff.total
        if "regulator" in self.document:
            yield "pressure regulator", self.document["regulator"]["advice"].replace("_", " ")

    @property
    def outlets(self) -> Iterator[tuple[str, str]]:
        """The lowest, the highest and the critical outlet, each in one line."""
        for name in ("lowest", "highest", "critical"):
            outlet = self.document.get(f"{name}_outlet")
            if outlet:
                at, pressure, flow = (
                    self.measured(outlet[key], dimension)
                    for key, dimension in (("at", "length"), ("pressure", "pressure"), ("flow", "outlet_flow"))
                )
                needs = f"; it needs {self.measured(outlet['minimum'], 'pressure')}" if "minimum" in outlet else ""
                yield name, f"{outlet['run']} at {at}: {pressure}, {flow}{needs}"

    @property
    def budget(self) -> Sequence[BudgetLine]:
        """The loss budget, which adds up as printed."""
        return budget_lines(self.document.get("loss_budget", ()))

    @property
    def plot(self) -> Markup | None:
        """Pressure along the line with the critical outlet, if the answer tells it."""
        critical = self.document.get("critical_outlet")
        profile = self._critical_profile
        if not critical or not profile:
            return None
        kind = "sound" if critical["margin"] >= 0 else "broken"
        run = one_line(critical["run"])
        drawing = profile_sketch(
            [curve_of(run, kind, profile)],
            least=critical["minimum"],
            title=f"Pressure along {run}",
            units=self.units,
        )
        return Markup(drawing)  # noqa: S704 - made by an XML writer, which escapes what it is given

    @property
    def _critical_profile(self) -> Sequence[Document]:
        """Rows along the run of the critical outlet."""
        if "profile" in self.document:
            rows: Sequence[Document] = self.document["profile"]
            return rows
        critical = self.document.get("critical_outlet", {}).get("run")
        runs = self.document.get("runs", ())
        return next((run.get("profile", ()) for run in runs if run["run"] == critical), ())

    @property
    def regulator(self) -> Document | None:
        """The regulator block, alone or within a check."""
        return self._block("regulator", "thresholds")

    @property
    def rungs(self) -> list[tuple[Rung, str]]:
        """The thresholds and this supply, the lowest first, each with its pressure as printed."""
        ladder = rungs(self.regulator) if self.regulator else []
        places = decimals([rung.pressure for rung in ladder])
        return [(rung, fixed(rung.pressure, places)) for rung in ladder]

    @property
    def filter(self) -> Document | None:
        """The filter block, alone or within a check."""
        return self._block("filter", "clogging_hazard")

    def _block(self, name: str, mark: str) -> Document | None:
        block = self.document.get(name) or self.document
        return block if mark in block else None

    @property
    def takeoff(self) -> MaterialList | None:
        """The takeoff of the zone, where it stands beside its check."""
        return MaterialList(self.document["takeoff"]) if "takeoff" in self.document else None

    @property
    def runs(self) -> Printed | None:
        """The runs, of many those with the lowest pressures."""
        runs = self.document.get("runs")
        if not runs:
            return None
        lowest = sorted(runs, key=lambda run: run["lowest_pressure"])[:MOST_ROWS] if len(runs) > MOST_ROWS else runs
        return self._printed("runs", {**self.document, "runs": lowest}, left_out=len(runs) - len(lowest))

    @property
    def profile(self) -> Printed | None:
        """Places along the one line that the answer is about; of many, evenly spread ones and the last."""
        rows = self.document.get("profile")
        if not rows:
            return None
        step = -(-len(rows) // MOST_ROWS)
        spread = [*rows[:-1:step], rows[-1]]
        return self._printed("profile", {**self.document, "profile": spread}, left_out=len(rows) - len(spread))

    @property
    def others(self) -> Iterator[Printed]:
        """The tables that no section tells, the single values among them where nothing has put them into words."""
        worded = "critical_outlet" in self.document or self.regulator or self.filter
        in_words = {*TOLD, SUMMARY} if worded else TOLD
        for name in plans(self.model):
            if name not in in_words:
                printed = self._printed(name, self.document)
                if printed.rows:
                    yield printed

    def _printed(self, name: str, document: Document, left_out: int = 0) -> Printed:
        shown = listing(self.model, document, name)
        columns = [[row[place] for row in shown.rows] for place in range(len(shown.columns))]
        kept = [place for place, column in enumerate(columns) if any(cell not in (None, "", []) for cell in column)]
        # Figures below each other have as many decimals each; told by itself each is told by its own digits.
        printed = _column if len(kept) <= MOST_COLUMNS else _one_by_one
        headings = [
            (
                shown.columns[place].heading.replace("_", " ").replace(".", " "),
                shown.columns[place].unit,
                _is_of_figures(columns[place]),
            )
            for place in kept
        ]
        rows = list(zip(*(printed(columns[place]) for place in kept), strict=True))
        return Printed(name.replace("_", " "), headings, rows, left_out)


def _column(cells: Sequence[Any]) -> list[str]:
    """The cells of a column as printed: its figures with as many decimals each."""
    if _is_of_figures(cells):
        numbers = [cell for cell in cells if cell is not None]
        places = 0 if all(isinstance(number, int) for number in numbers) else decimals(numbers)
        return ["" if cell is None else fixed(cell, places) for cell in cells]
    return _one_by_one(cells)


def _one_by_one(cells: Sequence[Any]) -> list[str]:
    return [figure(cell) if is_number(cell) else said(cell) for cell in cells]


def _is_of_figures(cells: Sequence[Any]) -> bool:
    """Whether whatever stands in the column is a figure."""
    there = [cell for cell in cells if cell is not None]
    return bool(there) and all(map(is_number, there))
