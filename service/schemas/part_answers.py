"""Parts of the catalogue as answers show them: the fields of each kind of part, with the kind's name."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import reduce
from operator import or_
from types import MappingProxyType
from typing import Annotated, Any, ClassVar, Final, Literal

from pydantic import Field, create_model

from service.parts.item import Section, Unit
from service.parts.models import KINDS, Part
from service.parts.part import Source
from service.parts.sundry import Sundry
from service.schemas.answer import Answer
from service.schemas.readings import Count, Word
from service.units.dimensions import System, labels

MOST_PARTS = 20_000
"""Most parts in one list. [-] An operator's file has hundreds."""


def _shown(part: type[Part]) -> type[Answer]:
    """The answer's model of one kind of part."""
    of_part = {name: (field.annotation, field) for name, field in part.model_fields.items()}
    first = {name: of_part.pop(name) for name in ("id", "name")}
    last = {"source": of_part.pop("source")}
    kind = (Literal[part.kind_of_part], Field(description="Kind of part."))
    fields: dict[str, Any] = {"kind_of_part": kind, **first, **of_part, **last}
    return create_model(
        f"{part.__name__}Part",
        __base__=Answer,
        __doc__=part.__doc__,
        **fields,
    )


_SHOWN: Mapping[type[Part], type[Answer]] = MappingProxyType({part: _shown(part) for part in KINDS.values()})

SUNDRY: Final = "sundry"


class SundryPart(Answer):
    """A family of parts that a takeoff counts and a price book prices: fittings, and all that goes with them."""

    kind_of_part: Annotated[Literal["sundry"], Field(description="Kind of part.")]
    id: Annotated[Word, Field(examples=["tee-barbed"])]
    """What the ids of its parts begin with; where it has no sizes, the id of the part."""
    name: Word
    sizes: Count
    """How many sizes stand behind it in the ids of its parts, at most: one in `tee-barbed-0.75in`."""
    section: Section
    """Where in a takeoff it stands."""
    sold_by: Literal["piece", "length"]
    unit: Unit
    """What pieces are counted by."""
    source: Source
    """Where its figures come from."""


PartShown: Any = Annotated[reduce(or_, (*_SHOWN.values(), SundryPart)), Field(discriminator="kind_of_part")]


class PartsAnswer(Answer):
    """Parts of the catalogue."""

    main_table: ClassVar[str] = "parts"

    units: Annotated[dict[str, Word], Field(max_length=40)]
    parts: Annotated[list[PartShown], Field(max_length=MOST_PARTS)]


class PartAnswer(Answer):
    """One part of the catalogue."""

    units: Annotated[dict[str, Word], Field(max_length=40)]
    part: PartShown


def show_parts(parts: Iterable[Part | Sundry], system: System) -> PartsAnswer:
    """The answer that lists these parts."""
    return PartsAnswer.model_construct(units=labels(system), parts=[_show(part) for part in parts])


def show_part(part: Part | Sundry, system: System) -> PartAnswer:
    """The answer about one part."""
    return PartAnswer.model_construct(units=labels(system), part=_show(part))


def _show(part: Part | Sundry) -> Answer:
    if isinstance(part, Sundry):
        shown = {name: getattr(part, name) for name in SundryPart.model_fields if name in Sundry.model_fields}
        return SundryPart.model_construct(kind_of_part=SUNDRY, **shown)
    fields = {name: getattr(part, name) for name in type(part).model_fields}
    return _SHOWN[type(part)].model_construct(kind_of_part=part.kind_of_part, **fields)
