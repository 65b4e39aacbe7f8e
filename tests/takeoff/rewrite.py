"""Rewrites the answers of the example jobs, from the running service: `python -m tests.takeoff.rewrite`.

Read the difference before you commit it: a changed figure is a change for users and belongs in the changelog.
"""

from pathlib import Path

from service.api import examples
from service.cli.reply import JSON
from service.cli.takeoff import TAKEOFF
from tests.examples.writing import pretty
from tests.running import running_service

FOLDER = Path(__file__).parents[2] / "openapi_examples"


def rewrite() -> None:
    """Ask for every job anew and write the answer down."""
    with running_service() as service:
        for name in examples.jobs():
            reply = service.post(TAKEOFF, json=examples.job(name), headers=JSON).raise_for_status()
            (FOLDER / (name + examples.TAKEOFF)).write_text(pretty(reply.json()) + "\n", "utf-8")


if __name__ == "__main__":
    rewrite()
