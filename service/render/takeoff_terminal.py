"""A takeoff as a table for a terminal."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain
from typing import Any

from service.render.columns import Column, paragraph, shown, table
from service.render.material_list import MaterialList

INDENT = "  "

_INKS = {"heading": "1", "quiet": "2", "caution": "1;33"}


class Report:
    """Lines of one list of materials, of one width, with or without colour."""

    def __init__(self, document: dict[str, Any], width: int, *, colour: bool) -> None:
        """`document` is the answer as it goes over the wire."""
        self.document = document
        self.list = MaterialList(document)
        self.width = width
        self.colour = colour

    def __str__(self) -> str:
        sections = (self._headline(), self._lines(), self._labour(), self._totals(), *self._remarks(), self._footer())
        return "\n\n".join("\n".join(lines) for lines in map(list, sections) if lines)

    def _inked(self, text: str, ink: str) -> str:
        return f"\x1b[{_INKS[ink]}m{text}\x1b[0m" if self.colour else text

    def _heading(self, text: str) -> str:
        return self._inked(shown(text), "heading")

    def _table(self, columns: list[Column]) -> Iterator[str]:
        for line in table(columns, self.width - len(INDENT)):
            yield INDENT + line

    def _headline(self) -> Iterator[str]:
        zones = self.document["zones"]
        yield self._heading(self.list.title)
        outlets = sum(zone["outlets"] for zone in zones)
        many = "1 zone" if len(zones) == 1 else f"{len(zones)} zones"
        yield INDENT + f"{many}, {outlets} outlets, {len(self.document['lines'])} lines"

    def _lines(self) -> Iterator[str]:
        sections = list(self.list.sections)
        lines = [line for section in sections for line in section.lines]
        columns = [
            Column("part", [shown(line.part) for line in lines], right=False, wraps=True),
            Column("quantity", [line.quantity for line in lines]),
            Column("", [line.unit for line in lines], right=False),
            Column("buy", [line.buy for line in lines], right=False),
        ]
        if self.list.totals:
            columns.append(Column(self.list.currency, [line.amount or "no price" for line in lines]))
        yield from self._table(columns)

    def _labour(self) -> Iterator[str]:
        tasks = self.list.labour
        if tasks:
            yield self._heading("Labour")
            yield from self._table(
                [
                    Column("task", [shown(task.task) for task in tasks], right=False, wraps=True),
                    Column("for", [task.much for task in tasks], right=False),
                    Column("hours", [task.hours for task in tasks]),
                    Column("an hour", [task.rate for task in tasks]),
                    Column(self.list.currency, [task.amount for task in tasks]),
                ]
            )

    def _totals(self) -> Iterator[str]:
        totals = self.list.totals
        if totals is None:
            return
        rows = list(self.list.sums)
        yield self._heading("What it comes to")
        yield from self._table(
            [
                Column("", [words for words, _, _ in rows], right=False),
                Column(self.list.currency, [amount for _, amount, _ in rows]),
            ]
        )
        if not totals["complete"]:
            yield from paragraph(self._inked(totals["says"], "caution"), self.width, first=INDENT)
        if self.list.range:
            yield from paragraph(self.list.range, self.width, first=INDENT)
        for told in (totals["formula"], totals["rounding"]):
            yield from paragraph(told, self.width, first=INDENT)

    def _remarks(self) -> Iterator[list[str]]:
        remarks = {
            "Notes": self.list.notes,
            "Mind": self.list.cautions,
            "Assumed, since nothing was said": self.list.assumed,
        }
        for heading, entries in remarks.items():
            told = (f"{name}: {words}" + (f" ({why})" if why else "") for name, words, why in entries)
            lines = chain(*(paragraph(line, self.width, first=f"{INDENT}- ") for line in told))
            yield [self._heading(heading), *lines] if entries else []

    def _footer(self) -> Iterator[str]:
        told = f"endline {self.document['version']}. --json tells the rule behind each count, and each zone's share."
        yield self._inked(told, "quiet")
