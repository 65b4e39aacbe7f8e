"""Every way to end without an answer has the one form, and a page that explains it."""

import json
import logging
import re
from html import unescape

import pytest

from service.api.problem_types import PROBLEM_TYPES
from service.api.problems import MEDIA_TYPE, ProblemDetails
from service.zones.faults import FAULTS

CONTRACT_STATUSES = [400, 401, 403, 404, 405, 406, 408, 413, 415, 422, 429, 431, 500, 503]
"""The statuses that the contract lists, and 414 is one more."""


@pytest.mark.parametrize("status", [*CONTRACT_STATUSES, 414])
def test_every_status_of_the_contract_has_a_type(ask, status):
    answer = ask("GET", f"/v1/status/{status}")
    assert answer.status_code == status
    assert answer.headers["Content-Type"] == MEDIA_TYPE
    problem = ProblemDetails.model_validate(answer.json())
    assert problem.status == status
    assert problem.type.removeprefix("/problems/") in PROBLEM_TYPES


@pytest.mark.parametrize(("status", "slug"), [(418, "bad-request"), (507, "unexpected")])
def test_a_status_without_a_type_of_its_own_takes_the_general_one(ask, status, slug):
    assert ask("GET", f"/v1/status/{status}").json()["type"] == f"/problems/{slug}"


@pytest.mark.parametrize("slug", PROBLEM_TYPES)
def test_every_type_has_a_page_with_an_example(ask, slug):
    kind = PROBLEM_TYPES[slug]
    answer = ask("GET", kind.path)
    assert answer.status_code == 200
    text = unescape(re.sub("</?code>", "`", answer.text))
    assert kind.title in text
    assert kind.happened in text
    assert kind.mend in text
    example = json.loads(unescape(re.search(r"<pre>(.*?)</pre>", answer.text, re.DOTALL)[1]))
    assert ProblemDetails.model_validate(example).type == kind.path


def test_the_index_lists_every_type(ask):
    index = ask("GET", "/problems").text
    listed = re.findall(r'<td class="number">(\d+)</td>\s*<td><a href="problems/([a-z0-9-]+)">', index)
    assert {slug for _, slug in listed} == set(PROBLEM_TYPES)
    assert listed == sorted(listed)


def test_every_fault_of_a_zone_is_a_type():
    assert {fault.slug for fault in FAULTS} <= set(PROBLEM_TYPES)


def test_a_fault_of_the_zone_is_told_with_its_own_type(ask):
    problem = ask("POST", "/v1/tiny", json={"length": 1, "count": 13}).json()
    assert problem == {
        "type": "/problems/unknown-run",
        "title": "A run names a run that does not exist",
        "status": 422,
        "detail": "No run has the id heder.",
        "instance": "/v1/tiny",
        "errors": [{"pointer": "#/runs/1/from", "detail": "No run has the id heder.", "accepted": "header"}],
    }


def test_faults_of_several_kinds_are_told_together(ask):
    problem = ask("POST", "/v1/tiny", json={"length": 1, "count": 14}).json()
    assert problem["type"] == "/problems/zone-faults"
    assert [error["pointer"] for error in problem["errors"]] == ["#/runs/1/from", "#/runs"]


def test_a_surprise_is_logged_in_full_and_told_in_one_sentence(ask, caplog):
    with caplog.at_level(logging.ERROR, "service.surprises"):
        answer = ask("POST", "/v1/tiny", json={"length": 1, "count": 99}, headers={"Origin": "https://sheets.example"})
    assert answer.status_code == 500
    assert answer.json()["type"] == "/problems/unexpected"
    assert "secret" not in answer.text
    assert "Traceback" not in answer.text
    # A page elsewhere must see the 500, not a network error.
    assert answer.headers["Access-Control-Allow-Origin"] == "https://sheets.example"
    assert "a secret of the inside" in caplog.text
    assert caplog.records[0].fields["request_id"] == answer.headers["X-Request-ID"]


HOSTILE_PATHS = ["/<script>alert(1)</script>", "/v1/%3Cscript%3E", "/" + "a" * 300, "/v1/tiny%0d%0aX: 1", "/ü"]


@pytest.mark.parametrize("path", HOSTILE_PATHS)
def test_a_hostile_path_is_a_404_that_does_not_repeat_it(ask, path):
    answer = ask("GET", path)
    assert answer.status_code == 404
    assert "instance" not in answer.json()
    assert "script" not in answer.text


@pytest.mark.parametrize("path", ["/healthz/", "/v1/tiny/", "/problems/", "/docs/", "/nothing", "/problems/none"])
def test_another_address_is_a_404_and_no_redirect(ask, path):
    assert ask("GET", path).status_code == 404


@pytest.mark.parametrize("path", ["/../etc/passwd", "/static/../../etc/passwd", "/static/%2e%2e/%2e%2e/app.py"])
def test_no_path_leads_out_of_the_static_files(ask, path):
    assert ask("GET", path).status_code == 404


def test_pages_show_names_as_code_not_between_backticks(ask):
    page = ask("GET", "/problems/invalid-input").text
    assert "`" not in page
    assert "<code>errors</code>" in page
