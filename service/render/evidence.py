"""The checks of the numbers as a reader sees them: `web/static/evidence.json`, written by the tests, in words."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any

from service.render.csv_text import LINE_END, csv_row

Json = Mapping[str, Any]

SHOWN = 5
"""Significant digits of a figure. [-]"""

LEAST_SHOWN = 0.001
"""Of a difference of head; less is of no concern to anyone who lays pipe. [mm]"""

EXACT = 1e-8
"""Tolerance over the expected value below which the two are told to be the same. [-]"""

PROVENANCES: Mapping[str, tuple[str, str]] = {
    "found": ("read", "in a document that can be named"),
    "memory": ("from memory", "and not read again; to be checked before it is relied on"),
    "practice": ("common practice", "a habit of the trade, no source"),
    "derived": ("worked out", "for this project from a named formula; not a published number"),
}
"""Tag and meaning of each provenance, the most trusted first."""

COLUMNS = (
    "topic", "check", "expected", "computed", "tolerance", "why", "source's own way", "by its own way", "title",
    "author", "year", "locator", "address", "provenance",
)  # fmt: skip


def shown(value: float) -> str:
    """A figure of any size.

    >>> shown(1.5182e-06), shown(248625.0), shown(0.0179), shown(-7e7), shown(50.0)
    ('1.5182 × 10⁻⁶', '248625', '0.0179', '−7 × 10⁷', '50')
    """
    if value == 0 or 1e-3 <= abs(value) < 1e7:
        decimals = max(SHOWN - 1 - math.floor(math.log10(abs(value))), 0) if value else 0
        text = f"{value:.{decimals}f}"
        text = text.rstrip("0").rstrip(".") if "." in text else text
    else:
        mantissa, _, power = f"{value:.{SHOWN - 1}e}".partition("e")
        text = f"{mantissa.rstrip('0').rstrip('.')} × 10{_raised(int(power))}"
    return text.replace("-", "−")


def millimetres(metres: float) -> str:
    """A difference of head for reading.

    >>> millimetres(3e-12), millimetres(0.00104), millimetres(0.0123), millimetres(1.63)
    ('under 0.001', '1.04', '12.3', '1630')
    """
    length = 1e3 * metres
    return f"{float(f'{length:.3g}'):.6g}" if length >= LEAST_SHOWN else f"under {LEAST_SHOWN}"


def _raised(power: int) -> str:
    return str(power).translate(str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹"))


def difference(check: Json) -> str:
    """How far the computed figure lies from the expected one: in percent where it is judged so, else in its unit.

    >>> difference({"expected": 100.0, "computed": 100.42, "relative": True})
    '+0.42 %'
    """
    apart = check["computed"] - check["expected"]
    if check["relative"]:
        percent = f"{100 * apart / check['expected']:+.2f}"
        return f"{'0' if float(percent) == 0 else percent} %".replace("-", "−")
    return ("+" if apart > 0 else "") + shown(float(f"{apart:.2g}"))


def tolerance(check: Json) -> str:
    """How far it may lie.

    >>> tolerance({"expected": 50.0, "tolerance": 5e-6, "relative": True})
    '± 1 × 10⁻⁵ %'
    """
    if check["tolerance"] <= EXACT * abs(check["expected"]):
        return "none"
    if check["relative"]:
        percent = 100 * check["tolerance"] / abs(check["expected"])
        return f"± {shown(float(f'{percent:.2g}'))} %"
    return f"± {shown(check['tolerance'])}"


def used(check: Json) -> float:
    """Share of the tolerance that the difference takes up. [-]"""
    return abs(check["computed"] - check["expected"]) / check["tolerance"] if check["tolerance"] else 0.0


def counted(topics: Any) -> dict[str, int]:
    """Checks of each provenance."""
    found = Counter[str]()
    for topic in topics:
        for source in topic["sources"]:
            found[source["provenance"]] += len(source["checks"])
    return {name: found[name] for name in PROVENANCES}


def checks_as_csv(topics: Any) -> str:
    """All checks as one table, safe to open in a sheet."""
    return "".join(csv_row(row) + LINE_END for row in (COLUMNS, *_table(topics)))


def _table(topics: Any) -> Iterator[tuple[Any, ...]]:
    for topic in topics:
        for source in topic["sources"]:
            for check in source["checks"]:
                way = check.get("way", {})
                yield (
                    topic["title"],
                    *(check[key] for key in ("what", "expected", "computed", "tolerance", "why")),
                    *(way.get(key) for key in ("words", "computed")),
                    *(source.get(key) for key in ("title", "author", "year", "locator", "address")),
                    PROVENANCES[source["provenance"]][0],
                )
