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
    """Zone-inlet pressures at which all outlets are fed, no air is drawn in and nothing overloaded, as it is above."""

    low: float  # [Pa]
    high: float  # infinite where nothing states a maximum [Pa]
    primed: bool = False  # whether it takes `low` to keep air out, and less to feed the outlets


@dataclass(frozen=True, slots=True)
class Suiting:
    """A regulator whose set pressure and flow range suit the zone, and the zone behind it while it holds."""

    name: str
    part: Regulator | HeadRegulator
    state: State  # filter due for cleaning
    margin_below: float  # of the zone inlet above what the outlets need [Pa]
    margin_above: float  # below the first overload, infinite without one [Pa]
    holds_from: float | None  # no-flow pressure of the supply from which it holds [Pa]
    bears: bool  # whether it is rated for this supply with the flow shut off
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

    def serves(self, others: float) -> bool:
        """Whether it suits, both by its set pressure and by the flow through it, others' [m³/s] included."""
        within = min(self.margin_below, self.margin_above) >= 0.0
        return within and flow_suits(self.part, self.state.flow + others)

    def holds_on(self, supply: float) -> bool:
        """Whether it holds on a source of this no-flow pressure [Pa]."""
        return self.holds_from is not None and self.holds_from <= supply


@dataclass(frozen=True, slots=True)
class Unlisted:
    """The regulator to ask for where the catalogue has none that suits."""

    tolerated: Tolerated
    flows: tuple[float, float]  # through it at the least set pressure and at the greatest, if there is one [m³/s]
    so_set: bool  # whether the catalogue has such set pressures, though made for other flows


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
    enough = max(fed.pressure, 0.0)
    low = enough if primed is None else max(enough, primed.pressure)
    for top in tops:
        high = min(still, np.inf if top is None else top.pressure)
        if low < high:
            return Tolerated(low, high, primed=low > enough)
    return None


def suiting(solved: Solved, range_: Tolerated | None) -> tuple[Suiting, ...]:
    """Regulators of the catalogue that suit the zone, placed last in its head."""
    if range_ is None:
        return ()
    parts = _set_within(range_)
    settings = sorted({part.set_pressure for part in parts})
    if not settings:
        return ()
    solution = flows_at(solved.pipework, np.array(settings), solved.without)
    states = {setting: State(solved.pipework, solution, row) for row, setting in enumerate(settings)}
    others, bare = solved.assembly.sharing, solved.assembly.without_regulators()
    taken = {setting: bare.taken(state.flow, clean=False) for setting, state in states.items()}
    found = []
    for part in parts:
        state = states[part.set_pressure]
        if not flow_suits(part, state.flow + others):
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
                bears=_bears(part, solved.assembly.static),
            )
        )
    return tuple(found)


def _set_within(range_: Tolerated) -> list[Regulator]:
    """Regulators of the catalogue whose set pressure lies in a range."""
    parts = catalogue_in_use().parts(Regulator.kind_of_part)
    return [p for p in parts if isinstance(p, Regulator) and range_.low <= p.set_pressure <= range_.high]


def _bears(part: Regulator | HeadRegulator, pressure: float) -> bool:
    """Whether a regulator is rated for a pressure [Pa]; of one that states no rating nothing else is known."""
    return part.max_pressure is None or part.max_pressure >= pressure


def unlisted(solved: Solved, range_: Tolerated) -> Unlisted:
    """What to ask for where nothing of the catalogue suits, for the flow that the zone takes behind it."""
    ends = np.array([end for end in (range_.low, range_.high) if np.isfinite(end)])
    flows = flows_at(solved.pipework, ends, solved.without).inflow + solved.assembly.sharing
    return Unlisted(range_, (float(flows[0]), float(flows[-1])), so_set=bool(_set_within(range_)))


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
        bears=_bears(stage.device, solved.assembly.shut_off_pressures()[place]),
        own=True,
    )


def suggestion(solved: Solved, suits: Sequence[Suiting], own: Suiting | None, limits: Limits) -> Suiting | None:
    """The regulator to take: the head's own if none of the catalogue is worth more, else the best of those.

    Worth most is one that bears the supply; of those, one that leaves the margin at both ends, or most of it; of those,
    one that holds on this supply. Among equals of the catalogue it is the one at which the outlets give about what they
    are rated for; of those the lowest set pressure, which holds on the weakest supply; and of those the one in whose
    flow range the zone lies most nearly in the middle.
    """
    others = solved.assembly.sharing
    rated = solved.pipework.network.outlets.nominal_flow

    def worth(one: Suiting) -> tuple[bool, float, bool]:
        lacking = max(limits.pressure_margin - min(one.margin_below, one.margin_above), 0.0)
        return not one.bears, lacking, not one.holds_on(solved.assembly.no_flow)

    def rank(one: Suiting) -> tuple[bool, float, bool, bool, float, float, float]:
        off = round(abs(one.state.flow / rated - 1.0), 2)
        return *worth(one), not one.own, off, one.part.set_pressure, -_room(one.part, one.state.flow + others)

    return min([*([own] if own is not None and own.serves(others) else []), *suits], key=rank, default=None)


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
