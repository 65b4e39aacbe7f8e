"""Rules about pressure: at the outlets, in the pipes, in the devices."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from service.schemas.answers import Finding, Severity
from service.units.sentence import Sentence
from service.zones.causes import lost_in_pipe, too_tall
from service.zones.criteria import COMMON_PRACTICE, PART_DATA, PHYSICS, WORTH_A_WORD
from service.zones.findings.case import Case, length, pressure, say
from service.zones.places import node_run, outlet_heights, outlet_place
from service.zones.regulator import regulator_state
from service.zones.state import first_least

SUCTION = -1.0
"""Gauge pressure below which a node counts as below that of the air. [Pa] A tenth of a millimetre of water:
rounding."""

ROUNDING = 0.5
"""Lack or excess of an outlet that is rounding. [Pa]"""

REGULATE = "Fit a regulator, or one with a lower set pressure."
EVEN_FIRST = "Others have too little at the same time: give all of them nearly the same first, then regulate."
BY_HEIGHT = "No one pressure suits outlets at such different heights: split the zone by height."
"""What to do about outlets with too much pressure, and with too little where some have too much."""


def outlets_fed(case: Case) -> Iterator[Finding]:
    """Every outlet has its least working pressure and some to spare, in the state of the filter that was asked for."""
    state, bands = case.solved.headline, case.bands
    if state.flow <= 0.0:
        yield _nothing_flows(case)
        return
    spare = state.outlet_pressure - bands.minimum
    short = spare < -ROUNDING
    for stated in (True, False):
        group = np.flatnonzero(short & (bands.stated == stated))
        if len(group):
            worst = int(group[first_least(spare[group])])
            count = int(case.solved.pipework.network.outlets.count[group].sum())
            total = int(case.solved.pipework.network.outlets.count.sum())
            yield say(
                "outlet-pressure-low",
                case.solved.pipework.address(int(case.solved.pipework.outlet_run[worst])),
                "The {outlet} gets {value} and needs {limit}{assumed}; {count} of {total} outlets are short. {remedy}",
                {
                    "outlet": outlet_place(case.solved.pipework, worst),
                    "value": pressure(float(state.outlet_pressure[worst])),
                    "limit": pressure(float(bands.minimum[worst])),
                    "assumed": "" if stated else " (assumed)",
                    "count": count,
                    "total": total,
                    "remedy": _remedy(case, worst),
                },
                value=pressure(float(state.outlet_pressure[worst])),
                limit=pressure(float(bands.minimum[worst])),
                severity=Severity.FAIL if stated else Severity.CAUTION,
                source=PART_DATA if stated else COMMON_PRACTICE,
            )
    worst = first_least(spare)
    if not short.any() and spare[worst] < case.limits.pressure_margin:
        yield say(
            "outlet-margin-small",
            case.solved.pipework.address(int(case.solved.pipework.outlet_run[worst])),
            "The {outlet} has only {value} above its minimum; {limit} should be in hand for wear and a supply "
            "that swings. Give the zone a little more pressure, or lose less of it on the way.",
            {
                "outlet": outlet_place(case.solved.pipework, worst),
                "value": pressure(float(spare[worst])),
                "limit": pressure(case.limits.pressure_margin),
            },
            value=pressure(float(spare[worst])),
            limit=pressure(case.limits.pressure_margin),
            source=COMMON_PRACTICE,
        )


def _remedy(case: Case, group: int) -> Sentence:
    """What to do about an outlet with too little pressure: pipe helps only against friction."""
    state = case.solved.headline
    if lost_in_pipe(state, group, float(case.bands.minimum[group])):
        return Sentence("Shorten or divide the line, feed it from its centre, use a wider pipe, or split the zone.")
    height = float(outlet_heights(state.pipework)[group])
    facts = {"inlet": pressure(state.inlet_pressure), "height": length(height)}
    told = "Wider pipe will not help: the zone inlet has only {inlet}. "
    do = "Give the zone more pressure: take less of it in the head, or split the zone."
    if height > WORTH_A_WORD:
        told = "Wider pipe will not help: the zone inlet has {inlet} and the outlet stands {height} above it. "
        do = "Give the zone more pressure, or feed it from higher up."
    return Sentence(told + (BY_HEIGHT if too_tall(state, case.bands) else do), facts)


def _nothing_flows(case: Case) -> Finding:
    network, inlet = case.solved.pipework.network, case.solved.headline.inlet_pressure
    lowest = float(network.elevation[network.outlets.node].min())
    return say(
        "no-flow",
        "zone",
        "No outlet gives any water: the pressure at the zone inlet is {value}, and the lowest outlet leaves the pipe "
        "{height} above it. Check the supply, what the head takes, and the height of the zone.",
        {"value": pressure(inlet), "height": length(lowest)},
        value=pressure(inlet),
        source=PHYSICS,
    )


def outlets_not_burst(case: Case) -> Iterator[Finding]:
    """No outlet has more than its greatest working pressure; judged with the filter clean."""
    state, bands = case.solved.clean, case.bands
    over = state.outlet_pressure - bands.maximum
    short = bool((case.solved.headline.outlet_pressure < bands.minimum - ROUNDING).any())
    for stated in (True, False):
        group = np.flatnonzero((over > ROUNDING) & (bands.stated == stated))
        if not len(group):
            continue
        worst = int(group[first_least(-over[group])])
        yield say(
            "outlet-pressure-high",
            case.solved.pipework.address(int(case.solved.pipework.outlet_run[worst])),
            "The {outlet} gets {value}{clean}, above the {limit} it is made for{assumed}. {do}",
            {
                "outlet": outlet_place(case.solved.pipework, worst),
                "value": pressure(float(state.outlet_pressure[worst])),
                "limit": pressure(float(bands.maximum[worst])),
                "do": BY_HEIGHT if too_tall(state, bands) else EVEN_FIRST if short else REGULATE,
                "clean": "" if state is case.solved.due else " with a clean filter",
                "assumed": "" if stated else " (assumed)",
            },
            value=pressure(float(state.outlet_pressure[worst])),
            limit=pressure(float(bands.maximum[worst])),
            severity=Severity.FAIL if stated else Severity.CAUTION,
            source=PART_DATA if stated else COMMON_PRACTICE,
        )


def no_suction(case: Case) -> Iterator[Finding]:
    """No place falls below the pressure of the air while water flows."""
    state, pipework = case.solved.headline, case.solved.pipework
    lowest = int(np.argmin(state.node_pressure))
    value = float(state.node_pressure[lowest])
    if value < SUCTION and state.flow > 0.0:
        run, at = node_run(pipework, lowest)
        yield say(
            "negative-pressure",
            pipework.address(run),
            "Pressure is {value} at {at} of {where}, below that of the air: air enters there and outlets draw soil in. "
            "Put an air and vacuum relief valve there and give the zone more pressure.",
            {"value": pressure(value), "at": length(at)},
            value=pressure(value),
            limit=pressure(0.0),
            source=PHYSICS,
        )


def regulator_holds(case: Case) -> Iterator[Finding]:
    """The regulator has the inlet pressure it takes to hold."""
    solved = case.solved
    place = solved.assembly.regulator
    if place is None or regulator_state(solved) == "holding":
        return
    stage = solved.assembly.stages[place]
    clean = solved.zone.options.filter_state == "clean"
    before = solved.assembly.pressures(solved.headline.flow, clean=clean)[place]
    yield say(
        "regulator-not-holding",
        stage.name,
        "The {where} gets {value} at its inlet and needs {limit} to hold its {set}; now it is only a loss of {loss}."
        " The advice on the regulator says what to do.",
        {
            "value": pressure(before),
            "limit": pressure(stage.set_pressure + stage.loss(solved.headline.flow, clean=clean)),
            "set": pressure(stage.set_pressure),
            "loss": pressure(stage.loss(solved.headline.flow, clean=clean)),
        },
        value=pressure(before),
        limit=pressure(stage.set_pressure + stage.loss(solved.headline.flow, clean=clean)),
        source=PHYSICS,
    )
