"""The runs of an answer, all copies of one together, as a table of a few lines."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from service.render.rounding import decimals, fixed

COPY_NUMBER = re.compile(r":\d+")
"""What the addresses of copies have behind the id. Ids hold no colon."""


@dataclass(frozen=True, slots=True)
class RunGroup:
    """A run with its copies, its figures as they are printed."""

    run: str
    count: int
    flow: str
    velocity: str
    start: str
    end: str
    lost: str


def run_groups(runs: Sequence[Mapping[str, Any]]) -> Iterator[RunGroup]:
    """The runs by their ids; figures in which copies differ are ranges."""
    groups: dict[str, list[Mapping[str, Any]]] = {}
    for run in runs:
        groups.setdefault(COPY_NUMBER.sub("", run["run"]), []).append(run)
    places = {
        kind: decimals([run[key] for run in runs for key in keys])
        for kind, keys in (
            ("flow", ("inlet_flow",)),
            ("velocity", ("velocity",)),
            ("pressure", ("inlet_pressure", "end_pressure")),
        )
    }
    for name, copies in groups.items():

        def ranged(key: str, kind: str, copies: Sequence[Mapping[str, Any]] = copies) -> str:
            ends = [fixed(end(copy[key] for copy in copies), places[kind]) for end in (min, max)]
            return " to ".join(dict.fromkeys(ends))

        yield RunGroup(
            name,
            len(copies),
            ranged("inlet_flow", "flow"),
            ranged("velocity", "velocity"),
            ranged("inlet_pressure", "pressure"),
            ranged("end_pressure", "pressure"),
            ranged("friction_loss", "pressure"),
        )
