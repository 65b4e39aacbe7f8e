"""A takeoff in every form that people and programs read it in."""

import csv
import io
import json
import re
import xml.etree.ElementTree as ET

import httpx
import pytest

from service.__main__ import main
from service.api import examples
from service.cli.reply import JSON
from service.cli.takeoff import TAKEOFF
from tests.examples.likeness import differences
from tests.examples.readme import README
from tests.takeoff.jobs import INLINE, job, zone

PRICED, UNPRICED = "takeoff-priced", "takeoff-unpriced"


def ask(service: httpx.Client, body, **parameters):
    reply = service.post(TAKEOFF, json=body, params=parameters, headers={"Content-Type": "application/json"})
    assert reply.status_code == 200, reply.text
    return reply


@pytest.mark.parametrize("name", examples.jobs())
def test_example_is_answered_as_committed(service, name):
    assert not list(differences(examples.job_takeoff(name), ask(service, examples.job(name)).json()))


def test_the_examples_are_one_job_priced_and_not():
    assert examples.jobs() == [PRICED, UNPRICED]
    assert examples.job_takeoff(PRICED)["totals"]["complete"] is True
    assert "totals" not in examples.job_takeoff(UNPRICED)
    needed = [
        {line["part"]: line["needed"] for line in examples.job_takeoff(name)["lines"]} for name in (PRICED, UNPRICED)
    ]
    priced, unpriced = ({part: amount for part, amount in each.items() if amount} for each in needed)
    assert priced == unpriced


def test_csv_has_one_line_an_item(service):
    told = ask(service, examples.job(PRICED)).json()
    reply = ask(service, examples.job(PRICED), format="csv")
    assert reply.headers["content-type"].startswith("text/csv")
    rows = list(csv.DictReader(io.StringIO(reply.text)))
    assert [row["id"] for row in rows] == [line["id"] for line in told["lines"]]
    for row, line in zip(rows, told["lines"], strict=True):
        assert float(row["quantity"]) == pytest.approx(line["quantity"], rel=1e-6)
        assert float(row["amount"]) == line["amount"]
        assert row["basis"] == line["basis"]
        assert (row["unit"], row["buy"]) == (line["unit"], line["buy"])


@pytest.mark.parametrize("table", ["packages", "reasons", "by_zone", "labour", "by_class", "allowances", "summary"])
def test_other_tables_come_as_csv_too(service, table):
    rows = list(csv.reader(io.StringIO(ask(service, examples.job(PRICED), format="csv", table=table).text)))
    assert len(rows) > 1
    assert len({len(row) for row in rows}) == 1


def test_each_share_of_a_zone_stands_beside_its_line(service):
    told = ask(service, examples.job(PRICED)).json()
    rows = list(csv.DictReader(io.StringIO(ask(service, examples.job(PRICED), format="csv", table="by_zone").text)))
    assert len(rows) == sum(len(line["by_zone"]) for line in told["lines"])
    assert {row["id"] for row in rows} == {line["id"] for line in told["lines"] if line["by_zone"]}


def test_xml_tells_the_same_total(service):
    root = ET.fromstring(ask(service, examples.job(PRICED), format="xml").content)  # noqa: S314 - our own answer
    total = examples.job_takeoff(PRICED)["totals"]["total"]
    assert float(root.findtext("totals_total")) == total


def test_one_value_for_a_cell(service):
    reply = ask(service, examples.job(PRICED), pick="totals.total")
    assert reply.text == f"{examples.job_takeoff(PRICED)['totals']['total']:g}"


def test_the_sheet_tells_every_line_its_reasons_and_the_total(service):
    page = ask(service, examples.job(PRICED), format="html").text
    told = examples.job_takeoff(PRICED)
    for line in told["lines"]:
        assert f"<code>{line['part']}</code>" in page
        assert all(reason["says"] in page for reason in line["reasons"])
    assert f"{told['totals']['total']:,.2f} USD" in page
    assert told["totals"]["rounding"] in page
    assert "src=" not in page
    assert "http" not in page  # nothing is fetched from elsewhere


def test_a_sheet_without_all_prices_says_so_at_the_top(service):
    body = examples.job(PRICED)
    del body["prices"]["parts"]["gravel"]
    page = ask(service, body, format="html").text
    head, _, _ = page.partition("What it takes to build")
    assert "total, not complete" in head
    assert "without a price and left out: 1 of 52 lines" in head
    assert "no price</td>" in page


def test_a_range_of_a_total_that_is_not_complete_says_so(service):
    body = examples.job(PRICED)
    assert re.search(r"With all that is uncertain: [0-9,.]+ to [0-9,.]+ USD\.", ask(service, body, format="html").text)
    del body["prices"]["parts"]["gravel"]
    assert " USD, without the lines that have no price." in ask(service, body, format="html").text


def test_the_sheet_tells_the_price_of_each_package(service):
    page = ask(service, examples.job(PRICED), format="html").text
    assert '<td>1 × 500 ft + 2 × 100 ft</td><td class="n">149.00 + 36.00</td><td class="n">221.00</td>' in page


def test_words_agree_with_their_numbers(service):
    body = examples.job(PRICED)
    body["labour"]["tasks"] += [
        {"task": "Join", "per": "head", "hours": 0.5}, {"task": "Finish", "per": "end", "hours": 0.001},
    ]  # fmt: skip
    page = ask(service, body, format="html").text
    for words in (
        "3 heads",
        "68 set outlets",
        "10 ends",
        ">6 bags<",
        ">3 rolls<",
        ">1 can<",
        "For 12 joints; a can lasts",
    ):
        assert words in page, words
    assert ">0.01<" in page  # ten ends of 0.001 h
    one = job(zone({"id": "row", "pipe": "dripline-17mm", "length": 10, "outlets": INLINE}))
    page = ask(service, one, format="html").text
    assert "For 1 joint; a roll lasts for 25." in page
    assert "5 % of 1 punched hole, rounded up." in page


