"""Which plots an answer has, and what each is computed from."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from contextlib import nullcontext
from types import MappingProxyType
from typing import Any

from pydantic import BaseModel

from service.api.zone_errors import told_at_parameters
from service.schemas.advice_answers import RegulatorAdviceAnswer
from service.schemas.answers import CheckAnswer, LateralAnswer
from service.schemas.profile_query import ProfileQuery
from service.schemas.uniform_query import UniformQuery
from service.units.nothing_null import NothingNull
from service.zones.check import check
from service.zones.instances import Limits
from service.zones.response import supply_response
from service.zones.trace import trace, trace_lateral

Compute = Callable[[Any, Limits], NothingNull]
"""From the body of a request, and how large a zone may be, to what a plot is drawn from."""

PICTURED: Mapping[type[BaseModel], Mapping[str, Compute]] = MappingProxyType(
    {
        CheckAnswer: {"profile": trace, "budget": check, "response": supply_response, "plan": trace},
        LateralAnswer: {"profile": trace_lateral},
        RegulatorAdviceAnswer: {"response": supply_response},
    }
)
"""Plots by the type of the answer, the usual one first."""


def plots_of(model: type[BaseModel]) -> tuple[str, ...]:
    """The plots that an answer has."""
    return tuple(PICTURED.get(model, ()))


def computed_for(model: type[BaseModel], plot: str, size: Limits) -> Callable[[Any], NothingNull]:
    """What computes a plot of an answer, from whatever is asked for such an answer by: a body or a query."""
    compute = PICTURED[model][plot]

    def of_asked(asked: Any) -> NothingNull:
        query = isinstance(asked, UniformQuery | ProfileQuery)
        with told_at_parameters(asked) if query else nullcontext():
            return compute(_body(asked), size)

    return of_asked


def _body(asked: Any) -> Any:
    if isinstance(asked, UniformQuery):
        return asked.to_zone()
    return asked.to_lateral() if isinstance(asked, ProfileQuery) else asked
