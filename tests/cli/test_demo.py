"""`endline demo`, in a process of its own, as the README has a newcomer run it."""

import re
import signal
import socket
import subprocess
import sys

import httpx
import pytest

from service.__main__ import main

COMMAND = [sys.executable, "-m", "service", "demo"]


def test_once_prints_the_table_and_ends(capsys):
    assert main(["demo", "--once", "--port", "0"]) == 0
    out = capsys.readouterr().out
    assert re.match(r"POST http://127\.0\.0\.1:\d+/v1/zones/check\n", out)
    assert "Flower plot, dahlia rows: " in out
    assert "Where the pressure goes" in out


@pytest.fixture
def interruptible():
    """Runs the test with SIGINT heard: a shell's background jobs ignore it, and what they start inherits that."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


@pytest.mark.usefixtures("interruptible")
def test_it_serves_what_it_names_until_interrupted():
    with subprocess.Popen([*COMMAND, "--port", "0"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as demo:
        try:
            lines = []
            for line in demo.stdout:
                lines.append(line)
                if "Ctrl-C" in line:
                    break
            urls = re.findall(r"http://\S+", "".join(lines[1:]))
            assert len(urls) == 4
            assert [httpx.get(url, trust_env=False).status_code for url in urls] == [200] * 4
            demo.send_signal(signal.SIGINT)
            _, err = demo.communicate(timeout=30)
        finally:
            demo.kill()
    assert demo.returncode == 0
    assert err == ""


def test_a_port_that_is_taken_is_said_so(capsys):
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        assert main(["demo", "--once", "--port", str(port)]) == 2
    assert f"cannot listen on port {port}" in capsys.readouterr().err


def test_the_usual_port_gives_way_when_it_is_taken(monkeypatch, capsys):
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        monkeypatch.setenv("ENDLINE_PORT", str(port))
        assert main(["demo", "--once"]) == 0
    assert f":{port}/" not in capsys.readouterr().out


@pytest.mark.parametrize("port", ["-1", "70000", "eight"])
def test_what_is_no_port_is_refused(port, capsys):
    with pytest.raises(SystemExit) as refused:
        main(["demo", "--once", "--port", port])
    assert refused.value.code == 2
    assert "port" in capsys.readouterr().err