@pytest.mark.parametrize(("zones", "columns"), [(8, True), (9, False)])
def test_shares_of_many_zones_are_asked_for_elsewhere(service, zones, columns):
    body = job(*[zone({"id": "row", "pipe": "dripline-17mm", "length": 10, "outlets": INLINE})] * zones)
    page = ask(service, body, format="html").text
    assert "What each zone needs" in page
    assert ('class="by-zone"' in page) is columns
    assert ("ask for format=csv and table=by_zone" in page) is not columns


def test_a_job_without_a_name_goes_by_that_of_its_only_zone(service):
    row = {"id": "row", "pipe": "dripline-17mm", "length": 10, "outlets": INLINE}
    assert ask(service, job(zone(row, name="Beds"))).json()["name"] == "Beds"
    assert ask(service, job(zone(row))).json()["name"] == "job"
    assert ask(service, job(zone(row, name="Beds"), zone(row))).json()["name"] == "job"


def test_hostile_names_are_harmless(service):
    name = "<script>=1+1</script>"
    body = job(zone({"id": "row", "pipe": "dripline-17mm", "length": 10, "outlets": INLINE}, name=name), name=name)
    assert "<script>" not in ask(service, body, format="html").text
    table = ask(service, body, format="csv", table="by_zone").text
    assert ",=" not in table
    assert '"=' not in table


# the command


@pytest.fixture
def files(tmp_path):
    def write(name, content):
        file = tmp_path / name
        file.write_text(content if isinstance(content, str) else json.dumps(content), encoding="utf-8")
        return str(file)

    return write


def test_the_command_prints_the_table(files, capsys):
    assert main(["takeoff", files("job.json", examples.job(PRICED))]) == 0
    out = capsys.readouterr().out
    assert out.startswith("Flower plot behind the village hall\n  3 zones, 708 outlets, 52 lines\n")
    assert re.search(r"\n  Total +4,143\.04\n", out)
    assert max(map(len, out.splitlines())) <= 80


def test_prices_from_a_file(files, capsys):
    book = examples.job(PRICED)["prices"]
    file = files("job.json", examples.job(UNPRICED))
    assert main(["takeoff", file]) == 0
    assert "USD" not in capsys.readouterr().out
    assert main(["takeoff", file, "--prices", files("prices.json", book)]) == 0
    assert "What it comes to" in capsys.readouterr().out


def test_a_single_zone_is_a_job_of_one(files, capsys):
    assert main(["takeoff", files("zone.json", examples.request(examples.DEMO))]) == 0
    assert capsys.readouterr().out.startswith("Flower plot, dahlia rows\n  1 zone, 640 outlets")


def test_json_is_what_the_service_answers(service, files, capsys):
    assert main(["takeoff", files("job.json", examples.job(PRICED)), "--json"]) == 0
    printed = json.loads(capsys.readouterr().out)
    reply = service.post(TAKEOFF, json=examples.job(PRICED), headers=JSON)
    assert not list(differences(printed, reply.json()))


@pytest.mark.parametrize(
    ("text", "prices", "told"),
    [
        ("{", None, "JSON"),
        ("{", {"currency": "USD", "parts": {}}, "job.json: "),
        ({"zones": []}, None, "#/zones: "),
        ({"zones": []}, "[1]", "prices.json: An object is needed here."),
        (examples.job(UNPRICED), {"currency": "USD", "parts": {"gravle": {"unit": 1}}}, "gravel"),
    ],
)
def test_what_cannot_be_read_ends_with_2(text, prices, told, files, capsys):
    more = [] if prices is None else ["--prices", files("prices.json", prices)]
    assert main(["takeoff", files("job.json", text), *more]) == 2
    assert told in capsys.readouterr().err


def test_a_missing_file_is_said_so(capsys):
    assert main(["takeoff", "no-such-job.json"]) == 2
    assert capsys.readouterr().err == "endline: no-such-job.json: No such file or directory\n"


def test_the_price_book_of_the_operator(files, monkeypatch, capsys):
    monkeypatch.setenv("ENDLINE_PRICES_FILE", files("house.json", examples.job(PRICED)["prices"]))
    assert main(["takeoff", files("job.json", examples.job(UNPRICED))]) == 0
    assert "What it comes to" in capsys.readouterr().out


def test_the_price_book_of_the_readme_is_one(files, capsys):
    book = re.search(r"```json\n(\{\n  \"currency\".*?)```", README.read_text("utf-8"), re.DOTALL)[1]
    assert main(["takeoff", files("job.json", examples.job(UNPRICED)), "--prices", files("prices.json", book)]) == 0
    # 127.05 ft: a coil at 31.00 and 28 whole feet at 0.45.
    assert re.search(r"pe-0\.75in +127 +ft +1 × 100 ft \+ 28 ft cut off +43\.60", capsys.readouterr().out)


@pytest.fixture
def refused_prices(files, monkeypatch, capsys):
    def take_off(house):
        monkeypatch.setenv("ENDLINE_PRICES_FILE", house)
        assert main(["takeoff", files("job.json", examples.job(UNPRICED))]) == 2
        return capsys.readouterr().err

    return take_off


def test_a_price_book_that_cannot_be_used_is_said_so(files, refused_prices):
    assert "not valid JSON" in refused_prices(files("house.json", "{"))
    assert "parts.gravle: " in refused_prices(
        files("house.json", {"currency": "USD", "parts": {"gravle": {"unit": 1}}})
    )
    assert "cannot be read" in refused_prices("no-such-prices.json")
