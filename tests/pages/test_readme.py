"""What the README says of settings and commands is so."""

import re

from service.__main__ import SUBCOMMANDS
from service.app import create_app
from service.settings import PREFIX, Settings
from tests.examples.readme import README

TEXT = README.read_text(encoding="utf-8")


def rows():
    return dict(re.findall(rf"^\| `({PREFIX}[A-Z_]+)` \| ([^|]+) \|", TEXT, re.MULTILINE))


def test_every_setting_is_listed_once_and_no_other():
    assert list(rows()) == [PREFIX + name.upper() for name in Settings.model_fields]


def test_defaults_are_those_of_the_code(monkeypatch):
    for name in Settings.model_fields:
        monkeypatch.delenv(PREFIX + name.upper(), raising=False)
    told = {name: default.strip().strip("`") for name, default in rows().items()}
    for name, value in Settings():
        if value not in (None, ()):
            assert told[PREFIX + name.upper()] == (f"{value:g}" if isinstance(value, float) else str(value))


def test_its_set_up_is_two_commands():
    blocks = re.findall(r"```sh\n(.*?)```", TEXT, re.DOTALL)
    assert blocks[:2] == [
        "python3 -m venv .venv && .venv/bin/pip install -e '.[test]' && .venv/bin/endline demo\n",
        ".venv/bin/pytest\n",
    ]


def test_every_address_that_it_lists_is_served():
    paths = create_app(Settings()).openapi()["paths"]
    listed = re.findall(r"`(?:POST|GET) (/[^`]+)`", TEXT)
    assert set(listed) == set(paths)


def test_every_subcommand_that_it_names_exists(capsys):
    named = set(re.findall(r"(?:`|/)endline ([a-z]+)", TEXT))
    known = {subcommand.__name__.rpartition(".")[2] for subcommand in SUBCOMMANDS}
    assert named <= known
    assert {"demo", "serve", "check"} <= named
