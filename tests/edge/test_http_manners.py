"""HEAD, OPTIONS, Range, Allow, other origins, headers for browsers, request ids."""

import pytest

SHEETS = "https://sheets.example"
STRANGER = "https://stranger.example"

GETS = [
    "/healthz",
    "/readyz",
    "/docs",
    "/openapi.json",
    "/problems",
    "/problems/busy",
    "/favicon.ico",
    "/static/page.css",
]


@pytest.mark.parametrize("path", [*GETS, "/v1/tiny?length=1"])
def test_head_is_get_without_a_body(ask, path):
    get = ask("GET", path)
    head = ask("HEAD", path)
    assert (get.status_code, head.status_code) == (200, 200)
    assert head.content == b""
    assert head.headers["Content-Length"] == str(len(get.content))
    assert head.headers["Content-Type"] == get.headers["Content-Type"]


@pytest.mark.parametrize("path", [*GETS, "/v1/tiny?length=1"])
def test_a_range_gets_the_whole(ask, path):
    answer = ask("GET", path, headers={"Range": "bytes=0-0"})
    assert answer.status_code == 200
    assert answer.content == ask("GET", path).content


ALLOW = [
    ("/v1/tiny", "GET, HEAD, OPTIONS, POST"),
    ("/v1/job", "OPTIONS, POST"),
    ("/healthz", "GET, HEAD, OPTIONS"),
    ("/static/page.css", "GET, HEAD, OPTIONS"),
]


@pytest.mark.parametrize(("path", "allow"), ALLOW)
def test_options_says_how_an_address_is_asked(ask, path, allow):
    answer = ask("OPTIONS", path)
    assert answer.status_code == 204
    assert answer.headers["Allow"] == allow


@pytest.mark.parametrize(("path", "allow"), ALLOW)
@pytest.mark.parametrize("method", ["DELETE", "PUT", "PATCH", "TRACE", "BREW"])
def test_another_method_is_a_405_with_allow(ask, path, allow, method):
    answer = ask(method, path)
    assert answer.status_code == 405
    assert answer.headers["Allow"] == allow
    assert answer.json()["type"] == "/problems/method-not-allowed"


def test_head_of_an_address_that_takes_a_body_is_a_405(ask):
    assert ask("HEAD", "/v1/job").status_code == 405


PREFLIGHT = {"Access-Control-Request-Method": "POST", "Access-Control-Request-Headers": "content-type"}


def test_a_page_of_a_listed_origin_may_ask(ask):
    answer = ask("OPTIONS", "/v1/tiny", headers={"Origin": SHEETS, **PREFLIGHT})
    assert answer.status_code == 204
    assert answer.headers["Access-Control-Allow-Origin"] == SHEETS
    assert "POST" in answer.headers["Access-Control-Allow-Methods"]
    assert "content-type" in answer.headers["Access-Control-Allow-Headers"].lower()
    assert int(answer.headers["Access-Control-Max-Age"]) > 0
    assert "Origin" in answer.headers["Vary"]
    assert "Access-Control-Allow-Credentials" not in answer.headers


REFUSED_PREFLIGHTS = [
    {"Origin": STRANGER, **PREFLIGHT},
    {"Origin": SHEETS, **PREFLIGHT, "Access-Control-Request-Method": "DELETE"},
    {"Origin": SHEETS, **PREFLIGHT, "Access-Control-Request-Headers": "authorization"},
]


@pytest.mark.parametrize("headers", REFUSED_PREFLIGHTS)
def test_another_preflight_is_a_problem(ask, headers):
    answer = ask("OPTIONS", "/v1/tiny", headers=headers)
    assert answer.status_code == 403
    assert answer.json()["type"] == "/problems/not-allowed"
    assert answer.headers.get("Access-Control-Allow-Origin") != STRANGER


