"""The page at `/` in a real browser: at a desk and on a phone, with nothing but the service to ask."""

import pytest

from tests.running import running_service

pytestmark = pytest.mark.debian

PHONE, DESK = (360, 740), (1280, 900)


@pytest.fixture(scope="module")
def service():
    with running_service() as client:
        yield str(client.base_url)


@pytest.fixture(scope="module")
def browser():
    from selenium import webdriver
    from selenium.webdriver.chrome.service import Service

    options = webdriver.ChromeOptions()
    for flag in (
        "--headless",
        "--no-sandbox",
        "--disable-gpu",
        "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
    ):
        options.add_argument(flag)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    driver = webdriver.Chrome(options, Service("/usr/bin/chromedriver"))
    yield driver
    driver.quit()


@pytest.fixture
def page(browser, service):
    browser.get(service)
    return browser


def resize(browser, width, height):
    browser.execute_cdp_cmd(
        "Emulation.setDeviceMetricsOverride",
        {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": width < 500},
    )


def checked(browser):
    from selenium.webdriver.common.by import By
    from selenium.webdriver.support.ui import WebDriverWait

    browser.find_element(By.CSS_SELECTOR, "#zone-form button").click()
    return WebDriverWait(browser, 20).until(lambda _: browser.find_element(By.ID, "result").text)


@pytest.mark.parametrize("size", [PHONE, DESK])
def test_it_never_scrolls_sideways(page, size):
    resize(page, *size)
    assert page.execute_script("return document.documentElement.scrollWidth") <= size[0]


@pytest.mark.parametrize("size", [PHONE, DESK])
def test_the_evidence_unfolds_without_scrolling_sideways(browser, service, size):
    resize(browser, *size)
    browser.get(service + "/evidence")
    browser.execute_script("for (const folded of document.querySelectorAll('details')) folded.open = true")
    assert browser.execute_script("return document.documentElement.scrollWidth") <= size[0]
    assert browser.execute_script("return document.querySelector('svg.differences').clientHeight") > 100
    assert browser.get_log("browser") == []


def test_its_drawing_has_a_height_and_its_script_runs_without_complaint(page):
    assert page.execute_script("return document.querySelector('figure svg').getBoundingClientRect().height") > 100
    assert page.get_log("browser") == []


def test_the_form_checks_the_zone_that_stands_in_it(page):
    text = checked(page)
    assert "psi" in text
    assert "Pressure regulator" in text


def test_the_form_tells_where_a_zone_is_wrong(page):
    page.execute_script(
        "const { zone } = document.forms[0].elements; zone.value = zone.value.replace('length', 'lenght')"
    )
    assert "#/runs/0/lenght" in checked(page)


def test_the_api_browser_shows_the_check(browser, service):
    from selenium.webdriver.common.by import By
    from selenium.webdriver.support.ui import WebDriverWait

    browser.get(service + "/docs")
    WebDriverWait(browser, 20).until(lambda _: "/v1/zones/check" in browser.find_element(By.TAG_NAME, "body").text)
