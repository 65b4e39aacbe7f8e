"""The block of each run: its flow, pressures and losses, and its profile."""

from __future__ import annotations

import numpy as np

from service.hydraulics.arrays import Floats, Ints
from service.schemas.answers import EndOfLine, Profile, RunAnswer
from service.zones.state import State


def run_answers(state: State, *, profiles: bool) -> list[RunAnswer]:
    """Every run instance, with its profile when asked."""
    pipework = state.pipework
    firsts = pipework.link_start[:-1]
    fastest = np.maximum.reduceat(state.link_velocity, firsts)
    loss = np.add.reduceat(state.link_loss, firsts)
    volume = np.add.reduceat(pipework.link_lengths * pipework.pipes.area, firsts)
    start, end = pipework.starts, pipework.ends
    lowest = np.minimum.reduceat(state.node_pressure[pipework.node], pipework.node_start[:-1])
    elevation = pipework.network.elevation
    climb = (elevation[end] - elevation[start]) * pipework.water.specific_weight
    at_start, at_end = state.node_pressure[start], state.node_pressure[end]
    columns = (state.link_flow[firsts], fastest, at_start, at_end, lowest, loss, climb, volume)
    return [
        RunAnswer(
            run=pipework.address(run),
            inlet_flow=inlet_flow,
            velocity=velocity,
            inlet_pressure=inlet,
            end_pressure=outlet,
            lowest_pressure=low,
            friction_loss=lost,
            elevation_change=rise,
            volume=held,
            profile=profile(state, run) if profiles else None,
        )
        for run, (inlet_flow, velocity, inlet, outlet, low, lost, rise, held) in enumerate(
            zip(*(column.tolist() for column in columns), strict=True)
        )
    ]


def profile(state: State, run: int) -> Profile:
    """Pressure, flow, velocity and loss along one run instance; unlike outlets at one place have a row each."""
    pipework = state.pipework
    slots = slice(pipework.node_start[run], pipework.node_start[run + 1])
    links = slice(pipework.link_start[run], pipework.link_start[run + 1])
    groups = slice(*np.searchsorted(pipework.outlet_run, (run, run + 1)))
    place, outlet_flow = _rows(pipework.outlet_slot[groups] - slots.start, slots.stop - slots.start)
    outlet_flow[~np.isnan(outlet_flow)] = state.outlet_flow[groups]
    nodes = pipework.node[slots][place]
    flow, velocity = state.link_flow[links], state.link_velocity[links]
    return Profile(
        at=pipework.node_at[slots][place],
        elevation=pipework.network.elevation[nodes],
        pressure=state.node_pressure[nodes],
        outlet_flow=outlet_flow,
        flow=np.concatenate((flow[:1], flow))[place],
        velocity=np.concatenate((velocity[:1], velocity))[place],
        loss=np.concatenate(([0.0], np.cumsum(state.link_loss[links])))[place],
    )


def _rows(standing: Ints, places: int) -> tuple[Ints, Floats]:
    """Place of each row of a profile, and 0 where a group of outlets stands, else NaN.

    standing : (g,) place of each group, rising
    """
    groups = np.bincount(standing, minlength=places)
    place = np.repeat(np.arange(places), np.maximum(groups, 1))
    return place, np.where(groups[place] > 0, 0.0, np.nan)


def ends_of_line(state: State) -> list[EndOfLine]:
    """Every run instance that ends open to nothing."""
    pipework = state.pipework
    ends = pipework.ends
    return [
        EndOfLine(
            run=pipework.address(run),
            pressure=float(state.node_pressure[ends[run]]),
            elevation=float(pipework.network.elevation[ends[run]]),
        )
        for run in np.flatnonzero(pipework.open_ended).tolist()
    ]
