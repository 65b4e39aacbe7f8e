"""Settings: read once, refused clearly."""

import pytest
from anyio import CapacityLimiter

from service.__main__ import main
from service.api.workers import Crew
from service.app import create_app
from service.settings import Settings, SettingsRefused, read_settings


def test_every_setting_has_a_working_default(monkeypatch):
    assert create_app(Settings()).state.settings.port == 8000


def test_settings_come_from_the_environment(monkeypatch):
    monkeypatch.setenv("ENDLINE_PORT", "8123")
    monkeypatch.setenv("ENDLINE_ALLOWED_ORIGINS", "https://a.example, https://b.example,")
    settings = read_settings()
    assert settings.port == 8123
    assert settings.allowed_origins == ("https://a.example", "https://b.example")


@pytest.mark.parametrize("origin", ["https://a.example", "http://127.0.0.1:8080", "http://[::1]:8080", "*"])
def test_an_origin_is_taken_as_browsers_send_it(origin):
    """RFC 6454, section 6.2: scheme, host and port, in small letters."""
    assert Settings(allowed_origins=origin.upper()).allowed_origins == (origin,)


@pytest.mark.parametrize("origin", ["https://a.example/", "a.example", "https://a.example; script-src *", "null"])
def test_an_origin_that_no_browser_sends_is_refused(monkeypatch, origin):
    monkeypatch.setenv("ENDLINE_ALLOWED_ORIGINS", f"https://b.example, {origin}")
    with pytest.raises(SettingsRefused, match=r"ENDLINE_ALLOWED_ORIGINS: .*https://sheets\.example"):
        read_settings()


@pytest.mark.parametrize("name", ["HEADER_SECONDS", "BODY_SECONDS", "SHUTDOWN_SECONDS", "BODY_BYTES_PER_SECOND"])
@pytest.mark.parametrize("value", ["inf", "nan", "0", "-1"])
def test_every_time_has_an_end(monkeypatch, name, value):
    monkeypatch.setenv(f"ENDLINE_{name}", value)
    with pytest.raises(SettingsRefused, match=f"ENDLINE_{name}"):
        read_settings()


def test_all_faults_of_the_environment_are_told_at_once(monkeypatch):
    monkeypatch.setenv("ENDLINE_PORT", "no port")
    monkeypatch.setenv("ENDLINE_QUEUE", "-1")
    monkeypatch.setenv("ENDLINE_WROKERS", "2")
    with pytest.raises(SettingsRefused) as refused:
        read_settings()
    assert {line.partition(":")[0] for line in str(refused.value).splitlines()} == {
        "ENDLINE_PORT",
        "ENDLINE_QUEUE",
        "ENDLINE_WROKERS",
    }


def test_serve_refuses_bad_settings_with_status_2(monkeypatch, capsys):
    monkeypatch.setenv("ENDLINE_QUEUE", "-1")
    assert main(["serve"]) == 2
    assert "ENDLINE_QUEUE" in capsys.readouterr().err


def test_serve_refuses_a_bad_parts_file_with_status_2(monkeypatch, capsys, tmp_path):
    parts = tmp_path / "parts.toml"
    parts.write_text("this is no TOML")
    monkeypatch.setenv("ENDLINE_PARTS_FILE", str(parts))
    assert main(["serve"]) == 2
    assert str(parts) in capsys.readouterr().err


@pytest.mark.parametrize("words", [[], ["sevre"], ["serve", "--prot", "1"]])
def test_a_wrong_command_is_told_with_status_2(words, capsys):
    with pytest.raises(SystemExit) as ended:
        main(words)
    assert ended.value.code == 2
    assert "usage: endline" in capsys.readouterr().err


def test_the_version_is_told(capsys):
    with pytest.raises(SystemExit) as ended:
        main(["--version"])
    assert ended.value.code == 0
    assert capsys.readouterr().out.startswith("endline ")


def test_calculations_share_the_cores_among_the_workers(monkeypatch):
    monkeypatch.setattr("os.cpu_count", lambda: 8)
    assert Settings(workers=2).calculations == 4
    assert Settings(workers=16).calculations == 1
    assert Settings(threads=3).calculations == 3
    assert Crew(CapacityLimiter(3), 4).most == 7
