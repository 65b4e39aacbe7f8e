"""The block of each run: its flow, pressures and losses, and its profile."""

from __future__ import annotations

import numpy as np

from service.hydraulics.arrays import Floats
from service.schemas.answers import EndOfLine, Profile, RunAnswer
from service.zones.pipework import Pipework
from service.zones.state import State


def run_answers(state: State, *, profiles: bool) -> list[RunAnswer]:
    """Every run instance, with its profile when asked."""
    pipework = state.pipework
    firsts = pipework.link_start[:-1]
    fastest = np.maximum.reduceat(state.link_velocity, firsts)
    loss = np.add.reduceat(state.link_loss, firsts)
    volume = np.add.reduceat(_lengths(pipework) * pipework.pipes.area, firsts)
    start, end = pipework.starts(), pipework.ends()
    lowest = np.minimum.reduceat(state.node_pressure[pipework.node], pipework.node_start[:-1])
    elevation = pipework.network.elevation
    climb = (elevation[end] - elevation[start]) * pipework.water.specific_weight
    outlet_flow = _flow_by_slot(state) if profiles else np.zeros(0)
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
            profile=profile(state, run, outlet_flow) if profiles else None,
        )
        for run, (inlet_flow, velocity, inlet, outlet, low, lost, rise, held) in enumerate(
            zip(*(column.tolist() for column in columns), strict=True)
        )
    ]


def profile(state: State, run: int, outlet_flow: Floats | None = None) -> Profile:
    """Pressure, flow, velocity and loss along one run instance."""
    pipework = state.pipework
    slots = slice(pipework.node_start[run], pipework.node_start[run + 1])
    links = slice(pipework.link_start[run], pipework.link_start[run + 1])
    nodes = pipework.node[slots]
    flow, velocity = state.link_flow[links], state.link_velocity[links]
    by_slot = _flow_by_slot(state) if outlet_flow is None else outlet_flow
    given = by_slot[slots].copy()
    given[0] = np.nan  # places are beyond the start: what stands there belongs to the parent
    return Profile(
        at=pipework.node_at[slots],
        elevation=pipework.network.elevation[nodes],
        pressure=state.node_pressure[nodes],
        outlet_flow=given,
        flow=np.concatenate((flow[:1], flow)),
        velocity=np.concatenate((velocity[:1], velocity)),
        loss=np.concatenate(([0.0], np.cumsum(state.link_loss[links]))),
    )


def ends_of_line(state: State) -> list[EndOfLine]:
    """Every run instance that ends open to nothing."""
    pipework = state.pipework
    ends = pipework.ends()
    return [
        EndOfLine(
            run=pipework.address(run),
            pressure=float(state.node_pressure[ends[run]]),
            elevation=float(pipework.network.elevation[ends[run]]),
        )
        for run in np.flatnonzero(pipework.open_ended).tolist()
    ]


def _lengths(pipework: Pipework) -> Floats:
    """Length of each link along the pipe. (m,) [m]"""
    lengths: Floats = np.delete(np.diff(pipework.node_at, prepend=0.0), pipework.node_start[:-1])
    return lengths


def _flow_by_slot(state: State) -> Floats:
    """Flow of one outlet by place of each run, NaN where none stands. (m + i,) [m³/s]"""
    pipework = state.pipework
    by_slot = np.full(len(pipework.node), np.nan)
    by_slot[pipework.outlet_slot] = state.outlet_flow
    return by_slot
