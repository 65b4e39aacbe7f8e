"""`endline serve`: answers over HTTP until told to stop."""

import argparse
import os
import sys
from math import ceil
from typing import Any, get_args

from service.settings import LogLevel, Settings, SettingsRefused, read_settings

OPTIONS = ("host", "port", "workers", "log_level")


def add_parser(subcommands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the subcommand and its options to the command line."""
    parser = subcommands.add_parser(
        "serve",
        help="answer over HTTP",
        description="Answer over HTTP. Every option, and more, can be set by environment variables: ENDLINE_PORT, …",
    )
    parser.add_argument("--host", help="address to listen on (default: 127.0.0.1)")
    parser.add_argument("--port", type=int, help="port to listen on (default: 8000; 0 takes a free one)")
    parser.add_argument("--workers", type=int, help="server processes (default: 1)")
    parser.add_argument("--log-level", choices=get_args(LogLevel), help="least severe message to log (default: info)")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Serve; returns the exit status."""
    given = {name: getattr(arguments, name) for name in OPTIONS if getattr(arguments, name) is not None}
    # Server processes start anew and read the environment themselves, so what was given here must stand there.
    os.environ |= {f"ENDLINE_{name.upper()}": str(value) for name, value in given.items()}
    # One calculation is one thread: more would only take cores from the others. Before numpy is imported.
    for library in ("OPENBLAS", "OMP", "MKL"):
        os.environ.setdefault(f"{library}_NUM_THREADS", "1")
    import uvicorn

    from service.parts.catalogue import CatalogueFault, load_catalogue
    from service.takeoff.price_file import house_prices

    try:
        settings = read_settings()
        house_prices(settings.prices_file, load_catalogue(settings.parts_file))
    except (SettingsRefused, CatalogueFault) as refused:
        print(refused, file=sys.stderr)
        return 2

    uvicorn.run(**server_options(settings))
    return 0


def server_options(settings: Settings) -> dict[str, Any]:
    """What the server is told."""
    from service.api.http_protocol import TimedH11
    from service.api.json_log import logging_config

    return {
        "app": "service.app:create_app",
        "factory": True,
        "host": settings.host,
        "port": settings.port,
        "workers": settings.workers,
        "http": TimedH11,
        "ws": "none",
        "log_config": logging_config(settings.log_level),
        "log_level": settings.log_level,
        "access_log": False,
        "server_header": False,
        "timeout_graceful_shutdown": ceil(settings.shutdown_seconds),
        # A proxy in front may reuse an idle connection; it should be the one to close it.
        "timeout_keep_alive": 65,
    }
