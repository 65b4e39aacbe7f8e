"""The catalogue: parts by id, read from the shipped data files and from one that the operator adds."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from difflib import get_close_matches
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from service.parts.models import KINDS, Part
from service.units.dimensions import System
from service.units.reading import reading

NEAREST = 5
"""How many ids a fault about an unknown id names at most. [-]"""


class CatalogueFault(ValueError):
    """A parts file cannot be used. The message has a line for each fault: file, part, field and what is wrong."""


class UnknownPart(LookupError):
    """There is no part of this id, or it is of another kind."""

    def __init__(self, kind: str | None, nearest: tuple[str, ...]) -> None:
        self.kind = kind
        self.nearest = nearest
        what = "part" if kind is None else kind.replace("_", " ")
        super().__init__(f"The catalogue holds no {what} of this id.")

    @property
    def accepted(self) -> str:
        """What could have been meant."""
        if not self.nearest:
            return f"an object: the catalogue holds no {self.kind or 'part'}"
        return f"an id of the catalogue, such as {', '.join(self.nearest)}"


class Catalogue:
    """Parts by id. Ids are unique across kinds."""

    def __init__(self, parts: Iterable[Part]) -> None:
        self._parts: Mapping[str, Part] = {part.id: part for part in parts if part.id is not None}
        self._of_kind: Mapping[str | None, tuple[Part, ...]] = {
            kind: tuple(part for part in self._parts.values() if kind in {None, part.kind_of_part})
            for kind in (None, *KINDS)
        }

    def __len__(self) -> int:
        return len(self._parts)

    def parts(self, kind: str | None = None) -> tuple[Part, ...]:
        """All parts, or those of one kind, in the order of the files."""
        return self._of_kind.get(kind, ())

    def find(self, part_id: str) -> Part | None:
        """The part of an id, None if there is none."""
        return self._parts.get(part_id)

    def get(self, kind: str | None, part_id: str) -> Part:
        """The part of an id; with a kind (a name of `KINDS`), of that kind.

        Raises
        ------
        UnknownPart : if there is none; it names the nearest ids.
        """
        part = self._parts.get(part_id)
        if part is None or kind not in {None, part.kind_of_part}:
            raise UnknownPart(kind, self._nearest(kind, part_id))
        return part

    def _nearest(self, kind: str | None, part_id: str) -> tuple[str, ...]:
        ids = [part.id for part in self.parts(kind) if part.id is not None]
        asked = part_id.lower()[:100]
        begun = [known for known in ids if known.startswith(asked)]
        near = get_close_matches(asked, ids, n=NEAREST, cutoff=0.4) or ids
        return tuple(dict.fromkeys([*begun, *near]))[:NEAREST]


def load_catalogue(extra: Path | None = None) -> Catalogue:
    """The shipped parts and those of the operator's file.

    Raises
    ------
    CatalogueFault : if the operator's file cannot be read, or any part in it is faulty or has an id that is taken.
    """
    shipped = _shipped()
    if extra is None:
        return shipped
    try:
        text = extra.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise CatalogueFault(f"{extra}: the parts file cannot be read ({error})") from error
    return Catalogue([*shipped.parts(), *read_parts(text, str(extra), taken=shipped.parts())])


@cache
def _shipped() -> Catalogue:
    parts: list[Part] = []
    for file in sorted(resources.files("service.parts").joinpath("data").iterdir(), key=lambda file: file.name):
        parts += read_parts(file.read_text(encoding="utf-8"), file.name, taken=parts)
    return Catalogue(parts)


_in_use: ContextVar[Catalogue | None] = ContextVar("catalogue_in_use", default=None)


def catalogue_in_use() -> Catalogue:
    """The catalogue that ids of a request are looked up in: the shipped one unless a block says otherwise."""
    catalogue = _in_use.get()
    return _shipped() if catalogue is None else catalogue


@contextmanager
def using(catalogue: Catalogue) -> Iterator[None]:
    """Look part ids up in `catalogue` inside this block."""
    token = _in_use.set(catalogue)
    try:
        yield
    finally:
        _in_use.reset(token)


def read_parts(text: str, file: str, *, taken: Iterable[Part] = ()) -> list[Part]:
    """The parts of one TOML file.

    `units` says how its numbers are written, `sources` names the sources that more than one part draws on, and each
    kind of part is a list of tables.

    Raises
    ------
    CatalogueFault : with every fault of the file.
    """
    try:
        document = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise CatalogueFault(f"{file}: not valid TOML ({error})") from error
    page = _Page(file, document, ids={part.id for part in taken})
    parts = page.parts()
    if page.faults:
        raise CatalogueFault("\n".join(page.faults))
    return parts


class _Page:
    """One parts file while it is read."""

    def __init__(self, file: str, document: dict[str, Any], *, ids: set[str | None]) -> None:
        self.file = file
        self.faults: list[str] = []
        self._ids = ids
        self._units = document.pop("units", None)
        self._sources = document.pop("sources", {})
        self._lists = document

    def parts(self) -> list[Part]:
        """Every part that is sound; the others leave faults."""
        if self._units not in set(System):
            self._refuse("units", "say how its numbers are written: us or metric")
            return []
        if not isinstance(self._sources, dict):
            self._refuse("sources", "a table of texts by name")
            return []
        with reading(System(self._units)):
            read = [self._part(kind, place, entry) for kind, place, entry in self._entries()]
        return [part for part in read if part is not None]

    def _entries(self) -> Iterator[tuple[str, int, dict[str, Any]]]:
        for kind, entries in self._lists.items():
            if kind not in KINDS:
                self._refuse(kind, f"no kind of part; known are {', '.join(KINDS)}")
            elif not isinstance(entries, list) or not all(isinstance(entry, dict) for entry in entries):
                self._refuse(kind, f"parts are written as tables, each under [[{kind}]]")
            else:
                yield from ((kind, place, entry) for place, entry in enumerate(entries, start=1))

    def _part(self, kind: str, place: int, entry: dict[str, Any]) -> Part | None:
        where = f"{kind} {entry.get('id', f'number {place}')}"
        missing = [field for field in ("id", "name", "source") if field not in entry]
        for field in missing:
            self._refuse(f"{where}, {field}", "every part needs one")
        try:
            part = KINDS[kind].model_validate({**entry, **self._source(where, entry)})
        except ValidationError as error:
            for fault in error.errors(include_url=False, include_input=False):
                field = ".".join(str(step) for step in fault["loc"]) or "the whole part"
                accepted = fault.get("ctx", {}).get("accepted")
                self._refuse(f"{where}, {field}", fault["msg"] + (f" Accepted: {accepted}" if accepted else ""))
            return None
        if part.id in self._ids:
            self._refuse(f"{where}, id", "another part has this id")
        self._ids.add(part.id)
        return None if missing else part

    def _source(self, where: str, entry: dict[str, Any]) -> dict[str, Any]:
        """The source of a part as text: as written, or the named sources joined."""
        names = entry.get("source")
        if not isinstance(names, list):
            return {}
        unknown = [name for name in names if not isinstance(self._sources.get(name), str)]
        if unknown:
            self._refuse(f"{where}, source", f"no text under [sources] for {', '.join(map(str, unknown))}")
        return {"source": "; ".join(str(self._sources.get(name)) for name in names)}

    def _refuse(self, where: str, why: str) -> None:
        self.faults.append(f"{self.file}: {where}: {why}")
