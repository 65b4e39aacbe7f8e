"""What the printed sheet of an answer is made of: the answer, its picture, and what it takes to build the zone."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from pydantic import BaseModel

from service.api.pictured import computed_for, plots_of
from service.render.sheet import PICTURE, TAKEOFF, TITLE
from service.schemas.answers import CheckAnswer
from service.schemas.filtration import Filtration
from service.schemas.filtration_query import FiltrationQuery
from service.schemas.lateral import Lateral
from service.schemas.profile_query import ProfileQuery
from service.schemas.takeoff import JobZone, TakeoffJob
from service.schemas.uniform_query import UniformQuery
from service.schemas.wire import to_wire
from service.schemas.zone import Zone
from service.takeoff.takeoff import takeoff
from service.units.model import UnitModel
from service.units.nothing_null import NothingNull
from service.zones.instances import Limits

A = TypeVar("A", bound=UnitModel)


def title_of(asked: UnitModel) -> str | None:
    """What stands over the answer on paper and over its pictures; None where the answer's own name does."""
    titled = isinstance(asked, UniformQuery | Lateral | ProfileQuery | Filtration | FiltrationQuery)
    return asked.title if titled else None  # type: ignore[attr-defined]


def picture_document(model: type[BaseModel], plot: str, asked: UnitModel, size: Limits) -> dict[str, Any]:
    """What a plot of an answer is drawn from, under its title."""
    document = to_wire(computed_for(model, plot, size)(asked), asked.units)
    title = title_of(asked)
    return document if title is None else {**document, "name": title}


def sheet_document(compute: Callable[[A], NothingNull], asked: A, size: Limits) -> dict[str, Any]:
    """The document of an answer for a sheet, with what its first plot is drawn from; that of a check has a takeoff."""
    answer = compute(asked)
    document = to_wire(answer, asked.units)
    title = title_of(asked)
    if title is not None:
        document[TITLE] = title
    for plot in plots_of(type(answer))[:1]:
        document[PICTURE] = {"plot": plot, "of": picture_document(type(answer), plot, asked, size)}
    if isinstance(answer, CheckAnswer) and isinstance(asked, Zone | UniformQuery):
        zone = asked if isinstance(asked, Zone) else asked.to_zone()
        job = TakeoffJob.model_construct(units=asked.units, zones=(JobZone.model_construct(**dict(zone)),))
        document[TAKEOFF] = to_wire(takeoff(job, size), asked.units)
    return document


def in_detail(asked: A) -> A:
    """The same request, its answer to tell pressures along the runs where it is about a zone."""
    detailed: A = asked.in_detail() if isinstance(asked, Zone | UniformQuery) else asked  # type: ignore[assignment]
    return detailed
