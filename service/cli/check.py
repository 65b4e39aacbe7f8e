"""`endline check`: checks the zone in a file, by the very application that the service runs."""

import argparse
import asyncio
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from service.cli.reply import CHECK, JSON, complain, show
from service.parts.catalogue import CatalogueFault
from service.settings import Settings, SettingsRefused, read_settings

if TYPE_CHECKING:
    import httpx

STDIN = "-"


def add_parser(subcommands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the subcommand and its options to the command line."""
    parser = subcommands.add_parser(
        "check",
        help="check the zone in a file",
        description="Check the zone in a file and print what comes of it as a table.",
        epilog="Exit status: 0 the zone passes, with cautions or without; 1 it fails; 2 it cannot be read, and "
        "every place to mend is named; 3 there is no answer, which is a fault of the service.",
    )
    parser.add_argument("file", metavar="FILE", help=f"zone as JSON, as {CHECK} takes it; - reads standard input")
    parser.add_argument("--json", action="store_true", help="print the answer as it goes over HTTP")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Check the zone; returns the exit status."""
    try:
        settings = read_settings()
        zone = sys.stdin.buffer.read() if arguments.file == STDIN else Path(arguments.file).read_bytes()
        reply = asyncio.run(_ask(settings, zone))
    except (SettingsRefused, CatalogueFault) as refused:
        return complain(str(refused))
    except OSError as fault:
        return complain(f"{arguments.file}: {fault.strerror}")
    return show(reply, raw=arguments.json)


async def _ask(settings: Settings, zone: bytes) -> "httpx.Response":
    import httpx

    from service.app import create_app

    application = httpx.ASGITransport(create_app(settings))
    async with httpx.AsyncClient(transport=application, base_url="http://endline") as client:
        return await client.post(CHECK, content=zone, headers=JSON)
