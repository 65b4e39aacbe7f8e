"""Filters as they stand in a row, or are to: what each loses and holds at the flow through it."""

from __future__ import annotations

from dataclasses import dataclass

from service.parts.loss import stated_loss
from service.schemas.devices import HeadFilter
from service.zones.filter_train import Body

UNTYPED = "screen"
"""What a filter is taken for that states no type. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class FilterInPlace:
    """A filter of the head, or a body of the catalogue to take."""

    name: str
    kind: str
    flow: float  # through it [m³/s]
    clean_loss: float | None  # at that flow, None where none is stated [Pa]
    allowance: float  # on top of that when due for cleaning, none where none is stated [Pa]
    made_for: float | None  # most flow, None where none is stated [m³/s]

    @classmethod
    def standing(cls, device: HeadFilter, flow: float) -> FilterInPlace:
        """One of the head, with the flow through it [m³/s]."""
        return cls(
            name=device.name or _called(device.type),
            kind=device.type or UNTYPED,
            flow=flow,
            clean_loss=None if device.loss is None else stated_loss(device.loss).at(flow),
            allowance=device.dirty_allowance or 0.0,
            made_for=None if device.flow_range is None else device.flow_range[1],
        )

    @classmethod
    def chosen(cls, body: Body, flow: float) -> FilterInPlace:
        """One of the catalogue, with the flow through it [m³/s]."""
        return cls(
            name=_called(body.part.type),
            kind=body.part.type,
            flow=flow,
            clean_loss=body.clean_loss,
            allowance=body.part.dirty_allowance,
            made_for=None if body.part.flow_range is None else body.part.flow_range[1],
        )


def _called(kind: str | None) -> str:
    if kind is None:
        return "filter"
    return kind if kind == "separator" else f"{kind} filter"
