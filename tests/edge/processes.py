"""Real server processes, started for a test and stopped by their own id."""

import json
import os
import re
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

ROOT = Path(__file__).parents[2]


class Process:
    """A running server: its port, and what it has logged so far."""

    def __init__(self, command: list[str], environment: dict[str, str]) -> None:
        self.popen = subprocess.Popen(
            command, cwd=ROOT, env={**os.environ, **environment}, stderr=subprocess.PIPE, stdout=subprocess.DEVNULL
        )
        self.port = 0
        self._lines: list[dict] = []
        self._listening = threading.Event()
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()
        assert self._listening.wait(30), self._lines
        # Several processes share a port that is bound before any of them listens.
        for _ in range(100):
            with suppress(ConnectionRefusedError), socket.create_connection(("127.0.0.1", self.port)):
                return
            time.sleep(0.1)

    def _read(self) -> None:
        for raw in self.popen.stderr:
            line = json.loads(raw)
            self._lines.append(line)
            found = re.search(r"running on http://127\.0\.0\.1:(\d+)", line["message"])
            if found:
                self.port = int(found[1])
                self._listening.set()

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def terminate(self) -> None:
        """Ask it to stop, as a container host does."""
        self.popen.send_signal(signal.SIGTERM)

    def wait(self, seconds: float = 20) -> int:
        status = self.popen.wait(seconds)
        self._reader.join(5)
        self.popen.stderr.close()
        return status

    def log(self) -> list[dict]:
        return list(self._lines)

    def logged(self, request_id: str) -> list[int]:
        """The statuses of a request in the log, which is written a moment after the answer."""
        for _ in range(50):
            found = [line["status"] for line in self.log() if line.get("request_id") == request_id]
            if found:
                break
            time.sleep(0.1)
        return found


@contextmanager
def started(module: str = "tests.edge.tiny", *words: str, **settings: object) -> Iterator[Process]:
    """A server process; settings by the names of the settings class."""
    environment = {f"ENDLINE_{name.upper()}": str(value) for name, value in settings.items()}
    process = Process([sys.executable, "-m", module, *words], {"ENDLINE_PORT": "0", **environment})
    try:
        yield process
    finally:
        if process.popen.poll() is None:
            process.terminate()
            process.wait()


def received(connection: socket.socket, *, until_closed: bool = False) -> bytes:
    """What the server sends: one answer, or everything up to the end of the connection."""
    data = b""
    while True:
        if not until_closed and b"\r\n\r\n" in data:
            head, _, body = data.partition(b"\r\n\r\n")
            length = next(
                (int(line[15:]) for line in head.lower().split(b"\r\n") if line[:15] == b"content-length:"), 0
            )
            if len(body) >= length:
                return data
        part = connection.recv(65536)
        if not part:
            return data
        data += part


def status_of(answer: bytes) -> int:
    return int(answer.split(b" ", 2)[1])
