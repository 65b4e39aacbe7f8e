"""A real spreadsheet program reads the running service: single values, CSV, HTML tables and XML."""

import json
import subprocess
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread

import pytest

from service.render.formats import FORMATS, Told
from tests.formats.documents import MODEL
from tests.formats.questions import profile, uniform
from tests.formats.test_hostile_text import FORMULAS, INSIDE, MARKUP, told

pytestmark = pytest.mark.debian

DRIVER = Path(__file__).with_name("calc") / "drive.py"

SHEETS_OWN_PYTHON = "/usr/bin/python3"

CSV_FILTER, HTML_FILTER = "Text - txt - csv (StarCalc)", "calc_HTML_WebQuery"

ENGLISH, GERMAN = 1033, 1031


def csv_link(url, *, parted_by=",", language=ENGLISH):
    """A link to external data, its columns parted and its numbers read as told."""
    options = f"{ord(parted_by)},34,76,1,,{language},false,true"
    return {"url": url, "source": "CSV_all", "filter": CSV_FILTER, "options": options}


def html_link(url, table):
    return {"url": url, "source": f"HTML_1 - {table} - {table}", "filter": HTML_FILTER, "options": ""}


def calculated(*, formulas=None, links=(), locale="en-US"):
    """The cells of a book with these formulas and links."""
    job = {"formulas": formulas or {}, "links": list(links), "locale": locale}
    done = subprocess.run(
        [SHEETS_OWN_PYTHON, str(DRIVER)],
        input=json.dumps(job),
        capture_output=True,
        text=True,
        timeout=180,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


@pytest.fixture(scope="module")
def base(service):
    return str(service.base_url)


def web(url):
    return f'WEBSERVICE("{url}")'


@pytest.fixture(scope="module")
def answer(service):
    return service.get(uniform()).json()


def test_single_values_in_an_english_sheet(base, answer):
    xml = web(base + uniform(format="xml"))
    runs = web(base + uniform(format="xml", table="runs"))
    formulas = {
        "A1": f"=VALUE({web(base + uniform(pick='end_of_line_pressure'))})",
        "A2": f"={web(base + uniform(pick='regulator.advice'))}",
        "A3": f'=FILTERXML({xml};"number(//flow)")',
        "A4": f"=FILTERXML({runs};\"number(//row[run='lateral:2']/end_pressure)\")",
        "A5": f'=FILTERXML({xml};"//verdict")',
        "A6": f"={web(base + uniform(spacing=-1))}",
        "A7": f"={web(base + uniform(spacing=-1, errors='text'))}",
        "A8": f"=VALUE({web(base + uniform(pick='runs.lateral:2.end_pressure'))})",
    }
    cells = calculated(formulas=formulas)["cells"]
    lateral = next(run for run in answer["runs"] if run["run"] == "lateral:2")
    assert cells["A1"]["value"] == pytest.approx(answer["end_of_line_pressure"], rel=1e-6)
    assert cells["A2"]["text"] == answer["regulator"]["advice"]
    assert cells["A3"]["value"] == pytest.approx(answer["flow"], rel=1e-6)
    assert cells["A4"]["value"] == cells["A8"]["value"] == pytest.approx(lateral["end_pressure"], rel=1e-6)
    assert cells["A5"]["text"] == answer["verdict"]
    assert cells["A6"]["error"]
    assert cells["A7"]["text"].startswith("ERROR: spacing: ")


def test_single_values_in_a_german_sheet(service, base, answer):
    name = "end_of_line_pressure"
    wider = service.get(uniform(spacing=2.5)).json()
    # The sheet writes its own number into the address, with its own decimal mark.
    written = web(base + uniform(pick=name).replace("spacing=2", 'spacing="&B1&"'))
    formulas = {
        "B1": "=2.5",
        "A1": f"=VALUE({web(base + uniform(pick=name, decimal='comma'))})",
        "A2": f'=NUMBERVALUE({web(base + uniform(pick=name))};".")',
        "A3": f'=FILTERXML({web(base + uniform(format="xml"))};"number(//flow)")',
        "A4": f'=NUMBERVALUE({written};".")',
    }
    cells = calculated(formulas=formulas, locale="de-DE")["cells"]
    assert cells["B1"]["text"] == "2,5"
    assert [cells[name]["error"] for name in formulas] == [0] * len(formulas)
    assert cells["A1"]["value"] == cells["A2"]["value"] == pytest.approx(answer[name], rel=1e-6)
    assert cells["A3"]["value"] == pytest.approx(answer["flow"], rel=1e-6)
    assert cells["A4"]["value"] == pytest.approx(wider[name], rel=1e-6)
    assert wider[name] != answer[name]


def rows_of(link):
    heading, *body = link["data"]
    return [dict(zip((name.partition(" [")[0] for name in heading), row, strict=True)) for row in body]


def alike(rows, expected):
    assert len(rows) == len(expected)
    for row, values in zip(rows, expected, strict=True):
        for name, value in values.items():
            assert row[name] == (pytest.approx(value, rel=1e-6) if isinstance(value, float) else value)


def test_tables_by_link(service, base, answer):
    line = service.get(profile()).json()
    links = [
        csv_link(base + uniform(table="runs")),
        csv_link(base + uniform(table="runs", download="true")),
        html_link(base + uniform(table="budget", format="html"), "budget"),
        csv_link(base + uniform(table="runs", decimal="comma"), parted_by=";", language=GERMAN),
        csv_link(base + profile(format="csv")),
    ]
    english, marked, budget, commas, places = calculated(links=links)["links"]
    for link in (english, marked, commas):
        alike(rows_of(link), answer["runs"])
    alike(rows_of(budget), answer["loss_budget"])
    assert [row["pressure"] for row in rows_of(places)] == pytest.approx(
        [row["pressure"] for row in line["profile"]], rel=1e-6
    )


def test_tables_by_link_in_a_german_sheet(base, answer):
    links = [
        csv_link(base + uniform(table="runs", decimal="comma"), parted_by=";", language=0),
        html_link(base + uniform(table="runs", format="html", decimal="comma"), "runs"),
    ]
    for link in calculated(links=links, locale="de-DE")["links"]:
        alike(rows_of(link), answer["runs"])


@contextmanager
def serving(files):
    """A server of these bodies by path: (type, body)."""

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self):
            media_type, body = files[self.path]
            self.send_response(200)
            self.send_header("Content-Type", media_type)
            self.send_header("Content-Length", str(len(body)))
            self.end_headers()
            if self.command == "GET":
                self.wfile.write(body)

        do_HEAD = do_GET  # noqa: N815 - the name that the server looks for

        def log_message(self, *_):
            pass

    with ThreadingHTTPServer(("127.0.0.1", 0), Handler) as server:
        thread = Thread(target=server.serve_forever)
        thread.start()
        try:
            yield f"http://127.0.0.1:{server.server_port}"
        finally:
            server.shutdown()
            thread.join()


def test_no_text_is_run_as_a_formula():
    """A name cannot be sent in a query today; the formats must hold whatever they are given."""
    texts = [text for text in (*FORMULAS, *INSIDE, *MARKUP) if text.strip()]
    files = {}
    for number, text in enumerate(texts):
        for form in ("csv", "html"):
            written = FORMATS[form].write(Told(MODEL, told(text), table="findings"))
            files[f"/{number}.{form}"] = (FORMATS[form].media_type, written)
    with serving(files) as base:
        links = [
            html_link(base + path, "findings") if path.endswith("html") else csv_link(base + path) for path in files
        ] + [csv_link(base + path, parted_by=";") for path in files if path.endswith("csv")]
        found = calculated(links=links)["links"]
    for link in found:
        assert not [cell for row in link["formulas"] for cell in row if cell.startswith("=")]
    shown = [link["data"][1][3] for path, link in zip(files, found, strict=False) if path.endswith("csv")]
    assert [cell.replace("'", "") for cell in shown] == [text.replace("'", "") for text in texts]
