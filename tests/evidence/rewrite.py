"""Computes the evidence anew and writes what the page and the README show: `python -m tests.evidence.rewrite`.

Read the difference before you commit it: a changed figure is a change of the model, and belongs in the changelog. With
`scores` behind it, the command only takes over what a run of mutants or of coverage has left behind.
"""

import json
import sys
from pathlib import Path
from typing import Any

from service.render.evidence import millimetres
from tests.evidence.record import SCORES, record, scores
from tests.examples.readme import replace_block
from tests.examples.writing import pretty
from tests.published.row import Provenance

DATA = Path(__file__).parents[2] / "service" / "web" / "static" / "evidence.json"


def written() -> dict[str, Any]:
    """What was written last."""
    data: dict[str, Any] = json.loads(DATA.read_text("utf-8"))
    return data


def summary(data: dict[str, Any]) -> str:
    """The block of the README: checks of each topic by provenance, and the distances from other programs."""
    kinds = [kind.name.lower() for kind in Provenance]
    heads = ("read", "memory", "practice", "worked out")
    lines = [f"{'checks':42s}{''.join(f'{head:>11s}' for head in heads)}"]
    counts = [(topic["title"], _by_provenance(topic, kinds)) for topic in data["topics"]]
    counts.append(("all", [sum(column) for column in zip(*(count for _, count in counts), strict=True)]))
    lines += [f"{title:42s}{''.join(f'{count:11d}' for count in row)}" for title, row in counts]
    heads = "".join(f"{head:>13s}" for head in ("half", "99 %", "all"))
    lines += ["", f"{'random zones against another program, head apart in mm':54s}{'zones':>6s}{heads}"]
    lines += [
        f"{one['what']:54s}{one['zones']:6d}"
        + "".join(f"{millimetres(one['quantiles'][share]):>13s}" for share in ("50", "99", "100"))
        for one in data["comparisons"]
    ]
    return "\n".join(lines) + "\n"


def _by_provenance(topic: dict[str, Any], kinds: list[str]) -> list[int]:
    return [sum(len(source["checks"]) for source in topic["sources"] if source["provenance"] == kind) for kind in kinds]


def rewrite() -> None:
    """Compute everything and write it down."""
    data = record()
    write(data)
    replace_block("evidence", summary(data))


def rewrite_scores() -> None:
    """Write down the scores, and all else as it was."""
    write({key: value for key, value in written().items() if key not in SCORES} | scores())


def write(data: dict[str, Any]) -> None:
    """Write what the page reads."""
    DATA.write_text(pretty(data) + "\n", "utf-8")


if __name__ == "__main__":
    rewrite_scores() if sys.argv[1:] == ["scores"] else rewrite()
