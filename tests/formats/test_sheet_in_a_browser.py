"""The printable sheet in a real browser: complete in itself, on a phone and on paper."""

import base64
import io
from collections import defaultdict

import pytest
from pypdf import PdfReader

from service.api import documented, examples
from tests.formats.questions import profile, uniform
from tests.running import running_service

pytestmark = pytest.mark.debian

PHONE, DESK = (360, 740), (1280, 900)

ADDRESSES = {
    "zone": uniform(format="html"),
    "line": profile(format="html"),
    "table": uniform(format="html", table="runs"),
    "parts": "/v1/parts?format=html&kind=regulator",
}


@pytest.fixture(scope="module")
def service():
    with running_service() as client:
        yield str(client.base_url)


@pytest.fixture(scope="module")
def browser():
    from selenium import webdriver
    from selenium.webdriver.chrome.service import Service

    options = webdriver.ChromeOptions()
    resolver = "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1"
    for flag in ("--headless", "--no-sandbox", "--disable-gpu", resolver):
        options.add_argument(flag)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    driver = webdriver.Chrome(options, Service("/usr/bin/chromedriver"))
    yield driver
    driver.quit()


def resize(browser, width, height):
    browser.execute_cdp_cmd(
        "Emulation.setDeviceMetricsOverride",
        {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": width < 500},
    )


@pytest.mark.parametrize("name", ADDRESSES)
def test_it_fetches_nothing_and_complains_of_nothing(browser, service, name):
    browser.get(service + ADDRESSES[name])
    assert browser.execute_script("return performance.getEntriesByType('resource').length") == 0
    assert browser.get_log("browser") == []


@pytest.mark.parametrize("size", [PHONE, DESK])
@pytest.mark.parametrize("name", ["zone", "line"])
def test_it_never_scrolls_sideways(browser, service, size, name):
    browser.get(service + ADDRESSES[name])
    resize(browser, *size)
    assert browser.execute_script("return document.documentElement.scrollWidth") <= size[0]


def test_what_to_buy_is_read_on_a_phone(browser, service, tmp_path):
    job = documented.job_requests()["takeoff-priced"]["value"]
    opened(browser, tmp_path, service + JOB, job)
    resize(browser, *PHONE)
    box = "const {left, right} = each.getBoundingClientRect(); return [left, right]"
    first, last = (
        browser.execute_script(f"return [...document.querySelectorAll('.takeoff td:{which}')].map(each => {{{box}}})")
        for which in ("first-child", "last-child")
    )
    assert len(first) == len(last) > 20
    assert all(right - left > PHONE[0] * 0.8 for left, right in first)
    assert all(right <= PHONE[0] for _, right in last)


def test_it_says_what_the_document_says(browser, service):
    import httpx

    browser.get(service + ADDRESSES["zone"])
    text = browser.execute_script("return document.body.innerText")
    answer = httpx.get(service + uniform(), trust_env=False).json()
    assert answer["verdict"].upper() in text
    for listed in ("findings", "cautions"):
        assert all(row["message"] in text for row in answer[listed])
    assert all(run["run"].partition(":")[0] in text for run in answer["runs"])
    assert "What it takes to build" in text
    assert browser.execute_script("return document.querySelector('figure svg').getBoundingClientRect().height") > 100


PAPERS = {"letter": (8.5, 11.0), "A4": (8.27, 11.69)}
"""Width and height. [in]"""

LEAST_LINES = 5
"""On the last page: a sheet of paper more is not worth a line or two. [-]"""

ZONE, JOB, REGULATOR = "/v1/zones/check", "/v1/zones/takeoff", "/v1/regulators/advice"
DEMO = examples.request(examples.DEMO)


def beds(count, name="bed"):
    """The demo zone with rows that are runs of their own, half a foot apart along the header."""
    feed, header, row = DEMO["runs"]
    own = {key: value for key, value in row.items() if key != "copies"}
    rows = ({**own, "id": f"{name}-{at}", "from_at": at / 2, "length": 20} for at in range(count))
    return {**DEMO, "runs": [feed, header, *rows]}


MATTERS = {
    **{name: (ZONE, shown["value"]) for name, shown in documented.zone_requests().items()},
    **{name: (JOB, shown["value"]) for name, shown in documented.job_requests().items()},
    **{name: ("/v1/laterals/profile", shown["value"]) for name, shown in documented.LATERAL_REQUESTS.items()},
    **{name: ("/v1/filters/advice", shown["value"]) for name, shown in documented.FILTER_REQUESTS.items()},
    "regulator for rows": (REGULATOR, DEMO),
    "regulator for one line": (REGULATOR, examples.request("long-line-from-one-end")),
    "ten beds": (ZONE, beds(10)),
    "forty beds": (ZONE, beds(40)),
    "beds with long names": (ZONE, {**beds(6, "the-bed-behind-the-rose-bank" * 2), "name": "Village hall, " * 12}),
}


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("matter", MATTERS)
def test_a_printed_sheet_ends_in_a_page_worth_its_paper(browser, service, tmp_path, matter, paper):
    path, body = MATTERS[matter]
    pages = printed(browser, tmp_path, service + path, body, paper)
    lines = [[line for line in page.extract_text().splitlines() if line.strip()] for page in pages]
    assert len(lines[-1]) >= LEAST_LINES
    for page in pages:
        assert all(0 < x < page.mediabox.width and 0 < y < page.mediabox.height for x, y in places_of_words(page))


FEWEST_ROWS = 2
"""Rows of a table that a page break leaves together. [-]"""

WHOLE_ROWS = 8
"""Rows of the longest table of runs that no page break parts. [-]"""

EDGE = 0.3 * 72
"""What printers leave white. [points]"""


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("matter", MATTERS)
def test_no_page_break_leaves_a_row_alone_and_nothing_is_cut_off(browser, service, tmp_path, matter, paper):
    path, body = MATTERS[matter]
    rows = defaultdict(lambda: defaultdict(set))
    for number, page in enumerate(printed(browser, tmp_path, service + path, body, paper, first=MARK_CELLS)):
        for table, row, (left, bottom, right, top) in marked_cells(page):
            rows[table][number].add(row)
            assert left > EDGE
            assert bottom > EDGE
            assert right < page.mediabox.width - EDGE
            assert top < page.mediabox.height - EDGE
    assert rows
    for on_pages in rows.values():
        whole = sum(map(len, on_pages.values()))
        assert len(on_pages) == 1 or whole > WHOLE_ROWS
        assert all(len(there) >= min(FEWEST_ROWS, whole) for there in on_pages.values())


MARK_CELLS = """
document.querySelectorAll("table").forEach((table, at) => table.querySelectorAll("tbody tr").forEach((row, line) => {
    for (const cell of row.cells) {
        const link = document.createElement("a");
        link.href = `https://cell.example/${at}/${line}`;
        link.append(...cell.childNodes);
        cell.append(link);
    }
}));
"""
"""Makes each cell a link: a printed page tells where its links are."""


def marked_cells(page):
    """Number of the table, number of the row, and place on the page [points] of all cells with something in them."""
    for note in page.get("/Annots", ()):
        link = note.get_object()
        table, row = link["/A"]["/URI"].split("/")[-2:]
        yield int(table), int(row), [float(edge) for edge in link["/Rect"]]


@pytest.mark.parametrize("paper", PAPERS)
def test_the_demo_zone_is_two_pages_on_paper(browser, service, tmp_path, paper):
    assert len(printed(browser, tmp_path, service + ZONE, DEMO, paper)) == 2


def opened(browser, folder, address, body):
    """Show the sheet that answers."""
    import httpx

    answer = httpx.post(f"{address}?format=html", json=body, trust_env=False, timeout=60).raise_for_status()
    (folder / "sheet.html").write_bytes(answer.content)
    browser.get((folder / "sheet.html").as_uri())


def printed(browser, folder, address, body, paper, *, first=""):
    """Pages of the sheet that answers, after a script has run on it."""
    opened(browser, folder, address, body)
    browser.execute_script(first)
    width, height = PAPERS[paper]
    how = {"printBackground": False, "paperWidth": width, "paperHeight": height}
    pages = base64.b64decode(browser.execute_cdp_cmd("Page.printToPDF", how)["data"])
    return PdfReader(io.BytesIO(pages)).pages


def places_of_words(page):
    """Where words begin on a page. [points]"""
    places = []

    def note(text, outer, inner, *font):
        if text.strip():
            x, y = inner[4], inner[5]
            places.append((outer[0] * x + outer[2] * y + outer[4], outer[1] * x + outer[3] * y + outer[5]))

    page.extract_text(visitor_text=note)
    return places
