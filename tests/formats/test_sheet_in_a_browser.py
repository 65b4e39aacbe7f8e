"""The printable sheet in a real browser: complete in itself, on a phone and on paper."""

import base64

import pytest

from service.api import examples
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


def test_a_zone_is_two_pages_on_paper(browser, service, tmp_path):
    import httpx

    zone = examples.request(examples.DEMO)
    answer = httpx.post(f"{service}/v1/zones/check?format=html", json=zone, trust_env=False)
    (tmp_path / "sheet.html").write_bytes(answer.content)
    browser.get((tmp_path / "sheet.html").as_uri())
    printed = browser.execute_cdp_cmd("Page.printToPDF", {"printBackground": False, "preferCSSPageSize": True})
    pages = base64.b64decode(printed["data"])
    assert pages.startswith(b"%PDF")
    assert pages.count(b"/Type /Page\n") == 2
