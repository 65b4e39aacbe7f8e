"""Every pipe of a zone traced: where it leaves from, and the pressure and flow along it, for pictures."""

from __future__ import annotations

import numpy as np

from service import __version__
from service.hydraulics.arrays import Ints
from service.schemas.answers import Method
from service.schemas.drawn import Joint, Trace, TracedPipe, TracedPlaces, WorkingBand
from service.schemas.lateral import Lateral
from service.schemas.zone import Zone
from service.units.dimensions import System, labels
from service.units.sentence import Sentence
from service.zones.check import critical, method
from service.zones.instances import Limits
from service.zones.lateral import solve_lateral
from service.zones.outlet_bands import OutletBands
from service.zones.pipework import Pipework
from service.zones.solved import solve_zone
from service.zones.state import State, first_least

MOST_PLACES = 8_000
"""Places traced in all. [-] Of longer zones each pipe keeps its ends and some even steps between them: no picture has
more dots across."""

FEWEST_PLACES = 3
"""Places kept of the longest list of pipes. [-]"""

FILTER_STATES = {"due": "filter due for cleaning", "clean": "filter clean"}

NO_FILTER = "none"


def trace(zone: Zone, size: Limits | None = None) -> Trace:
    """The pipes of a zone in the state that its headline figures belong to.

    Raises
    ------
    ZoneFaults : what is wrong with the zone as a whole
    NotConverged : no accepted answer
    """
    solved = solve_zone(zone, size or Limits())
    filter_state, friction = zone.options.filter_state, zone.options.friction
    return _traced(
        solved.headline,
        name=zone.name or "zone",
        system=zone.units,
        method=method(solved.headline, friction=friction, filter_state=filter_state),
        told=FILTER_STATES[filter_state],
    )


def trace_lateral(lateral: Lateral, size: Limits | None = None) -> Trace:
    """The one pipe of a lateral.

    Raises
    ------
    ZoneFaults : no outlets, outlets beyond the end, too many of them
    NotConverged : no accepted answer
    """
    state = solve_lateral(lateral, size or Limits()).due
    return _traced(
        state,
        name=lateral.run.name or lateral.run.id,
        system=lateral.units,
        method=method(state, friction=lateral.options.friction, filter_state=NO_FILTER),
        told="fed at a known pressure",
    )


def _traced(state: State, *, name: str, system: System, method: Method, told: str) -> Trace:
    """The pipes of a solved state; `told` says in a few words what it holds for."""
    pipework = state.pipework
    bands = OutletBands.of(pipework)
    group = first_least(state.outlet_pressure - bands.minimum)
    return Trace(
        name=name,
        units=labels(system),
        version=__version__,
        method=method,
        state=told,
        inlet_pressure=state.inlet_pressure,
        flow=state.flow,
        critical_outlet=critical(state, bands, group),
        behind_tube=pipework.plan.kinds[pipework.outlet_kind[group]].tube is not None,
        band=band(pipework, group),
        pipes=_pipes(state),
    )


def band(pipework: Pipework, group: int) -> WorkingBand:
    """The working band of an outlet group."""
    emitter = pipework.plan.kinds[pipework.outlet_kind[group]].emitter
    low, high = emitter.pressure_range
    return WorkingBand(kind=Sentence("{part}", {"part": emitter.id or emitter.name}), minimum=low, maximum=high)


def _pipes(state: State) -> list[TracedPipe]:
    pipework = state.pipework
    plan = pipework.plan
    # Every run of the request gets its share, so that a header is as smooth with two thousand rows on it as with two.
    most = [max(MOST_PLACES // (len(plan.runs) * len(copies)), FEWEST_PLACES) for copies in plan.instances_of]
    pipes = []
    for number, instance in enumerate(plan.instances):
        first, beyond = int(pipework.node_start[number]), int(pipework.node_start[number + 1])
        kept = first + _kept(beyond - first, most[instance.run])
        nodes = pipework.node[kept]
        links = pipework.link_start[number] + np.maximum(kept - first - 1, 0)
        run = plan.run(number)
        pipes.append(
            TracedPipe(
                run=instance.address,
                parent=instance.parent,
                from_at=instance.from_at,
                length=run.length,
                outlets=run.outlet_count,
                joins=None
                if instance.closes_to is None
                else Joint(pipe=instance.closes_to[0], at=instance.closes_to[1]),
                places=TracedPlaces(
                    at=pipework.node_at[kept],
                    elevation=pipework.network.elevation[nodes],
                    pressure=state.node_pressure[nodes],
                    flow=state.link_flow[links],
                ),
            )
        )
    return pipes


def _kept(count: int, most: int) -> Ints:
    """Which of `count` places in a row are kept: all, or `most` of them in even steps with both ends."""
    if count <= most:
        return np.arange(count)
    return np.unique(np.rint(np.linspace(0, count - 1, most)).astype(np.intp))
