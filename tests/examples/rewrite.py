"""Rewrites what the examples and the README print, from the running service: `python -m tests.examples.rewrite`.

Read the difference before you commit it: a changed figure is a change for users and belongs in the changelog.
"""

from pathlib import Path

from service.api import examples
from service.cli.reply import CHECK, JSON
from service.render.terminal import Report
from tests.examples.readme import curl, replace_block
from tests.examples.writing import pretty
from tests.running import running_service

FOLDER = Path(__file__).parents[2] / "openapi_examples"

TABLE_WIDTH = 80

SHOWN = {"demo": (examples.DEMO, 4), "twin": (examples.TWIN, 2)}
"""Tables in the README: of which example, and how many of their sections."""


def excerpt(block: str) -> str:
    """The first sections of the table that the terminal shows for the committed answer of an example."""
    name, sections = SHOWN[block]
    table = str(Report(examples.answer(name), TABLE_WIDTH, colour=False))
    return "\n\n".join([*table.split("\n\n")[:sections], "…\n"])


def rewrite() -> None:
    """Ask for everything anew and write it down."""
    with running_service() as service:
        for name in examples.names():
            reply = service.post(CHECK, content=examples.written(name), headers=JSON).raise_for_status()
            (FOLDER / (name + examples.ANSWER)).write_text(pretty(reply.json()) + "\n", "utf-8")
        path, body = curl()
        replace_block("answer", pretty(service.post(path, content=body, headers=JSON).raise_for_status().json()) + "\n")
    for block in SHOWN:
        replace_block(block, excerpt(block))


if __name__ == "__main__":
    rewrite()
