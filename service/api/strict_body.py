"""Reads the body of a request: of one type, up to a size, within a time, as one value only.

The framework's own reader would hold a slow body open for ever, read a huge one whole, and let the last of two equal
keys win.
"""

import asyncio
from typing import Any

from fastapi import Request
from starlette.requests import ClientDisconnect

from service.api.problems import FieldError, Refusal
from service.api.strict_json import NotJson, parse
from service.settings import Settings

JSON = "application/json"


def refuse_other_types(request: Request) -> None:
    """Refuse, by 415, what is not sent as plain JSON. Forms and plain text could come from any page, unasked."""
    media_type, _, parameters = _said(request, "content-type").partition(";")
    charset = parameters.strip().removeprefix("charset=").strip('"')
    if media_type.strip() != JSON or charset not in {"", "utf-8"}:
        raise Refusal("not-sent-as-json", f"The body must come as {JSON}, in UTF-8.", headers={"Accept": JSON})
    if _said(request, "content-encoding") not in {"", "identity"}:
        raise Refusal("not-sent-as-json", "The body must not be compressed.", headers={"Accept-Encoding": "identity"})


def _said(request: Request, name: str) -> str:
    """All that a header says, however often it stands there."""
    return ", ".join(request.headers.getlist(name)).lower()


async def read_bytes(request: Request, most: int, settings: Settings) -> bytes:
    """The body, given up at its first byte too many (413) or when it comes too slowly (408)."""
    too_large = Refusal("body-too-large", f"The body is larger than {most} bytes.")
    announced = request.headers.get("content-length", "")
    if announced.isdecimal() and int(announced) > most:
        raise too_large
    start = asyncio.get_running_loop().time()
    raw = bytearray()
    try:
        async with asyncio.timeout_at(start + settings.body_seconds) as deadline:
            async for chunk in request.stream():
                raw += chunk
                if len(raw) > most:
                    raise too_large
                earned = len(raw) / settings.body_bytes_per_second
                deadline.reschedule(start + settings.body_seconds + earned)
    except TimeoutError:
        # Whoever is this slow would hold the connection as well.
        raise Refusal("too-slow", "The body did not arrive in time.", headers={"Connection": "close"}) from None
    except ClientDisconnect:
        raise Refusal("bad-request", "The body breaks off before its end.") from None
    return bytes(raw)


def parse_body(raw: bytes) -> Any:
    """The value of the body; 400 where it has none, or more than one."""
    try:
        return parse(raw)
    except NotJson as fault:
        errors = [FieldError(pointer=at, detail=why.detail, accepted=why.accepted) for at, why in fault.places]
        raise Refusal("not-json", str(fault), errors=errors) from None
