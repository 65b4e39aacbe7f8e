"""Entity tags: equal requests to equal services have equal answers, so a tag is known before anything is computed."""

from __future__ import annotations

from collections.abc import Iterable
from hashlib import sha256

from pydantic import BaseModel

from service import __version__
from service.api.asked_form import Form, Presentation
from service.api.asked_picture import Picture
from service.parts.catalogue import Catalogue
from service.settings import Settings

DIGITS = 32


class Tagger:
    """Makes the tags of one service, from everything that its answers depend on."""

    def __init__(self, settings: Settings, catalogue: Catalogue) -> None:
        parts = (part.model_dump_json(warnings=False) for part in catalogue.parts())
        self._service = _digest([__version__, settings.model_dump_json(), *parts])

    def tag(self, request: str, form: Form) -> str:
        """The tag of an answer; `request` is the request in its canonical form, apart from how it is presented."""
        shown = (form.format.name, form.table, form.pick, form.comma, form.download, form.plot)
        return f'"{_digest([self._service, request, repr(shown)])}"'


def canonical(path: str, asked: BaseModel) -> str:
    """A request by what it means: its numbers in SI, its parts in full, whatever way and order it was written in."""
    fields_of_form = {*Presentation.model_fields, *Picture.model_fields}
    return f"{path}?{asked.model_dump_json(exclude=fields_of_form, exclude_none=True, warnings=False)}"


def _digest(texts: Iterable[str]) -> str:
    digest = sha256()
    for text in texts:
        digest.update(text.encode())
        digest.update(b"\0")
    return digest.hexdigest()[:DIGITS]
