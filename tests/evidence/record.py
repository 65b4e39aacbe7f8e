"""What all rows and all comparisons come to, as the page of evidence reads it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from tests.engines.comparisons import PLANNED, compare
from tests.evidence.topics import TOPICS, Topic
from tests.published.row import Row, Source

FOLDER = Path(__file__).parent

Json = dict[str, Any]

EXACT = 12
"""Digits of what is compared: some tolerances are a tenth of a millionth. [-]"""


def digits(value: float, kept: int = 6) -> float:
    """The value to so many significant digits: more are noise of the machine that computes it."""
    return float(f"{value:.{kept}g}")


def record() -> Json:
    """Everything, computed anew."""
    return {"topics": topics(), "comparisons": [comparison(name) for name in PLANNED], **scores()}


def topics() -> list[Json]:
    """Every check, under its source, under its topic."""
    return [
        {"slug": topic.slug, "title": topic.title, "words": topic.words, "sources": list(_sources(topic))}
        for topic in TOPICS
    ]


def _sources(topic: Topic) -> list[Json]:
    by_source: dict[Source, list[Row]] = {}
    for row in topic.rows:
        by_source.setdefault(row.source, []).append(row)
    return [{**_source(source), "checks": [check(row) for row in rows]} for source, rows in by_source.items()]


def _source(source: Source) -> Json:
    told = {"title": source.title, "author": source.author, "year": source.year, "locator": source.locator}
    told |= {"address": source.address or None, "provenance": source.provenance.name.lower()}
    return {key: value for key, value in told.items() if value is not None}


def check(row: Row) -> Json:
    """One row, computed."""
    told: Json = {"what": row.what, "expected": digits(row.expected, EXACT), "computed": digits(row.compute(), EXACT)}
    told |= {"tolerance": digits(row.tolerance, 3), "relative": row.rel > 0 and row.rel >= row.abs, "why": row.why}
    if row.way is not None:
        told["way"] = {"words": row.way.words, "computed": digits(row.way.compute())}
    return told


def comparison(name: str) -> Json:
    """How far apart the service and another code are over all zones of a comparison."""
    plan, found = PLANNED[name], compare(name)
    return {
        "name": name,
        "what": plan.what,
        "other": plan.other,
        "shows": plan.shows,
        "zones": len(found.apart),
        "unsolved": found.unsolved,
        "seed": plan.first,
        "quantiles": {str(share): digits(apart, 2) for share, apart in found.quantiles.items()},
        "decades": {str(power): count for power, count in found.decades.items()},
    }


SCORES = {"mutation": FOLDER / "scores.json", "coverage": FOLDER / "coverage.json"}


def scores() -> Json:
    """What the mutation run and the coverage run left behind, where they have been run."""
    return {name: json.loads(file.read_text("utf-8")) for name, file in SCORES.items() if file.exists()}
