"""Try the tests on faults put into the code: `python -m tests.mutation.run [group ...]`, with mutmut installed.

A copy of the last commit is mutated in a folder for temporary files, one fault at a time, and the tests of the group
are run on each. A fault that no test sees is either argued in `argued.toml` or a hole in the tests. Which faults are
tried is drawn with a fixed seed. Counts of every module go to `tests/evidence/scores.json`.
"""

from __future__ import annotations

import json
import os
import random
import re
import subprocess
import sys
import tempfile
import tomllib
from dataclasses import replace
from importlib.metadata import version
from pathlib import Path
from typing import Any

from tests.mutation.groups import GROUPS, Group

ROOT = Path(__file__).parents[2]
SCORES = ROOT / "tests" / "evidence" / "scores.json"
SEED = 20261125
SURVIVED, UNSEEN = {0}, {33, 5}  # exit codes of mutmut: tests passed; no test comes by

CONFIGURATION = """
[tool.mutmut]
source_paths = ["service"]
only_mutate = {files}
also_copy = ["openapi_examples", "README.md"]
pytest_add_cli_args_test_selection = {tests}
pytest_add_cli_args = ["--hypothesis-profile=few"]
timeout_multiplier = 2.0
timeout_constant = 20.0
process_isolation = "forkserver"
use_git_change_detection = false
track_dependencies = false
"""


def main(names: list[str]) -> None:
    """Run the groups of these names, or all."""
    for name in names or GROUPS:
        group = GROUPS[name]
        with tempfile.TemporaryDirectory(prefix="mutation-") as folder:
            copy = Path(folder) / "copy"
            subprocess.run(["git", "clone", "-q", str(ROOT), str(copy)], check=True)
            configure(copy, group)
            start(copy, "none")  # writes the mutants, and complains that none has this name
            chosen = sample(copy, group)
            print(f"{name}: {len(chosen)} mutants", flush=True)
            mutmut(copy, *chosen)
            found = codes(copy, chosen)
            got_by = [name for name, code in found.items() if code in SURVIVED | UNSEEN]
            if got_by and group.leaving_out:
                # What the quick tests do not see is tried by the slow ones too; mutmut forgets the rest over it.
                configure(copy, replace(group, leaving_out=()))
                mutmut(copy, *got_by)
                found |= codes(copy, got_by)
            record(copy, found)


def configure(copy: Path, group: Group) -> None:
    """Tell mutmut what to do, in the copy's pyproject.toml."""
    chosen = sorted(group.modules) if not group.others else ["*"]
    files = [f"service/{group.room}/{module}.py" for module in chosen]
    tests = [*group.tests]
    if group.leaving_out:
        tests += ["-k", " and ".join(f"not {part}" for part in group.leaving_out)]
    project = copy / "pyproject.toml"
    subprocess.run(["git", "checkout", "-q", project.name], cwd=copy, check=True)
    # Names of tests are given back to pytest as they stand, which escaped ones do not survive.
    told = project.read_text().replace(
        "xfail_strict", "disable_test_id_escaping_and_forfeit_all_rights_to_community_support = true\nxfail_strict"
    )
    project.write_text(told + CONFIGURATION.format(files=json.dumps(files), tests=json.dumps(tests)))


def mutmut(copy: Path, *mutants: str) -> None:
    """Run these mutants. What mutmut finds is in its files; where it gives up, as on failing tests, so do we."""
    ended = start(copy, *mutants)
    if ended.returncode:
        sys.exit(f"{ended.stdout[-5000:]}\n{ended.stderr[-5000:]}\nmutmut ended with {ended.returncode}")


def start(copy: Path, *mutants: str) -> subprocess.CompletedProcess[str]:
    """What mutmut says of these mutants."""
    one_thread = os.environ | {"OPENBLAS_NUM_THREADS": "1"}
    workers = os.environ.get("WORKERS", "1")
    command = [sys.executable, "-m", "mutmut", "run", "--max-children", workers, *mutants]
    return subprocess.run(command, cwd=copy, env=one_thread, check=False, capture_output=True, text=True)


def verdicts(copy: Path) -> dict[str, dict[str, int | None]]:
    """Exit code of each mutant, by module."""
    files = sorted((copy / "mutants" / "service").rglob("*.meta"))
    return {
        file.relative_to(copy / "mutants" / "service").as_posix().removesuffix(".py.meta"): json.loads(
            file.read_text()
        )["exit_code_by_key"]
        for file in files
    }


def codes(copy: Path, mutants: list[str]) -> dict[str, int]:
    """Exit codes of those of these mutants that were tried."""
    every = {name: code for module in verdicts(copy).values() for name, code in module.items()}
    return {name: code for name in mutants if (code := every[name]) is not None}


def sample(copy: Path, group: Group) -> list[str]:
    """The mutants to try."""
    chosen: list[str] = []
    for module, mutants in verdicts(copy).items():
        most = group.modules.get(module.removeprefix(f"{group.room}/"), group.others)
        dice = random.Random(f"{SEED} {module}")
        chosen += dice.sample(sorted(mutants), min(most, len(mutants)))
    return chosen


def record(copy: Path, found: dict[str, int]) -> None:
    """Write the counts of every module, and print the faults that nothing sees and nothing argues."""
    argued = tomllib.loads((Path(__file__).parent / "argued.toml").read_text())
    scores: dict[str, Any] = json.loads(SCORES.read_text()) if SCORES.exists() else {}
    scores = {"tool": f"mutmut {version('mutmut')}", "seed": SEED, "modules": scores.get("modules", {})}
    for module, mutants in verdicts(copy).items():
        tried = {name: found[name] for name in mutants if name in found}
        if not tried:
            continue
        changes = [change(copy, name) for name, code in tried.items() if code in SURVIVED | UNSEEN]
        excused = [one for one in changes if one in [a["change"] for a in argued.get(module, [])]]
        for one in changes:
            if one not in excused:
                print(f"[[{json.dumps(module)}]]\nchange = {json.dumps(one, ensure_ascii=False)}\nbecause = \n")
        killed = len(tried) - len(changes)
        scores["modules"][module] = {
            "mutants": len(mutants),
            "sampled": len(tried),
            "killed": killed,
            "survived_argued": len(excused),
            "survived": len(changes) - len(excused),
            "score": round(killed / max(len(tried) - len(excused), 1), 4),
        }
    totals = {
        key: sum(one[key] for one in scores["modules"].values())
        for key in ("mutants", "sampled", "killed", "survived_argued", "survived")
    }
    scores |= totals | {"score": round(totals["killed"] / max(totals["sampled"] - totals["survived_argued"], 1), 4)}
    SCORES.parent.mkdir(exist_ok=True)
    SCORES.write_text(json.dumps(scores, indent=2, sort_keys=True) + "\n")


def change(copy: Path, mutant: str) -> str:
    """What a mutant changes: its function, and the lines taken out and put in."""
    shown = subprocess.run(
        [sys.executable, "-m", "mutmut", "show", mutant], cwd=copy, capture_output=True, text=True, check=True
    ).stdout
    function = re.sub(r"__mutmut_\d+$", "", mutant).rpartition(".")[2].lstrip("x").strip("_ǁ").replace("ǁ", ".")
    lines = [line for line in shown.splitlines() if re.match(r"[-+](?![-+]{2} )", line)]
    return f"{function}: " + " | ".join(re.sub(r"\s+", " ", line) for line in lines)


if __name__ == "__main__":
    main(sys.argv[1:])
