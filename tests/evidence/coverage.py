"""How much of the service the last measured run of the tests reached: `python -m tests.evidence.coverage`.

Run it after `pytest --cov`. It writes the totals beside itself, for the page, and fails where lines or branches fall
short: the one figure that coverage reports mixes them, and the many lines would hide the few branches.
"""

import json
import sys
import tempfile
from pathlib import Path

from coverage import Coverage

TOTALS = Path(__file__).parent / "coverage.json"
ASKED = 0.97
COUNTS = {"lines": ("covered_lines", "num_statements"), "branches": ("covered_branches", "num_branches")}


def totals() -> dict[str, int]:
    """Counts of lines and branches, reached and in all, of the data file in the present folder."""
    measured = Coverage()
    measured.load()
    with tempfile.NamedTemporaryFile("r", suffix=".json") as report:
        measured.json_report(outfile=report.name)
        counts = json.load(report)["totals"]
    return {name: counts[name] for pair in COUNTS.values() for name in pair}


def shares(counts: dict[str, int]) -> dict[str, float]:
    """Share of the lines and of the branches that tests reach."""
    return {what: counts[reached] / counts[of] for what, (reached, of) in COUNTS.items()}


if __name__ == "__main__":
    counts = totals()
    TOTALS.write_text(json.dumps(counts, indent=2, sort_keys=True) + "\n", "utf-8")
    for what, share in shares(counts).items():
        print(f"{what:9s}{share:8.2%}  (asked for: {ASKED:.0%})")
    sys.exit(min(shares(counts).values()) < ASKED)
