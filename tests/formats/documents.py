"""Answers as documents, and what stands in them, walked without any help of the code that writes them."""

from service.schemas.answers import CheckAnswer
from service.schemas.wire import to_wire
from service.schemas.zone import Zone
from service.units.dimensions import System
from service.zones.check import check
from tests.answers import check_answer

BY_HAND = to_wire(check_answer(), System.US)

MODEL = CheckAnswer

ROWS = {
    "assumed": ("assumed",),
    "end_of_line": ("end_of_line",),
    "uniformity": ("uniformity", "by_kind"),
    "budget": ("loss_budget",),
    "runs": ("runs",),
    "limits": ("supply", "limits"),
    "regulators": ("regulator", "suits"),
    "filters": ("filter", "suits"),
    "constituents": ("filter", "constituents"),
    "treatments": ("filter", "treatments"),
    "findings": ("findings",),
    "cautions": ("cautions",),
}
"""Where the rows of each table of a check stand in its document."""

KEYS = ("run", "code", "stage", "topic", "what", "kind", "part", "against", "constituent")
"""What rows are entered by."""


def checked(written, *, detail="runs"):
    """The document of a zone as a caller writes it."""
    options = {**written.get("options", {}), "detail": detail}
    zone = Zone.model_validate({**written, "options": options})
    return to_wire(check(zone), zone.units)


def rows(document, name):
    """The rows of a table, as the document has them."""
    if name == "profile":
        return [{"run": run["run"], **place} for run in document.get("runs", []) for place in run.get("profile", [])]
    here = document
    for step in ROWS[name]:
        here = here.get(step, [])
    return here


def leaves(node, *path):
    """Every value in nested objects, with its path; lists of plain values are values, those of pairs are numbered."""
    if isinstance(node, dict):
        for name, value in node.items():
            yield from leaves(value, *path, name)
    elif not (isinstance(node, list) and node and isinstance(node[0], dict)):
        yield path, node


def singles(document):
    """The values of a document that stand in no table, by their names."""
    return {
        ".".join(path): value
        for path, value in leaves({name: part for name, part in document.items() if name != "units"})
        if path not in ROWS.values()
    }
