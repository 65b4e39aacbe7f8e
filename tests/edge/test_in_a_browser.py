"""A real browser: the API browser without the internet, and a form of another site that asks the service."""

import threading
from http.server import BaseHTTPRequestHandler, HTTPServer

import pytest

from tests.edge.processes import started

pytestmark = pytest.mark.debian

FORM = """<!doctype html><meta charset="utf-8"><title>waiting</title><script>
const ask = (path, body) => fetch("SERVICE" + path, {
  method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body),
}).then((answer) => answer.status + " " + answer.headers.get("X-Request-ID").length, (fault) => fault.name);
Promise.all([ask("/v1/tiny", { length: 1 }), ask("/v1/tiny", { length: -1 }), ask("/v1/tiny", { length: 1, count: 99 }),
  ask("/nothing", {}), ask("/v1/tiny", "x".repeat(2 ** 20))]).then((told) => { document.title = told.join(", "); });
</script>"""


@pytest.fixture(scope="module")
def browser():
    from selenium import webdriver
    from selenium.webdriver.chrome.service import Service

    options = webdriver.ChromeOptions()
    resolver = "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1"
    for flag in ("--headless", "--no-sandbox", "--disable-gpu", "--window-size=1280,900", resolver):
        options.add_argument(flag)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    driver = webdriver.Chrome(options, Service("/usr/bin/chromedriver"))
    yield driver
    driver.quit()


@pytest.fixture(scope="module")
def site():
    """Another site: one page with a form's script, on a port of its own."""

    class Page(BaseHTTPRequestHandler):
        def do_GET(self):
            self.send_response(200)
            self.send_header("Content-Type", "text/html")
            self.end_headers()
            self.wfile.write(self.server.page.encode())

        def log_message(self, *_):
            pass

    with HTTPServer(("127.0.0.1", 0), Page) as server:
        server.page = ""
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield server
        server.shutdown()


def wait(browser, condition):
    from selenium.webdriver.support.ui import WebDriverWait

    return WebDriverWait(browser, 30).until(condition)


def test_the_api_browser_works_without_the_internet(browser):
    from selenium.webdriver.common.by import By

    with started("service", "serve") as service:
        browser.get(f"{service.url}/docs")
        operations = wait(browser, lambda page: page.find_elements(By.CSS_SELECTOR, ".opblock-summary-path"))
        assert "/v1/zones/check" in {operation.text.replace("\u200b", "") for operation in operations}
        operations[0].click()
        wait(browser, lambda page: page.find_elements(By.CSS_SELECTOR, ".opblock-body"))
        assert browser.get_log("browser") == []


@pytest.mark.parametrize(
    ("listed", "told"),
    [(True, "200 32, 422 32, 500 32, 404 32, 413 32"), (False, ", ".join(["TypeError"] * 5))],
)
def test_a_form_of_another_site_sees_every_ending_if_its_origin_is_listed(browser, site, listed, told):
    origin = f"http://127.0.0.1:{site.server_port}"
    with started(allowed_origins=origin if listed else "https://sheets.example") as service:
        site.page = FORM.replace("SERVICE", service.url)
        browser.get(origin)
        wait(browser, lambda page: page.title != "waiting")
        assert browser.title == told
    browser.get_log("browser")
