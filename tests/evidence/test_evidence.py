"""The page of evidence shows what the tests compute, all of it, and as what it is."""

import ast
import importlib
import math
import pkgutil
from collections import Counter
from decimal import Decimal
from pathlib import Path

import pytest

import tests.published
from service.render.evidence import used
from tests.engines.comparisons import PLANNED
from tests.evidence.record import SCORES, comparison, scores, topics
from tests.evidence.rewrite import summary, written
from tests.evidence.topics import TOPICS
from tests.examples.readme import block
from tests.published.row import Provenance, Row

PRINTED = 2e-5
"""Relative difference from which two figures read differently on the page. [-]"""

ANEW = "run python -m tests.evidence.rewrite, and read the difference"


@pytest.fixture(scope="module")
def data():
    return written()


def modules():
    for found in pkgutil.iter_modules(tests.published.__path__, "tests.published."):
        if found.name.rpartition(".")[2].startswith("test_"):
            yield importlib.import_module(found.name)


def test_every_row_is_evidence():
    """A row that a test runs is shown, and shown once."""
    shown = Counter(id(row) for topic in TOPICS for row in topic.rows)
    assert set(shown.values()) == {1}
    for module in modules():
        lists = [rows for rows in vars(module).values() if isinstance(rows, list) and rows and isinstance(rows[0], Row)]
        assert lists, module
        for row in (row for rows in lists for row in rows):
            assert id(row) in shown, f"{row.what} of {module.__name__}"


def test_every_row_says_what_it_needs_to_be_believed():
    for topic in TOPICS:
        names = Counter(row.what for row in topic.rows)
        assert not [name for name, count in names.items() if count > 1]
        for row in topic.rows:
            assert row.source.title
            assert row.source.locator
            assert row.why
            assert row.tolerance > 0
            assert row.source.address == "" or row.source.provenance in {Provenance.FOUND, Provenance.DERIVED}


AS_PRINTED = {Provenance.FOUND, Provenance.MEMORY, Provenance.PRACTICE}

LEAST_WORKED_OUT = 5
"""Rows whose number is computed on the spot; with none the test would look at nothing. [-]"""

MOST_DIGITS = 7
"""That any source prints of a number. What is computed has sixteen, or is converted, which is for the row to do. [-]"""


def test_what_is_shown_as_printed_has_the_digits_of_print():
    for topic in TOPICS:
        for row in topic.rows:
            digits = Decimal(repr(float(row.expected))).normalize().as_tuple().digits
            assert row.source.provenance not in AS_PRINTED or len(digits) <= MOST_DIGITS, row.what


def rows_as_written():
    """Each call of Row in the modules: where it stands, the number it expects, and the source of that."""
    for module in modules():
        for call in ast.walk(ast.parse(Path(module.__file__).read_text("utf-8"))):
            if isinstance(call, ast.Call) and isinstance(call.func, ast.Name) and call.func.id == "Row":
                yield module, call.args[1], call.args[3]


def test_what_is_worked_out_is_shown_as_worked_out():
    """A number that the row computes instead of quoting it is not the source's, whatever the source is famous for."""
    found = Counter()
    for module, expected, source in rows_as_written():
        if any(isinstance(node, ast.BinOp | ast.Call) for node in ast.walk(expected)):
            where = f"{module.__name__}, line {expected.lineno}"
            told = eval(compile(ast.Expression(source), where, "eval"), vars(module))  # noqa: S307 - the tests' own text
            assert told.provenance is Provenance.DERIVED, where
            found[module.__name__] += 1
    assert found.total() >= LEAST_WORKED_OUT


def test_the_record_shows_every_check_within_its_tolerance(data):
    checks = [check for topic in data["topics"] for source in topic["sources"] for check in source["checks"]]
    assert max(used(check) for check in checks) <= 1 + 1e-6


def differences(then, now, path=""):
    """Where two records read differently."""
    if isinstance(then, float | int) and isinstance(now, float | int) and not isinstance(then, bool):
        if not math.isclose(then, now, rel_tol=PRINTED, abs_tol=1e-12):
            yield f"{path}: {then} then, {now} now"
    elif isinstance(then, dict) and isinstance(now, dict) and then.keys() == now.keys():
        for key in then:
            yield from differences(then[key], now[key], f"{path}/{key}")
    elif isinstance(then, list) and isinstance(now, list) and len(then) == len(now):
        for number, (one, other) in enumerate(zip(then, now, strict=True)):
            yield from differences(one, other, f"{path}/{number}")
    elif then != now:
        yield f"{path}: {str(then)[:100]} then, {str(now)[:100]} now"


def test_checks_are_shown_as_they_come_out(data):
    assert not list(differences(data["topics"], topics())), ANEW


@pytest.mark.parametrize("name", PLANNED)
def test_comparisons_are_shown_as_they_come_out(data, name):
    """The words to the letter; the noise of two programs to a factor, for it is another one on every machine."""
    then, now = next(one for one in data["comparisons"] if one["name"] == name), comparison(name)
    noise = {"quantiles", "decades", "zones", "unsolved"}
    assert {key: then[key] for key in then if key not in noise} == {key: now[key] for key in now if key not in noise}
    assert then["zones"] + then["unsolved"] == now["zones"] + now["unsolved"], ANEW
    for share, apart in now["quantiles"].items():
        assert apart <= 1e-9 or 1 / 3 < apart / then["quantiles"][share] < 3, ANEW
    assert sum(now["decades"].values()) == now["zones"]


def test_all_comparisons_are_shown(data):
    assert [one["name"] for one in data["comparisons"]] == list(PLANNED)


def test_scores_are_those_that_were_left_behind(data):
    assert {key: value for key, value in data.items() if key in SCORES} == scores(), (
        "run python -m tests.evidence.rewrite scores"
    )


def test_the_readme_sums_it_up(data):
    assert block("evidence") == summary(data), ANEW


def test_figures_read_differently_when_they_are():
    assert not list(differences({"a": [1.0, "b"]}, {"a": [1.0 + 1e-6, "b"]}))
    assert list(differences({"a": [1.0, "b"]}, {"a": [1.001, "b"]}))
    assert list(differences({"a": 1.0}, {"b": 1.0}))
