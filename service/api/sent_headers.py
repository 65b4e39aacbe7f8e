"""The headers of answers as the API document describes them: those really sent, no others."""

from typing import Any

_VISIBLE = r"^[\u0020-\u007e]*$"


def _text(description: str, example: str, *, longest: int = 2000, always: bool = True) -> dict[str, Any]:
    schema = {"type": "string", "maxLength": longest, "pattern": _VISIBLE}
    return {"description": description, "required": always, "schema": schema, "example": example}


HEADERS: dict[str, dict[str, Any]] = {
    "X-Request-ID": _text(
        "Names this answer in the log; the caller's own id where it sent a plain one.", "f3a9", longest=64
    ),
    "Cache-Control": _text("Whether and how long the answer may be kept.", "no-store", longest=100),
    "Vary": _text("The request headers that the answer depends on.", "Accept, Origin", longest=200, always=False),
    "Content-Security-Policy": _text("What a browser lets the answer do.", "default-src 'self'"),
    "X-Content-Type-Options": _text("Keeps browsers from guessing the type.", "nosniff", longest=20),
    "Referrer-Policy": _text("Keeps browsers from telling others the address.", "no-referrer", longest=40),
    "Cross-Origin-Resource-Policy": _text("Lets pages elsewhere show the answer.", "cross-origin", longest=20),
    "Access-Control-Allow-Origin": _text(
        "The page's origin, where it is one of the listed ones.", "https://forms.example", longest=300, always=False
    ),
    "Access-Control-Expose-Headers": _text(
        "The headers that a page of a listed origin may read.", "X-Request-ID, Retry-After", longest=300, always=False
    ),
    "ETag": _text(
        "Names the answer: asked again with it in If-None-Match, 304. Left out where an error comes as text.",
        '"b9b131ae"',
        longest=40,
        always=False,
    ),
    "Content-Disposition": _text(
        "The name of a file to keep, where a download was asked for.",
        'attachment; filename="uniform-runs.csv"',
        longest=200,
        always=False,
    ),
    "Accept": _text("The type that a body must come as.", "application/json", longest=100, always=False),
    "Accept-Encoding": _text("The only coding that a body may come in.", "identity", longest=40, always=False),
    "Retry-After": {
        "description": "Seconds to wait before the same request is sent again.",
        "required": True,
        "schema": {"type": "integer", "format": "int32", "minimum": 0, "maximum": 3600},
        "example": 1,
    },
    "Allow": _text("The methods that the address is asked by.", "GET, HEAD, OPTIONS", longest=100),
    "Connection": _text("That the connection ends with the answer.", "close", longest=20, always=False),
}
"""Every header, as components of the document."""

EVERY_ANSWER = (
    "X-Request-ID",
    "Cache-Control",
    "Vary",
    "Content-Security-Policy",
    "X-Content-Type-Options",
    "Referrer-Policy",
    "Cross-Origin-Resource-Policy",
    "Access-Control-Allow-Origin",
    "Access-Control-Expose-Headers",
)

OF_STATUS: dict[int, tuple[str, ...]] = {
    405: ("Allow",),
    408: ("Connection",),
    415: ("Accept", "Accept-Encoding"),
    503: ("Retry-After",),
}
"""Headers of some statuses beside those of every answer."""
