"""The answer of a check as a table for a terminal."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from service.render import in_words
from service.render.budget import budget_lines
from service.render.columns import Column, paragraph, shown, table
from service.render.rounding import decimals, fixed
from service.render.rungs import rungs
from service.units.sentence import figure

Document = Mapping[str, Any]

INDENT = "  "

MOST_RUNS = 40
"""Runs that the table lists; of more it lists those with the lowest pressures. [-]"""

_INKS = {"fail": "1;31", "caution": "1;33", "note": "36", "pass": "1;32", "heading": "1", "quiet": "2"}


class Report:
    """Lines of one report, of one width, with or without colour."""

    def __init__(self, document: Document, width: int, *, colour: bool) -> None:
        """`document` is the answer as it goes over the wire."""
        self.document = document
        self.units: Mapping[str, str] = document["units"]
        self.width = width
        self.colour = colour

    def __str__(self) -> str:
        sections = (
            self._headline(),
            self._findings(),
            self._budget(),
            self._runs(),
            self._supply(),
            self._regulator(),
            self._filter(),
            self._cautions(),
            self._assumed(),
            self._method(),
        )
        return "\n\n".join("\n".join(lines) for lines in map(list, sections) if lines)

    def _inked(self, text: str, ink: str) -> str:
        return f"\x1b[{_INKS[ink]}m{text}\x1b[0m" if self.colour else text

    def _heading(self, text: str) -> str:
        return self._inked(shown(text), "heading")

    def _measured(self, value: float, dimension: str) -> str:
        return in_words.measured(self.document, value, dimension)

    def _table(self, columns: Sequence[Column]) -> Iterator[str]:
        for line in table(columns, self.width - len(INDENT)):
            yield INDENT + line

    def _paragraph(self, text: str, first: str = INDENT) -> list[str]:
        return paragraph(text, self.width, first=first)

    def _numbers(self, heading: str, values: Sequence[float], dimension: str, beside: Sequence[float] = ()) -> Column:
        """A column of figures, with the decimals of those `beside` it where they are larger."""
        places = decimals([*values, *beside])
        return Column(heading, [fixed(value, places) for value in values], self.units[dimension])

    def _headline(self) -> Iterator[str]:
        answer = self.document
        verdict = answer["verdict"]
        yield f"{self._heading(answer['name'])}: {self._inked(verdict.upper(), verdict)}"
        flow = self._measured(answer["flow"], "flow")
        inlet = self._measured(answer["zone_inlet_pressure"], "pressure")
        end = answer.get("end_of_line_pressure")
        at_end = f", {self._measured(end, 'pressure')} at the end of the line" if end is not None else ""
        yield from self._paragraph(f"{flow}, {inlet} at the zone inlet{at_end}")
        for name, told in in_words.outlets(answer):
            yield from self._paragraph(told, f"{INDENT}{name:<17}")
        for told in in_words.uniformity(answer):
            yield from self._paragraph(told, f"{INDENT}{'uniformity':<17}")

    def _budget(self) -> Iterator[str]:
        lines = budget_lines(self.document["loss_budget"])
        pressure = self.units["pressure"]
        yield self._heading("Where the pressure goes, down to the outlet with the least to spare")
        yield from self._table(
            [
                Column("stage", [shown(line.stage) for line in lines], right=False),
                Column("kind", [line.kind for line in lines], right=False),
                Column("flow", [line.flow for line in lines], self.units["flow"]),
                Column("drop", [line.drop for line in lines], pressure),
                Column("height", [line.climb for line in lines], pressure),
                Column("left", [line.left for line in lines], pressure),
            ]
        )

    def _runs(self) -> Iterator[str]:
        runs = self.document.get("runs")
        if not runs:
            return
        listed = sorted(runs, key=lambda run: run["lowest_pressure"])[:MOST_RUNS] if len(runs) > MOST_RUNS else runs
        several = f", the {MOST_RUNS} of lowest pressure out of {len(runs)}" if len(listed) < len(runs) else ""
        yield self._heading(f"Runs{several}")
        figures = (
            ("in", "inlet_flow", "flow"),
            ("speed", "velocity", "velocity"),
            ("start", "inlet_pressure", "pressure"),
            ("end", "end_pressure", "pressure"),
            ("lowest", "lowest_pressure", "pressure"),
            ("lost", "friction_loss", "pressure"),
            ("height", "elevation_change", "pressure"),
            ("holds", "volume", "volume"),
        )
        columns = [Column("run", [shown(run["run"]) for run in listed], right=False)]
        for heading, key, dimension in figures:
            beside = [run["inlet_pressure"] for run in listed] if dimension == "pressure" else []
            columns.append(self._numbers(heading, [run[key] for run in listed], dimension, beside))
        yield from self._table(columns)

    def _findings(self) -> Iterator[str]:
        findings = self.document["findings"]
        yield self._heading("Findings" if findings else "Findings: none")
        for finding in findings:
            severity = finding["severity"]
            where = shown(f"{finding['where']} ({finding['code']})")
            yield f"{INDENT}{self._inked(f'{severity.upper():<8}', severity)}{where}"
            yield from self._paragraph(f"{finding['message']} [{finding['source']}]", " " * 10)

    def _supply(self) -> Iterator[str]:
        yield self._heading(f"Supply: {in_words.supply(self.document)}")
        for reason in self.document["supply"]["reasons"]:
            yield from self._paragraph(reason, f"{INDENT}- ")

    def _regulator(self) -> Iterator[str]:
        regulator = self.document["regulator"]
        advice, state = (regulator[key].replace("_", " ") for key in ("advice", "state"))
        yield self._heading(f"Regulator: {advice} (now {state})")
        yield from self._thresholds(regulator)
        if "suggested_set_pressure" in regulator:
            suggested = self._measured(regulator["suggested_set_pressure"], "pressure")
            yield from self._paragraph(f"suggested set pressure: {suggested}")
        if "tolerates" in regulator:
            takes = " to ".join(self._measured(pressure, "pressure") for pressure in regulator["tolerates"].values())
            yield from self._paragraph(f"set pressures that this zone takes: {takes}")
        if regulator["suits"]:
            yield from self._paragraph(f"parts that suit: {in_words.suiting(regulator)}")
        for reason in regulator["reasons"]:
            yield from self._paragraph(reason, f"{INDENT}- ")

    def _thresholds(self, regulator: Document) -> Iterator[str]:
        ladder = rungs(regulator)
        places = decimals([rung.pressure for rung in ladder])
        yield from self._table(
            [
                Column("supply pressure with no flow", [rung.says for rung in ladder], right=False),
                Column(self.units["pressure"], [fixed(rung.pressure, places) for rung in ladder]),
                Column(
                    "decided by",
                    ["<--" if rung.is_supply else shown(in_words.some(rung.decided_by, 1)) for rung in ladder],
                    right=False,
                    wraps=True,
                ),
            ]
        )

    def _filter(self) -> Iterator[str]:
        advice = self.document["filter"]
        yield self._heading(f"Filter: {advice['advice'].replace('_', ' ')}")
        mesh = f"{figure(advice['mesh'])} mesh, " if "mesh" in advice else ""
        opening, flow = self._measured(advice["opening"], "roughness"), self._measured(advice["flow"], "flow")
        losses = "".join(
            f", {self._measured(advice[key], 'pressure')} lost {state}"
            for key, state in (("clean_loss", "clean"), ("dirty_loss", "due for cleaning"))
            if key in advice
        )
        yield from self._paragraph(f"{advice['type']}, {mesh}openings up to {opening}, at {flow}{losses}")
        yield from self._paragraph(advice["clean_when"])
        yield from self._paragraph(f"clogging hazard: {advice['clogging_hazard']}")
        for reason in advice["reasons"]:
            yield from self._paragraph(reason, f"{INDENT}- ")

    def _cautions(self) -> Iterator[str]:
        if self.document["cautions"]:
            yield self._heading("Mind")
        for caution in self.document["cautions"]:
            yield from self._paragraph(f"{caution['topic'].replace('_', ' ')}: {caution['message']}", f"{INDENT}- ")

    def _assumed(self) -> Iterator[str]:
        if self.document["assumed"]:
            yield self._heading("Assumed, since nothing was said")
        for assumed in self.document["assumed"]:
            yield from self._paragraph(f"{assumed['what']}: {assumed['value']} ({assumed['why']})", f"{INDENT}- ")

    def _method(self) -> Iterator[str]:
        method = self.document["method"]
        water = self._measured(method["water"]["temperature"], "temperature")
        friction, steps = method["friction"].replace("_", " "), method["iterations"]
        told = (
            f"endline {self.document['version']}: friction by {friction}, water of {water}, "
            f"filter {method['filter_state']}, converged in {steps} iteration{'' if steps == 1 else 's'}."
        )
        for line in paragraph(told, self.width):
            yield self._inked(line, "quiet")
