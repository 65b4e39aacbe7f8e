"""The set pressures that a zone tolerates, and the regulators that suit it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from service.parts.catalogue import catalogue_in_use
from service.parts.loss import stated_loss
from service.parts.models import Regulator
from service.schemas.devices import HeadRegulator
from service.zones.assembly import Assembly
from service.zones.criteria import Limits
from service.zones.crossings import Crossing, flows_at
from service.zones.pipework import Pipework
from service.zones.solved import Solved
from service.zones.state import State

ROUNDING = 1e-9
"""Share of a flow that is rounding. [-]"""


@dataclass(frozen=True, slots=True)
class Tolerated:
    """Zone-inlet pressures at which every outlet is fed and nothing is overloaded; above `high` something is."""

    low: float  # [Pa]
    high: float  # infinite where nothing states a maximum [Pa]


@dataclass(frozen=True, slots=True)
class Suiting:
    """A regulator whose set pressure and flow range suit the zone, and the zone behind it while it holds."""

    name: str
    part: Regulator | HeadRegulator
    state: State  # filter due for cleaning
    margin_below: float  # of the zone inlet above what the outlets need [Pa]
    margin_above: float  # below the first overload, infinite without one [Pa]
    holds_from: float | None  # no-flow pressure of the supply from which it holds [Pa]
    own: bool = False  # whether it stands in the head already

    @property
    def device(self) -> HeadRegulator:
        """The regulator as it stands in the head."""
        if isinstance(self.part, HeadRegulator):
            return self.part
        return HeadRegulator.model_construct(
            device="regulator",
            set_pressure=self.part.set_pressure,
            loss=self.part.loss,
            flow_range=self.part.flow_range,
            max_pressure=self.part.max_pressure,
        )

    def leaves(self, margin: float) -> bool:
        """Whether this margin is left at both ends. [Pa]"""
        return min(self.margin_below, self.margin_above) >= margin


def tolerated(
    pipework: Pipework, fed: Crossing | None, primed: Crossing | None, tops: Sequence[Crossing | None]
) -> Tolerated | None:
    """The range of set pressures of a regulator placed last in the head, None where it is empty.

    `primed` is the zone-inlet pressure from which no place draws air in, where that could decide. `tops` are those from
    which something beyond is overloaded, the preferred ones first: with assumed maxima counted, which only caution,
    before stated maxima alone.
    """
    if fed is None:
        return None
    weight = pipework.water.specific_weight
    still = min((rating + lowest * weight for _, rating, lowest in pipework.dry_runs), default=np.inf)
    low = max(fed.pressure, 0.0 if primed is None else primed.pressure, 0.0)
    for top in tops:
        high = min(still, np.inf if top is None else top.pressure)
        if low < high:
            return Tolerated(low, high)
    return None


def suiting(solved: Solved, range_: Tolerated | None) -> tuple[Suiting, ...]:
    """Regulators of the catalogue that suit the zone, placed last in its head."""
    if range_ is None:
        return ()
    parts = [part for part in catalogue_in_use().parts(Regulator.kind_of_part) if isinstance(part, Regulator)]
    settings = sorted({part.set_pressure for part in parts if range_.low <= part.set_pressure <= range_.high})
    if not settings:
        return ()
    solution = flows_at(solved.pipework, np.array(settings), solved.without)
    states = {setting: State(solved.pipework, solution, row) for row, setting in enumerate(settings)}
    others, bare = solved.assembly.sharing, solved.assembly.without_regulators()
    taken = {setting: bare.taken(state.flow, clean=False) for setting, state in states.items()}
    found = []
    for part in parts:
        state = states.get(part.set_pressure)
        if state is None or not flow_suits(part, state.flow + others):
            continue
        holding = part.set_pressure + stated_loss(part.loss).at(state.flow + others) + taken[part.set_pressure]
        found.append(
            Suiting(
                name=part.id or part.name,
                part=part,
                state=state,
                margin_below=part.set_pressure - range_.low,
                margin_above=range_.high - part.set_pressure,
                holds_from=max(holding, 0.0),
            )
        )
    return tuple(found)


def flow_suits(part: Regulator | HeadRegulator, flow: float) -> bool:
    """Whether a flow [m³/s] lies in a regulator's range; one that states none takes any."""
    if part.flow_range is None:
        return True
    least, most = part.flow_range
    return least * (1 - ROUNDING) <= flow <= most * (1 + ROUNDING)


def own_regulator(solved: Solved, range_: Tolerated | None) -> Suiting | None:
    """The head's regulator measured against the tolerated range, None if there is neither."""
    place, held, held_clean = solved.assembly.regulator, solved.held, solved.held_clean
    if place is None or held is None or held_clean is None or range_ is None:
        return None
    stage = solved.assembly.stages[place]
    if not isinstance(stage.device, HeadRegulator):
        return None
    return Suiting(
        name=stage.name,
        part=stage.device,
        state=held,
        margin_below=held.inlet_pressure - range_.low,
        margin_above=range_.high - held_clean.inlet_pressure,
        holds_from=holds_from(solved.assembly, held),
        own=True,
    )


def suggestion(solved: Solved, suits: Sequence[Suiting], own: Suiting | None, limits: Limits) -> Suiting | None:
    """The regulator to take: the head's own if it is as good as any, else the best of the catalogue.

    Best is one that leaves the margin at both ends; of those, one at which the outlets give about what they are rated
    for; of those the lowest set pressure, which holds on the weakest supply; and of those the one in whose flow range
    the zone lies most nearly in the middle.
    """
    margin, others = limits.pressure_margin, solved.assembly.sharing
    if own is not None and own.leaves(margin) and flow_suits(own.part, own.state.flow + others):
        return own
    rated = solved.pipework.network.outlets.nominal_flow

    def rank(one: Suiting) -> tuple[bool, float, float, float, float]:
        roomy = one.leaves(margin)
        narrow = 0.0 if roomy else -min(one.margin_below, one.margin_above)
        off = round(abs(one.state.flow / rated - 1.0), 2)
        return not roomy, narrow, off, one.part.set_pressure, -_room(one.part, one.state.flow + others)

    return min(suits, key=rank, default=None)


def _room(part: Regulator | HeadRegulator, flow: float) -> float:
    """How many times a flow could shrink or grow before it leaves the range, whichever is less. [-]"""
    if part.flow_range is None:
        return 1.0
    least, most = part.flow_range
    return min(flow / least if least > 0 else np.inf, most / flow)


def holds_from(assembly: Assembly, held: State) -> float | None:
    """No-flow pressure of the supply from which the last regulator holds, filter due; None where it never can. [Pa]"""
    needed = assembly.needed(held.inlet_pressure, held.flow, clean=False, held=True)
    return None if needed is None else max(needed, 0.0)
