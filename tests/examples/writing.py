"""JSON as a person would write it: what fits on a line stands on one, and short values share lines."""

import json
from typing import Any

LINE = 118
"""Longest line, unless a single text is longer. [characters]"""


def pretty(value: Any, indent: int = 0, taken: int = 0) -> str:
    """The value as JSON, its lines indented; `taken` is what its key takes of the first line."""
    line = json.dumps(value, ensure_ascii=False)
    if len(line) + indent + taken <= LINE or not value or not isinstance(value, dict | list):
        return line
    inner = indent + 2
    if isinstance(value, dict):
        keys = [json.dumps(key) + ": " for key in value]
        entries = [key + pretty(entry, inner, len(key)) for key, entry in zip(keys, value.values(), strict=True)]
        opening, closing = "{}"
    else:
        entries = [pretty(entry, inner) for entry in value]
        opening, closing = "[]"
    return f"{opening}\n{_filled(entries, inner)}\n{' ' * indent}{closing}"


def _filled(entries: list[str], indent: int) -> str:
    """The entries, as many on a line as fit; one with lines of its own stands alone."""
    lines: list[str] = []
    for number, entry in enumerate(entries, start=1):
        told = entry + ("," if number < len(entries) else "")
        alone = "\n" in told or told[0] in "{[" or not lines or "\n" in lines[-1] or lines[-1][0] in "{["
        if alone or len(lines[-1]) + 1 + len(told) + indent > LINE:
            lines.append(told)
        else:
            lines[-1] += " " + told
    return "\n".join(" " * indent + line for line in lines)
