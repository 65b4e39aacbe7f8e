"""How the fuzzer reads answers that are not JSON: as the text they are."""

import schemathesis


@schemathesis.deserializer("text/csv", "text/plain", "text/html", "application/xml")
def text(_context, response):
    """The text."""
    return response.text
