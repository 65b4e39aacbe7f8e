"""`endline demo`: starts the service, checks the demo zone over HTTP, and keeps serving for a look around."""

import argparse
import socket
import threading
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager, suppress
from typing import TYPE_CHECKING

from service.cli.reply import CHECK, JSON, NO_ANSWER, complain, show
from service.parts.catalogue import CatalogueFault
from service.settings import Settings, SettingsRefused, read_settings

if TYPE_CHECKING:
    import uvicorn

PATIENCE = 60.0
"""Time for the first answer, the start of the service included. [s]"""

PAGES = (
    ("/", "what the service does, with this zone as the example"),
    ("/docs", "every endpoint, to try out"),
    ("/evidence", "what the numbers rest on"),
    ("/v1/parts", "the catalogue of parts"),
)


def add_parser(subcommands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the subcommand and its options to the command line."""
    parser = subcommands.add_parser(
        "demo",
        help="start the service and check the demo zone",
        description="Start the service, check the demo zone over HTTP, print the answer as a table, and keep serving.",
    )
    parser.add_argument(
        "--port", type=_port, help="port to listen on; 0 takes a free one (default: 8000 if it is free)"
    )
    parser.add_argument("--once", action="store_true", help="stop after the table instead of serving on")
    parser.set_defaults(run=run)


def _port(text: str) -> int:
    port = int(text)
    if not 0 <= port <= 65_535:
        raise argparse.ArgumentTypeError("a port is a number from 0 to 65535")
    return port


def run(arguments: argparse.Namespace) -> int:
    """Start, check, print, serve; returns the exit status of the check."""
    try:
        settings = read_settings()
        door = open_door(settings, arguments.port)
        service = serving(settings, door)
    except (SettingsRefused, CatalogueFault) as refused:
        return complain(str(refused))
    except OSError as fault:
        return complain(f"cannot listen on port {arguments.port}: {fault}")
    url = url_of(door)
    with suppress(KeyboardInterrupt), service as stopped:
        status = _check(url)
        if not arguments.once and status != NO_ANSWER:
            print("\n".join(["", "Still serving. Open in a browser:", *_pages(url), "Ctrl-C stops it."]), flush=True)
            stopped.wait()
        return status
    return 0


def _pages(url: str) -> Iterator[str]:
    longest = max(len(path) for path, _ in PAGES)
    for path, what in PAGES:
        yield f"  {url}{path:<{longest}}  {what}"


def _check(url: str) -> int:
    import httpx

    from service.api.examples import DEMO, written

    print(f"POST {url}{CHECK}\n", flush=True)
    reply = httpx.post(url + CHECK, content=written(DEMO).encode(), headers=JSON, timeout=PATIENCE, trust_env=False)
    return show(reply)


def open_door(settings: Settings, port: int | None) -> socket.socket:
    """The socket to listen on: at the port given; else at the one of the settings, or any other if that is taken."""
    family = socket.AF_INET6 if ":" in settings.host else socket.AF_INET
    if port is not None:
        return socket.create_server((settings.host, port), family=family)
    try:
        return socket.create_server((settings.host, settings.port), family=family)
    except OSError:
        return socket.create_server((settings.host, 0), family=family)


def url_of(door: socket.socket) -> str:
    """Where to ask the service that listens at a socket."""
    host, port = door.getsockname()[:2]
    return f"http://[{host}]:{port}" if door.family == socket.AF_INET6 else f"http://{host}:{port}"


def serving(settings: Settings, door: socket.socket) -> AbstractContextManager[threading.Event]:
    """The service at a socket, while the block lasts; the event tells that it has stopped before.

    Raises
    ------
    CatalogueFault : at once, if the operator's parts cannot be used.
    """
    import uvicorn

    from service.app import create_app
    from service.cli.serve import server_options

    # A line of log for each page opened would bury the table.
    quiet = settings.model_copy(update={"log_level": "warning", "workers": 1})
    options = server_options(quiet) | {"app": create_app(quiet), "factory": False}
    return _running(uvicorn.Server(uvicorn.Config(**options)), door)


@contextmanager
def _running(server: "uvicorn.Server", door: socket.socket) -> Iterator[threading.Event]:
    stopped = threading.Event()

    def serve() -> None:
        try:
            server.run([door])
        finally:
            stopped.set()

    thread = threading.Thread(target=serve, name="endline")
    thread.start()
    try:
        yield stopped
    finally:
        server.should_exit = True
        thread.join()
