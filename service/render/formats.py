"""The formats an answer comes in, by the name that `format=` takes. A new one is a line here."""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from pydantic_core import to_json

Document = Mapping[str, Any]
"""An answer in the caller's units, as plain objects, lists, texts and numbers."""


@dataclass(frozen=True, slots=True)
class Format:
    """One format: what it is called, what the header Content-Type says, and how it is written."""

    name: str
    media_type: str
    write: Callable[[Document], bytes]


def _json(document: Document) -> bytes:
    text = to_json(document, inf_nan_mode="constants")
    if b"NaN" in text or b"Infinity" in text:
        # In a name they are letters. As numbers they have no place in JSON: better a loud failure than a wrong answer.
        json.dumps(document, allow_nan=False)
    return text


FORMATS: Mapping[str, Format] = MappingProxyType(
    {form.name: form for form in (Format("json", "application/json", _json),)}
)
"""Every format by name; the first one is the default."""
