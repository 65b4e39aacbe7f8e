"""Shows a reply of the service at a terminal, and says with which status the command ends."""

import os
import shutil
import sys
from http import HTTPStatus
from typing import TYPE_CHECKING, Any

from service.render.columns import paragraph, shown
from service.render.terminal import Report

if TYPE_CHECKING:
    import httpx  # takes its time to import, and most subcommands do without

CHECK = "/v1/zones/check"

JSON = {"Content-Type": "application/json", "Accept": "application/json"}

WORKS, FAILS, BAD_INPUT, NO_ANSWER = range(4)
"""Exit statuses: the zone passes, with cautions or without; it fails; it cannot be read; the service has no answer."""

NARROWEST, WIDEST = 60, 120
"""Widths of the table. [characters] Long lines are hard to follow, short ones hold no table."""


def show(reply: "httpx.Response", *, raw: bool = False) -> int:
    """Print the answer to a check, or what is wrong with the request; returns the exit status."""
    if reply.status_code != HTTPStatus.OK:
        return refused(reply)
    answer: dict[str, Any] = reply.json()
    write(reply.content if raw else encoded(str(Report(answer, width(), colour=in_colour()))))
    return FAILS if answer["verdict"] == "fail" else WORKS


def refused(reply: "httpx.Response") -> int:
    """Say on standard error what is wrong with the request; returns the exit status."""
    _show_problem(reply.json())
    return BAD_INPUT if reply.is_client_error else NO_ANSWER


def complain(message: str) -> int:
    """Say on standard error why there is nothing to check; returns the exit status."""
    for line in message.splitlines():
        print(f"endline: {shown(line)}", file=sys.stderr)
    return BAD_INPUT


def width() -> int:
    """Columns of the terminal, within reason; what is no terminal counts 80."""
    return min(max(shutil.get_terminal_size().columns, NARROWEST), WIDEST)


def in_colour() -> bool:
    """Whether to write in colour: on a terminal, unless NO_COLOR says otherwise."""
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def encoded(text: str) -> bytes:
    """The text as the terminal writes it; a unit sign that it does not know becomes a question mark."""
    return text.encode(sys.stdout.encoding or "utf-8", "replace")


def write(line: bytes) -> None:
    """Print a text as it is encoded already."""
    try:
        sys.stdout.flush()
        sys.stdout.buffer.write(line + b"\n")
        sys.stdout.buffer.flush()
    except BrokenPipeError:
        # Whoever reads, such as `head`, has enough. Python would complain once more when it closes the pipe.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _show_problem(problem: dict[str, Any]) -> None:
    lines = paragraph(f"endline: {problem['title']}. {problem['detail']}", width())
    for error in problem.get("errors", ()):
        lines.append(shown(f"{error['pointer']}: {error['detail']} Accepted: {error['accepted']}"))
    print("\n".join(lines), file=sys.stderr)
