"""What a printed sheet says of an answer, in the order in which people look for it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from markupsafe import Markup
from pydantic import BaseModel

from service.render import in_words
from service.render.budget import BudgetLine, budget_lines
from service.render.listing import SUMMARY, Document, listing, plans
from service.render.material_list import MaterialList
from service.render.plot import Plot, Size, inline
from service.render.printed import Printed, printed
from service.render.rounding import decimals, fixed
from service.render.run_groups import RunGroup, run_groups
from service.render.rungs import Rung, rungs
from service.units.sentence import figure

MOST_ROWS = 40
"""Rows that a printed table of places shows. [-] Of more some are shown, evenly spread."""

TITLE, PICTURE, TAKEOFF = "title", "picture", "takeoff"
"""Where a sheet finds what to stand under, what its picture is drawn from, and the takeoff of the zone."""

WIDTH, HEIGHTS, DPI = 720, {"profile": 280, "response": 400}, 100
"""Size of a picture: as wide as the text on paper, and as high as it takes. [px]"""

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
        "uniformity",
        "published",
        "labour",
    }
)
"""Tables that have a section of their own, or are told by one. Every other one stands at the end as it is."""

TOLD_OF_A_ZONE = frozenset({"limits", "regulators", "filters"})
"""Tables that the sheet of a whole zone tells in a few words: whoever chooses among parts asks for the advice."""


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
        named = self.document.get("part", self.document)
        told = str(self.document.get(TITLE) or named.get("name") or "")
        title = told if told.strip() else self.model.__name__.removesuffix("Answer")
        return title if self.is_of_a_zone or "thresholds" not in self.document else f"Regulator for {title}"

    def measured(self, value: float, dimension: str) -> str:
        """A figure with its unit."""
        return in_words.measured(self.document, value, dimension)

    @property
    def figures(self) -> Iterator[tuple[str, str]]:
        """What stands large at the top: words and figure."""
        yield from self._advice_on_a_regulator()
        yield from self._advice_on_a_filter()
        for key, dimension, words in HEADLINE:
            if key in self.document:
                yield words, self.measured(self.document[key], dimension)
        critical = self.document.get("critical_outlet")
        if critical:
            words = "to spare" if critical["margin"] >= 0 else "too little"
            yield f"{words} at the worst outlet", self.measured(abs(critical["margin"]), "pressure")
        if "uniformity" in self.document:
            yield "emission uniformity", f"{figure(self.document['uniformity']['emission_uniformity'])} %"
        if "regulator" in self.document:
            yield "pressure regulator", in_words.words(self.document["regulator"]["advice"])

    def _advice_on_a_regulator(self) -> Iterator[tuple[str, str]]:
        """Of an answer that is about nothing else."""
        if "thresholds" not in self.document:
            return
        yield "pressure regulator", in_words.words(self.document["advice"])
        yield "this supply, no flow", self.measured(self.document["supply_pressure"], "pressure")
        if "suggested_set_pressure" in self.document:
            yield "suggested set pressure", self.measured(self.document["suggested_set_pressure"], "pressure")
        if "tolerates" in self.document:
            bounds = self.document["tolerates"]
            least, most = (self.measured(bounds[end], "pressure") if end in bounds else "" for end in ("least", "most"))
            yield "the zone takes", f"{least.split()[0]} to {most}" if most else f"{least} on"

    def _advice_on_a_filter(self) -> Iterator[tuple[str, str]]:
        """Of an answer that is about nothing else."""
        if "clogging_hazard" not in self.document:
            return
        yield "filter", in_words.words(self.document["advice"])
        yield "type", str(self.document["type"])
        if "mesh" in self.document:
            yield "mesh", figure(self.document["mesh"])
        yield "openings up to", self.measured(self.document["opening"], "roughness")
        for key, words in (("clean_loss", "lost when clean"), ("dirty_loss", "lost when due for cleaning")):
            if key in self.document:
                yield words, self.measured(self.document[key], "pressure")

    @property
    def particulars(self) -> Iterator[tuple[str, str]]:
        """What stands below: the supply, outlets of note, how evenly they water, each in one line."""
        if "supply" in self.document:
            limits = " ".join(self.document["supply"]["reasons"][:1])
            yield "supply", f"{in_words.supply(self.document)}. {limits}"
        yield from in_words.outlets(self.document)
        for told in in_words.uniformity(self.document):
            yield "uniformity", told

    @property
    def budget(self) -> Sequence[BudgetLine]:
        """The loss budget, which adds up as printed."""
        return budget_lines(self.document.get("loss_budget", ()))

    @property
    def plot(self) -> Markup | None:
        """The first plot that the answer has."""
        picture = self.document.get(PICTURE)
        if picture is None:
            return None
        plot = picture["plot"]
        return inline(picture["of"], Plot(plot, Size(WIDTH, HEIGHTS[plot], DPI, captioned=False)))

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
    def is_of_a_zone(self) -> bool:
        """Whether it tells of a whole zone, and the regulator and the filter in it are two matters among others."""
        return "verdict" in self.document

    @property
    def takeoff(self) -> MaterialList | None:
        """The takeoff of the zone, where it stands beside its check."""
        return MaterialList(self.document[TAKEOFF]) if TAKEOFF in self.document else None

    @property
    def runs(self) -> list[RunGroup]:
        """The runs, each with all its copies."""
        return list(run_groups(self.document.get("runs", ())))

    @property
    def left_out(self) -> int:
        """How many places along the one line that the answer is about are not printed."""
        return len(self.document.get("profile", ())) - len(self._spread)

    @property
    def _spread(self) -> Sequence[Document]:
        """Places along the one line; of many, evenly spread ones and the last."""
        rows = self.document.get("profile", ())
        step = -(-len(rows) // MOST_ROWS) or 1
        return [*rows[:-1:step], *rows[-1:]]

    @property
    def profile(self) -> Printed | None:
        """Places along the one line that the answer is about."""
        spread = self._spread
        return next(self._printed("profile", {**self.document, "profile": spread}), None) if spread else None

    @property
    def others(self) -> Iterator[Printed]:
        """The tables that no section tells, the single values among them where nothing has put them into words."""
        worded = "critical_outlet" in self.document or self.regulator or self.filter
        in_words = TOLD | ({SUMMARY} if worded else set()) | (TOLD_OF_A_ZONE if self.is_of_a_zone else set())
        for name in plans(self.model):
            if name not in in_words:
                yield from self._printed(name, self.document)

    def _printed(self, name: str, document: Document) -> Iterator[Printed]:
        return printed(listing(self.model, document, name))
