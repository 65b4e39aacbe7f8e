"""The log: one line of JSON for each request, without what was in it."""

import json
import logging

import httpx
import pytest

from service.api.json_log import JsonLines


def test_a_request_is_one_line_without_body_and_parameters(ask, caplog):
    with caplog.at_level(logging.INFO, "service.access"):
        ask("POST", "/v1/tiny", json={"length": 1, "name": "a garden of mine"}, headers={"X-Request-ID": "job-17"})
        ask("GET", "/v1/tiny?length=4321")
        ask("GET", "/nothing")
    lines = [json.loads(JsonLines().format(record)) for record in caplog.records if record.name == "service.access"]
    assert [(line["method"], line["path"], line["status"]) for line in lines] == [
        ("POST", "/v1/tiny", 200),
        ("GET", "/v1/tiny", 200),
        ("GET", "/nothing", 404),
    ]
    assert lines[0]["request_id"] == "job-17"
    assert all(line["milliseconds"] > 0 and line["bytes"] > 0 for line in lines)
    assert "garden" not in json.dumps(lines)
    assert "4321" not in json.dumps(lines)


@pytest.mark.parametrize("path", ["/a%0a%7B%22level%22%3A%22error%22%7D", "/%1b%5b31m"])
def test_no_path_writes_a_line_of_its_own(ask, caplog, path):
    with caplog.at_level(logging.INFO, "service.access"):
        ask("GET", path)
    text = JsonLines().format(caplog.records[-1])
    assert "\n" not in text
    assert "\x1b" not in text


def test_a_real_process_logs_nothing_but_json(server):
    """The reader of the process's log parses every line, and would fail on one that is not JSON."""
    httpx.get(f"{server.url}/healthz", headers={"X-Request-ID": "seen-in-the-log"})
    assert server.logged("seen-in-the-log") == [200]
