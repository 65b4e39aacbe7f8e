"""The `endline` command."""

import argparse
import sys
from collections.abc import Sequence

from service import __version__
from service.cli import check, demo, serve, takeoff

SUBCOMMANDS = (demo, serve, check, takeoff)


def main(words: Sequence[str] | None = None) -> int:
    """Run the subcommand named on the command line; returns the exit status."""
    parser = argparse.ArgumentParser(prog="endline", description="Will this drip-irrigation zone work?")
    parser.add_argument("--version", action="version", version=f"endline {__version__}")
    subcommands = parser.add_subparsers(title="subcommands", required=True, metavar="SUBCOMMAND")
    for subcommand in SUBCOMMANDS:
        subcommand.add_parser(subcommands)
    arguments = parser.parse_args(words)
    status: int = arguments.run(arguments)
    return status


if __name__ == "__main__":
    sys.exit(main())
