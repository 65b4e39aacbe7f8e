"""Sundries: all that a zone is built with beside the parts of the catalogue, as families of parts in trade sizes.

The id of a part is the id of its family with its sizes behind it: `tee-barbed-0.75in`, `reducing-tee-barbed-1in-17mm`.
So a price book can name a part in any size, of which there are too many to list.
"""

from __future__ import annotations

import re
import tomllib
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from functools import cache, lru_cache
from importlib import resources
from itertools import combinations
from types import MappingProxyType
from typing import Annotated, Literal, get_args

from pydantic import Field

from service.parts.devices import BackflowKind, FilterType
from service.parts.item import Item, Section, TaxClass, Unit
from service.parts.materials import Material
from service.parts.part import Source
from service.parts.pipe import Joining
from service.parts.trade_sizes import is_size, said
from service.units.dimensions import FOOT, System
from service.units.model import Maybe, Model
from service.units.sentence import Measured, Sentence
from service.units.text import Name, PartId

JOININGS: tuple[Joining, ...] = get_args(Joining)

SAID_JOINING: Mapping[str, str] = MappingProxyType(
    {
        "solvent_weld": "solvent weld",
        "threaded": "threaded",
        "compression": "compression",
        "barbed": "barbed",
        "soldered": "soldered",
    }
)
"""Each way of joining for reading."""

Variants = Literal["joining", "joinings", "material", "backflow", "filter"]

MOST_SIZES = 3

CALLED = "-called-"
"""Between the id of a part that is told apart by its name alone and that name."""

LONGEST_SLUG = 60
"""Characters of a name in an id. [-]"""

NAME = "name"
"""What a part is called without its sizes, among the facts of its name."""


class Sundry(Model):
    """A family of parts as the data files write it."""

    id: PartId
    name: Name
    section: Section
    variants: Maybe[Variants] = None
    """What it is made for, one family for each."""

    sizes: Annotated[int, Field(ge=0, le=MOST_SIZES)] = 0
    """How many sizes its ids carry at most."""

    sold_by: Literal["piece", "length"] = "piece"
    unit: Unit = "each"
    packages: tuple[Annotated[float, Field(gt=0)], ...] = ()
    """What it comes in: pieces, or lengths in feet. One by one, or in any length, if there are none."""

    named: bool = False
    """Whether what the caller calls it tells one from another."""

    in_sticks: bool = False
    """Whether its lengths are rigid."""

    joints: Maybe[int] = None
    """How many joints one lasts for, if joints use it up."""

    tax_class: TaxClass = "materials"
    source: Source


def joined(one: str, other: str) -> str:
    """The variant of a part between two ways of joining, whichever comes first."""
    return "-".join(_slug(way) for way in sorted((one, other), key=JOININGS.index))


def family_id(family: str, variant: str = "") -> str:
    """The id of a family for one of its variants.

    >>> family_id("tee", "solvent_weld"), family_id("hole-plug")
    ('tee-solvent-weld', 'hole-plug')
    """
    return f"{family}-{_slug(variant)}" if variant else family


def called(name: str, *more: Measured | str) -> Sentence:
    """The name of a part, with sizes or what else tells it apart behind it."""
    sizes = {f"size_{place}": size for place, size in enumerate(more)}
    told = " × ".join(f"{{{size}}}" for size in sizes)
    return Sentence(f"{{{NAME}}}, {told}" if sizes else f"{{{NAME}}}", {NAME: name, **sizes})


def slug(name: str) -> str:
    """A name as ids carry it: its Latin letters and its digits.

    >>> slug("Flow sensor (2 in)")
    'flow-sensor-2-in'
    """
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    return "-".join(re.findall(r"[a-z0-9]+", plain))[:LONGEST_SLUG].strip("-")


@lru_cache(maxsize=4096)
def sundry(family: str, *sizes: str, name: str = "") -> Item:
    """A part of a family in a size; `family` is the id of the family, its variant included, `name` a slug.

    >>> sundry("reducing-tee-barbed", "0.75in", "17mm").name.said(System.US)
    'Reducing tee, run by branch, barbed, 0.75 in × 17 mm'
    """
    kind = families()[family]
    if len(sizes) > kind.sizes or not all(map(is_size, sizes)):
        raise ValueError(f"{family} does not come in {sizes}")
    return Item(
        id="-".join((family, *sizes)) + (f"{CALLED}{name}" if name else ""),
        name=called(f"{kind.name}: {name.replace('-', ' ')}" if name else kind.name, *map(said, sizes)),
        section=kind.section,
        by_length=kind.sold_by == "length",
        unit=kind.unit,
        packages=tuple(size * FOOT for size in kind.packages) if kind.sold_by == "length" else kind.packages,
        joints=kind.joints,
        tax_class=kind.tax_class,
        source=kind.source,
        in_sticks=kind.in_sticks,
    )


def find_sundry(part_id: str) -> Item | None:
    """The part that an id names, if it is that of a sundry."""
    sized, joint, name = part_id.partition(CALLED)
    if joint and not (name and slug(name) == name):
        return None
    words = sized.split("-")
    for count in range(min(MOST_SIZES, len(words) - 1) + 1):
        family, sizes = "-".join(words[: len(words) - count]), words[len(words) - count :]
        kind = families().get(family)
        # A family that has sizes is no part without one.
        if kind is not None and (count > 0) == (kind.sizes > 0) and count <= kind.sizes and all(map(is_size, sizes)):
            return sundry(family, *sizes, name=name) if kind.named or not joint else None
    return None


def find_family(part_id: str, system: System) -> Sundry | None:
    """The family that an id names, or a part of one as a family without sizes."""
    part = find_sundry(part_id)
    if part is None or part_id in families():
        return families().get(part_id)
    sold_by: Literal["piece", "length"] = "length" if part.by_length else "piece"
    return Sundry(
        id=part.id,
        name=part.name.said(system),
        section=part.section,
        sold_by=sold_by,
        unit=part.unit,
        source=part.source,
    )


@cache
def families() -> Mapping[str, Sundry]:
    """Every family by id, its variants made out."""
    folder = resources.files("service.parts").joinpath("sundries")
    files = sorted(folder.iterdir(), key=lambda file: file.name)
    found = [family for file in files for family in _read(file.read_text(encoding="utf-8"))]
    return MappingProxyType({family.id: family for family in found})


def _read(text: str) -> Iterator[Sundry]:
    document = tomllib.loads(text)
    for entry in document["sundry"]:
        source = document["sources"][entry["source"]]
        written = Sundry.model_validate({"section": document.get("section"), **entry, "source": source})
        yield from _made_out(written)


def _made_out(written: Sundry) -> Iterator[Sundry]:
    if written.variants is None:
        yield written
        return
    for variant, name in _VARIANTS[written.variants]:
        made = {"id": family_id(written.id, variant), "name": f"{written.name}, {name}", "variants": None}
        yield written.model_copy(update=made)


def _slug(word: str) -> str:
    return word.replace("_", "-")


def _words(values: Iterable[str]) -> list[tuple[str, str]]:
    return [(value, value.replace("_", " ")) for value in values]


_VARIANTS: Mapping[str, list[tuple[str, str]]] = {
    "joining": list(SAID_JOINING.items()),
    "joinings": [
        (joined(one, other), f"{SAID_JOINING[one]} to {SAID_JOINING[other]}")
        for one, other in combinations(JOININGS, 2)
    ],
    "material": _words(Material),
    "backflow": _words(get_args(BackflowKind)),
    "filter": _words(get_args(FilterType)),
}
