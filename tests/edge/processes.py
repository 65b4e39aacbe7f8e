"""Real server processes, started for a test and stopped by their own id."""

import json
import os
import re
import signal
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
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
