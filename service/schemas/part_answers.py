"""Parts of the catalogue as answers show them: the fields of each kind of part, with the kind's name."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import reduce
from operator import or_
from types import MappingProxyType
from typing import Annotated, Any, ClassVar, Literal

from pydantic import Field, create_model

from service.parts.models import KINDS, Part
from service.schemas.answer import Answer
from service.schemas.readings import Word
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

PartShown: Any = Annotated[reduce(or_, _SHOWN.values()), Field(discriminator="kind_of_part")]


class PartsAnswer(Answer):
    """Parts of the catalogue."""

    main_table: ClassVar[str] = "parts"

    units: Annotated[dict[str, Word], Field(max_length=40)]
    parts: Annotated[list[PartShown], Field(max_length=MOST_PARTS)]


class PartAnswer(Answer):
    """One part of the catalogue."""

    units: Annotated[dict[str, Word], Field(max_length=40)]
    part: PartShown


def show_parts(parts: Iterable[Part], system: System) -> PartsAnswer:
    """The answer that lists these parts."""
    return PartsAnswer.model_construct(units=labels(system), parts=[_show(part) for part in parts])


def show_part(part: Part, system: System) -> PartAnswer:
    """The answer about one part."""
    return PartAnswer.model_construct(units=labels(system), part=_show(part))


def _show(part: Part) -> Answer:
    fields = {name: getattr(part, name) for name in type(part).model_fields}
    return _SHOWN[type(part)].model_construct(kind_of_part=part.kind_of_part, **fields)