ENDINGS = [
    ("POST", "/v1/tiny", {"json": {"length": 1}}, 200),
    ("POST", "/v1/tiny", {"content": b"{"}, 415),
    ("POST", "/v1/tiny", {"json": {}}, 422),
    ("POST", "/v1/tiny", {"json": " " * 1024 * 1024}, 413),
    ("GET", "/nothing", {}, 404),
    ("DELETE", "/v1/tiny", {}, 405),
    ("GET", "/v1/status/429", {}, 429),
    ("GET", "/" + "a" * 9000, {}, 414),
]


@pytest.mark.parametrize(("method", "path", "sent", "status"), ENDINGS)
def test_a_page_of_a_listed_origin_reads_every_ending(ask, method, path, sent, status):
    answer = ask(method, path, headers={"Origin": SHEETS}, **sent)
    assert answer.status_code == status
    assert answer.headers["Access-Control-Allow-Origin"] == SHEETS
    assert "X-Request-ID" in answer.headers["Access-Control-Expose-Headers"]
    assert "Origin" in answer.headers["Vary"]


@pytest.mark.parametrize("headers", [{}, {"Origin": STRANGER}])
def test_others_are_told_nothing_and_caches_keep_them_apart(ask, headers):
    answer = ask("GET", "/healthz", headers=headers)
    assert "Access-Control-Allow-Origin" not in answer.headers
    assert "Origin" in answer.headers["Vary"]


def test_every_origin_may_be_listed():
    from service.settings import Settings
    from tests.edge.conftest import asker

    answer = asker(Settings(allowed_origins="*"))("GET", "/healthz", headers={"Origin": STRANGER})
    assert answer.headers["Access-Control-Allow-Origin"] == "*"
    assert "frame-ancestors *" in answer.headers["Content-Security-Policy"]


@pytest.mark.parametrize(("method", "path", "sent", "status"), ENDINGS)
def test_every_ending_guards_the_browser(ask, method, path, sent, status):
    headers = ask(method, path, **sent).headers
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "no-referrer"
    assert "default-src 'self'" in headers["Content-Security-Policy"]
    assert f"frame-ancestors 'self' {SHEETS}" in headers["Content-Security-Policy"]
    assert headers["Cache-Control"] == "no-store"


@pytest.mark.parametrize("given", ["job-17", "a" * 64, "2026.11_25"])
def test_a_plain_request_id_comes_back(ask, given):
    assert ask("GET", "/healthz", headers={"X-Request-ID": given}).headers["X-Request-ID"] == given


@pytest.mark.parametrize("given", ["", "a" * 65, "<script>", "two words", 'a"b'])
def test_another_one_is_replaced(ask, given):
    answered = ask("GET", "/healthz", headers={"X-Request-ID": given}).headers["X-Request-ID"]
    assert answered != given
    assert len(answered) == 32
    assert answered != ask("GET", "/healthz").headers["X-Request-ID"]


def test_too_many_headers_are_a_431(ask):
    answer = ask("GET", "/healthz", headers={"X-Cookie": "c" * 17_000})
    assert answer.status_code == 431
    assert answer.json()["type"] == "/problems/headers-too-large"


def test_too_long_an_address_is_a_414(ask):
    answer = ask("GET", "/v1/tiny?length=" + "1" * 9000)
    assert answer.status_code == 414
    assert answer.json()["type"] == "/problems/address-too-long"


@pytest.mark.parametrize("path", ["/docs", "/problems", "/problems/not-json"])
def test_pages_need_no_other_host_and_no_inline_script(ask, path):
    page = ask("GET", path).text
    assert "http:" not in page
    assert "https:" not in page
    assert "<script>" not in page
    assert 'name="viewport"' in page


def test_the_api_browser_comes_from_here(ask):
    for file in ("swagger-ui-bundle.js", "swagger-ui.css", "docs.js", "page.css"):
        answer = ask("GET", f"/static/{file}")
        assert answer.status_code == 200
        assert answer.headers["Cache-Control"].startswith("public")
