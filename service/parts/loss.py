"""How much pressure a device loses, in the form its data sheet uses."""

from __future__ import annotations

from functools import cached_property
from itertools import pairwise
from typing import Annotated, Self

import numpy as np
from pydantic import ConfigDict, model_validator

from service.hydraulics.devices import NO_LOSS, FixedLoss, LossCurve, SquareLoss, TableLoss
from service.units.dimensions import HOUR, System, to_si
from service.units.lists import Items
from service.units.model import Maybe, Model
from service.units.quantity import Flow, FlowAboveZero, Plain, Pressure
from service.units.refusal import Refusal, refuse, refused
from service.units.sentence import Measured, Sentence

BAR = 1e5
"""Bar. [Pa] Exact: NIST Special Publication 811, appendix B.8."""

Cv = Annotated[float, Plain(0.01, 10_000)]
"""Flow coefficient in gpm at 1 psi, in either unit system. [gpm/psi^0.5]"""

Kv = Annotated[float, Plain(0.01, 10_000)]
"""Flow coefficient in m³/h at 1 bar, in either unit system. [m³/h/bar^0.5]"""


class LossPoint(Model):
    """One point of a loss that grows with the square of flow."""

    flow: FlowAboveZero
    """Flow of the point."""

    loss: Pressure
    """Pressure lost at that flow."""


LossTable = Annotated[tuple[tuple[Flow, Pressure], ...], Items(1, 100)]
"""Rows of flow and loss, flow increasing."""


class Loss(Model):
    """Pressure lost in a device: exactly one of the five forms."""

    model_config = ConfigDict(json_schema_extra={"minProperties": 1, "maxProperties": 1})

    fixed: Maybe[Pressure] = None
    """The same loss at any flow."""

    cv: Maybe[Cv] = None
    """Flow in gpm that loses 1 psi, whatever the units of the request."""

    kv: Maybe[Kv] = None
    """Flow in m³/h that loses 1 bar, whatever the units of the request."""

    point: Maybe[LossPoint] = None
    """One point of a loss that grows with the square of flow."""

    table: Maybe[LossTable] = None
    """Rows `[flow, loss]` with flow increasing; straight lines between them and from no flow, no loss."""

    @model_validator(mode="after")
    def _one_form(self) -> Self:
        given = sorted(self.model_fields_set)
        if len(given) != 1:
            told = f"These exclude each other: {', '.join(given)}." if given else "The loss is missing."
            raise refused("Loss", Refusal((), told, f"exactly one of {', '.join(type(self).model_fields)}"))
        refuse("Loss", _disorder(self.table or ()))
        return self

    @property
    def resistance(self) -> float | None:
        """Loss over flow squared where the square law holds throughout. [Pa/(m³/s)²]"""
        if self.cv is not None:
            return to_si(1.0, "pressure", System.US) / (self.cv * to_si(1.0, "flow", System.US)) ** 2
        if self.kv is not None:
            return BAR / (self.kv / HOUR) ** 2
        return self.point.loss / self.point.flow**2 if self.point is not None else None

    @cached_property
    def curve(self) -> LossCurve:
        """The loss as a function of flow."""
        if self.fixed is not None:
            return FixedLoss(self.fixed)
        if self.resistance is not None:
            return SquareLoss(self.resistance)
        table = np.array([row for row in self.table or () if row[0] > 0.0], dtype=float)
        # Some backflow preventers lose more at low flow; the solver needs a curve that never falls, and this is safe.
        return TableLoss(flows=table[:, 0], losses=np.maximum.accumulate(table[:, 1]))

    def falls(self) -> list[int]:
        """Rows of the table that lose less than the row before."""
        losses = [loss for _, loss in self.table or ()]
        return [row for row, (before, loss) in enumerate(pairwise(losses), start=1) if loss < before]

    def falling(self, where: tuple[str, ...]) -> list[Refusal]:
        """Those rows as refusals, for a device at `where` that must lose more at more flow."""
        told, accepted = "The loss falls while the flow grows.", "no less than the row before"
        return [Refusal((*where, "table", row, 1), told, accepted) for row in self.falls()]


def stated_loss(loss: Loss | None) -> LossCurve:
    """Curve of a loss as written; none where none is stated."""
    return NO_LOSS if loss is None else loss.curve


def _disorder(table: LossTable) -> list[Refusal]:
    """What is wrong with the flows of a table of losses."""
    refusals = [
        Refusal(
            ("table", row, 0),
            Sentence("{flow} comes after {before}.", {"flow": _flow(flow), "before": _flow(before)}),
            Sentence("a flow above {before}", {"before": _flow(before)}),
        )
        for row, ((before, _), (flow, _)) in enumerate(pairwise(table), start=1)
        if flow <= before
    ]
    if table and table[0][0] == 0 and table[0][1] > 0:
        refusals.append(
            Refusal(("table", 0, 1), "A table is read from no flow, no loss.", "0 beside a flow of 0, or no such row")
        )
    if table and table[-1][0] == 0:
        refusals.append(Refusal(("table",), "The table has no row with flow.", "a row with a flow above 0"))
    return refusals


def _flow(value: float) -> Measured:
    return Measured(value, "flow")
