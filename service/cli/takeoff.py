"""`endline takeoff`: takes off the job in a file, by the very application that the service runs."""

import argparse
import asyncio
import json
import sys
from http import HTTPStatus
from pathlib import Path
from typing import TYPE_CHECKING, Any

from service.cli.reply import JSON, WORKS, complain, encoded, in_colour, refused, width, write
from service.parts.catalogue import CatalogueFault
from service.settings import Settings, SettingsRefused, read_settings

if TYPE_CHECKING:
    import httpx

TAKEOFF = "/v1/zones/takeoff"

STDIN = "-"


def add_parser(subcommands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the subcommand and its options to the command line."""
    parser = subcommands.add_parser(
        "takeoff",
        help="list the materials of the job in a file",
        description="List what it takes to build the zones in a file, and with prices what that costs.",
        epilog="Exit status: 0 there is a list; 2 the job or its prices cannot be read, and every place to mend is "
        "named; 3 there is no answer, which is a fault of the service.",
    )
    parser.add_argument(
        "file", metavar="FILE", help=f"job as JSON, as {TAKEOFF} takes it, or a single zone; - reads standard input"
    )
    parser.add_argument(
        "--prices", metavar="FILE", help="price book as JSON, as `prices` of a job, in place of its own"
    )
    parser.add_argument("--json", action="store_true", help="print the answer as it goes over HTTP")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Take the job off; returns the exit status."""
    try:
        settings = read_settings()
        body = job(arguments.file, arguments.prices)
        reply = asyncio.run(_ask(settings, body))
    except (SettingsRefused, CatalogueFault, Unreadable) as fault:
        return complain(str(fault))
    if reply.status_code != HTTPStatus.OK:
        return refused(reply)
    _show(reply, raw=arguments.json)
    return WORKS


class Unreadable(ValueError):
    """A file cannot be read, or holds nothing that prices could be put into."""


def job(file: str, prices: str | None) -> bytes:
    """The body to send: the job of a file, made of a single zone if need be, with the price book of another in it.

    Raises
    ------
    Unreadable : where a file cannot be read, or prices cannot be put into what it holds.
    """
    text = _read(file)
    if prices is None:
        # Whatever cannot be read as a job is the service's to tell.
        written = _parsed(file, text, or_else={})
        return json.dumps(_of_zone(written)).encode() if "runs" in written else text
    written, book = _parsed(file, text), _parsed(prices, _read(prices))
    body = _of_zone(written) if "runs" in written else written
    return json.dumps({**body, "prices": book}).encode()


def _of_zone(zone: dict[str, Any]) -> dict[str, Any]:
    return {**{name: zone[name] for name in ("name", "units") if name in zone}, "zones": [zone]}


def _parsed(file: str, text: bytes, or_else: dict[str, Any] | None = None) -> dict[str, Any]:
    from service.api.strict_json import NotJson, parse

    try:
        written = parse(text)
    except NotJson as fault:
        written = str(fault)
    if isinstance(written, dict):
        return written
    if or_else is not None:
        return or_else
    raise Unreadable(f"{file}: {written if isinstance(written, str) else 'An object is needed here.'}")


def _read(file: str) -> bytes:
    try:
        return sys.stdin.buffer.read() if file == STDIN else Path(file).read_bytes()
    except OSError as fault:
        raise Unreadable(f"{file}: {fault.strerror}") from None


async def _ask(settings: Settings, body: bytes) -> "httpx.Response":
    import httpx

    from service.app import create_app

    application = httpx.ASGITransport(create_app(settings))
    async with httpx.AsyncClient(transport=application, base_url="http://endline") as client:
        return await client.post(TAKEOFF, content=body, headers=JSON)


def _show(reply: "httpx.Response", *, raw: bool) -> None:
    from service.render.takeoff_terminal import Report

    write(reply.content if raw else encoded(str(Report(reply.json(), width(), colour=in_colour()))))
