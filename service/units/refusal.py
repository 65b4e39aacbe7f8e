"""Faults that take more than one field to see, reported at the field that a caller would mend."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from typing import Any, TypeVar

from pydantic import ValidationError
from pydantic_core import InitErrorDetails, PydanticCustomError

from service.units.dimensions import System
from service.units.reading import reading, system_in_use
from service.units.sentence import Sentence

T = TypeVar("T")

_listener: ContextVar[System] = ContextVar("listener", default=System.METRIC)
"""Whose units a sentence uses while values are built in SI."""

Words = Sentence | str


@dataclass(frozen=True, slots=True)
class Refusal:
    """What is wrong, where below the model at hand, and what would be accepted there."""

    where: tuple[str | int, ...]
    detail: Words
    accepted: Words

    def fault(self) -> PydanticCustomError:
        """The refusal as pydantic carries it, said in the caller's units."""
        system = system_in_use.get() or _listener.get()
        detail, accepted = (words.said(system) if isinstance(words, Sentence) else words for words in self.words)
        return PydanticCustomError("refused", "{detail}", {"detail": detail, "accepted": accepted})

    @property
    def words(self) -> tuple[Words, Words]:
        """Detail and what is accepted."""
        return self.detail, self.accepted


def refused(model: str, *refusals: Refusal) -> ValidationError:
    """The refusals as one error of the model that is being validated, each at its own place below it."""
    lines = [InitErrorDetails(type=refusal.fault(), loc=refusal.where, input=None) for refusal in refusals]
    return ValidationError.from_exception_data(model, lines)


def refuse(model: str, refusals: Sequence[Refusal]) -> None:
    """Report all refusals at once, if there are any.

    Raises
    ------
    ValidationError : if there is any refusal.
    """
    if refusals:
        raise refused(model, *refusals)


def retold(line: Any, where: tuple[str | int, ...]) -> InitErrorDetails:
    """A fault as pydantic lists it, told again at another place."""
    told = PydanticCustomError(line["type"], "{told}", {**line.get("ctx", {}), "told": line["msg"]})
    return InitErrorDetails(type=told, loc=where, input=line["input"])


def read_along(model: str, read: Callable[[], T], refusals: Sequence[Refusal]) -> T:
    """What `read` reads, its faults told together with refusals that were found without reading.

    Raises
    ------
    ValidationError : of both.
    """
    try:
        value = read()
    except ValidationError as refused_too:
        lines = [retold(line, line["loc"]) for line in refused_too.errors(include_url=False)]
        own = [InitErrorDetails(type=refusal.fault(), loc=refusal.where, input=None) for refusal in refusals]
        raise ValidationError.from_exception_data(model, [*lines, *own]) from None
    refuse(model, refusals)
    return value


@contextmanager
def building_in_si(listener: System) -> Iterator[None]:
    """Build models from values that are in SI already, for a caller who reads refusals in his own units."""
    token = _listener.set(listener)
    try:
        with reading(None):
            yield
    finally:
        _listener.reset(token)
