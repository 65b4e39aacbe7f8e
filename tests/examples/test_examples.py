"""Every example, posted to the running service, is answered as committed; the README says what is so."""

import json

import pytest

from service.api import examples
from service.cli.reply import CHECK, JSON
from tests.examples.likeness import differences
from tests.examples.readme import block, curl
from tests.examples.rewrite import SHOWN, excerpt
from tests.running import running_service


@pytest.fixture(scope="module")
def service():
    with running_service() as client:
        yield client


def ask(service, body, path=CHECK):
    reply = service.post(path, content=body, headers=JSON)
    assert reply.status_code == 200, reply.text
    return reply.json()


@pytest.mark.parametrize("name", examples.names())
def test_example_is_answered_as_committed(service, name):
    assert not list(differences(examples.answer(name), ask(service, examples.written(name))))


# What each example is there to show, from the arithmetic of the zone or the rule that its name speaks of.
VERDICTS = {
    "dahlia-rows": {"pass"},
    "dahlia-rows-end-to-end": {"fail"},
    "long-line-from-one-end": {"fail"},
}


@pytest.mark.parametrize(("name", "verdicts"), VERDICTS.items())
def test_example_shows_what_it_is_there_for(service, name, verdicts):
    assert ask(service, examples.written(name))["verdict"] in verdicts


def test_answer_of_the_curl_example_is_the_one_in_the_readme(service):
    path, body = curl()
    assert not list(differences(json.loads(block("answer")), ask(service, body, path)))


@pytest.mark.parametrize("name", SHOWN)
def test_table_in_the_readme_is_the_one_at_the_terminal(name):
    assert block(name) == excerpt(name)


def test_every_answer_belongs_to_a_request():
    answers = {file.name for file in examples.folder().iterdir() if file.name.endswith(examples.ANSWER)}
    assert answers == {name + examples.ANSWER for name in examples.names()}


def test_likeness_tells_differences():
    alike = {"a": [1.0, {"b": "x"}], "iterations": 5}
    assert not list(differences(alike, {"a": [1.0 + 1e-8, {"b": "x"}], "iterations": 7}))
    other = {"a": [1.1, {"b": "y", "c": 1}], "iterations": 5}
    assert len(list(differences(alike, other))) == 3
    assert list(differences({"a": True}, {"a": 1}))
