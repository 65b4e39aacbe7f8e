"""The `endline` command."""

import sys


def main() -> int:
    """Run the subcommand named on the command line; returns the exit status."""
    return 0


if __name__ == "__main__":
    sys.exit(main())
