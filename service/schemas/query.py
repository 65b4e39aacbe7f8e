"""How a query becomes the body that it is short for."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Annotated, Any, TypeVar

from pydantic import ValidationError

from service.parts.choice import Choice
from service.parts.models import Emitter, Pipe, WrittenEmitter, WrittenPipe
from service.schemas.chosen import Chosen
from service.units.model import UnitModel
from service.units.refusal import building_in_si, retold
from service.units.sentence import Sentence
from service.units.text import PartId

PipeId = Annotated[Pipe, Chosen(read=Choice(Pipe, WrittenPipe).read, forms=PartId, made=(Pipe,))]
"""Catalogue id of a pipe. Parsed: the pipe."""

EmitterId = Annotated[Emitter, Chosen(read=Choice(Emitter, WrittenEmitter).read, forms=PartId, made=(Emitter,))]
"""Catalogue id of an emitter. Parsed: the emitter."""

Where = tuple[str | int, ...]
"""Path from a body to a field."""

Body = TypeVar("Body", bound=UnitModel)


@dataclass(frozen=True, slots=True)
class Assumption:
    """Something that a query left open, filled in on the way to the body, which has defaults of its own."""

    what: str  # the parameter
    value: Sentence
    why: Sentence


def given(**fields: Any) -> dict[str, Any]:
    """The fields that have a value: what a caller left out is left out of the body as well."""
    return {name: value for name, value in fields.items() if value is not None}


def body_of(
    query: UnitModel, model: type[Body], fields: Mapping[str, Any], parameter_at: Callable[[Where], str]
) -> Body:
    """The body with these fields, which are in SI.

    Raises
    ------
    ValidationError : with what is wrong in the body told at the parameters it comes from; `parameter_at` has the
        parameter for the path of a field.
    """
    try:
        with building_in_si(query.units):
            return model.model_validate({"units": query.units, **fields})
    except ValidationError as refused:
        lines = [retold(line, (parameter_at(line["loc"]),)) for line in refused.errors(include_url=False)]
        raise ValidationError.from_exception_data(type(query).__name__, lines) from None
