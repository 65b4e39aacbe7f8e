"""Both ends of every range that a figure of a lateral may have, against arithmetic of fifty digits, or a clear refusal.

A zone of one outlet is one equation: the head that the supply has left is what the pipe loses, the outlet is lifted
and the outlet works at. mpmath solves it, with the laws written out in tests/engines.
"""

from __future__ import annotations

from itertools import product

import mpmath
import pytest
from mpmath import mpf
from pydantic import ValidationError

from service.hydraulics.water import Water
from service.schemas.zone import Zone
from service.zones.check import check
from tests.engines.fifty_digits import Number, darcy_weisbach, hazen_williams, outlet
from tests.networks import Kind
from tests.zones.flower_plot import Json

KPA, MM, LITRE_PER_HOUR, MICRON = 1e3, 1e-3, 1e-3 / 3600, 1e-6

USUAL = {
    "temperature": 20,  # °C
    "static_pressure": 300,  # kPa
    "length": 50,  # m
    "slope": 0,
    "inside_diameter": 14,  # mm
    "roughness": 1.5,  # µm
    "hazen_williams_c": 150,
    "flow": 4,  # L/h
    "at_pressure": 100,  # kPa
    "exponent": 0.5,
    "connection_length": 0.1,  # m
}

ENDS: dict[str, tuple[float, float]] = {
    "temperature": (0, 60),
    "static_pressure": (0, 2000),
    "length": (0.001, 10_000),
    "slope": (-1, 1),
    "inside_diameter": (0.2, 500),
    "roughness": (0, 700),  # a twentieth of the bore
    "hazen_williams_c": (60, 170),
    "flow": (0.009, 1080),
    "at_pressure": (0.1, 2000),
    "exponent": (0.05, 1.2),
    "connection_length": (0, 10),
}

ONE_BY_ONE = [{name: end} for name, ends in ENDS.items() for end in ends]

TOGETHER = [
    dict(zip(names, ends, strict=True))
    for names in [("static_pressure", "length", "inside_diameter", "flow", "exponent")]
    for ends in product(*(ENDS[name] for name in names))
]


def zone(facts: dict[str, float], friction: str) -> Json:
    """One outlet at the end of a pipe straight from a main, in metric units."""
    length = facts["length"]
    pipe = {name: facts[name] for name in ("inside_diameter", "roughness", "hazen_williams_c")}
    if facts["inside_diameter"] < 1:
        pipe["roughness"] = 0
    emitter = {name: facts[name] for name in ("flow", "at_pressure", "exponent", "connection_length")}
    run = {
        "id": "line",
        "pipe": {**pipe, "material": "pe"},
        "length": length,
        "outlets": [{"at": length, "emitter": emitter}],
    }
    if facts["slope"]:
        run["rise"] = facts["slope"] * length
    return {
        "units": "metric",
        "water": {"temperature": facts["temperature"]},
        "supply": {"static_pressure": facts["static_pressure"]},
        "runs": [run],
        "options": {"friction": friction},
    }


def worked_out(facts: dict[str, float], friction: str) -> tuple[float, float]:
    """Pressure at the outlet [Pa] and its flow [m³/s]."""
    water = Water.at(facts["temperature"])
    bore = facts["inside_diameter"] * MM
    along = facts["length"] + facts["connection_length"]
    kind = Kind(
        facts["flow"] * LITRE_PER_HOUR, facts["at_pressure"] * KPA / water.specific_weight, exponent=facts["exponent"]
    )
    wall = 0.0 if facts["inside_diameter"] < 1 else facts["roughness"] * MICRON

    def loss(flow: Number) -> Number:
        if not flow:
            return mpf(0)
        if friction == "hazen_williams":
            return hazen_williams(flow, along, bore, c=facts["hazen_williams_c"])
        return darcy_weisbach(flow, along, bore, roughness=wall, viscosity=water.kinematic_viscosity)

    with mpmath.workdps(50):
        available = mpf(facts["static_pressure"] * KPA) / water.specific_weight - facts["slope"] * facts["length"]
        low, high = min(available, mpf(0)), available
        for _ in range(70):
            middle = (low + high) / 2
            enough = middle + loss(outlet(kind, middle)) > available
            low, high = (low, middle) if enough else (middle, high)
        return float(high * water.specific_weight), float(outlet(kind, high))


@pytest.mark.parametrize("friction", ["darcy_weisbach", "hazen_williams"])
@pytest.mark.parametrize("changed", [*ONE_BY_ONE, *TOGETHER], ids=str)
def test_the_ends_of_every_range_are_answered_to_the_last_digit(changed: dict[str, float], friction: str):
    facts = {**USUAL, **changed}
    answer = check(Zone.model_validate(zone(facts, friction)))
    pressure, flow = worked_out(facts, friction)
    assert answer.critical_outlet.pressure == pytest.approx(pressure, abs=2e-3, rel=1e-9)
    assert answer.flow == pytest.approx(flow, rel=1e-6, abs=1e-9 * facts["flow"] * LITRE_PER_HOUR)


@pytest.mark.parametrize("name", ENDS)
@pytest.mark.parametrize("end", [0, 1], ids=["low", "high"])
def test_what_lies_a_hundredth_beyond_is_refused_where_it_stands(name: str, end: int):
    low, high = ENDS[name]
    beyond = (low - 0.01 * (abs(low) or high), high + 0.01 * abs(high))[end]
    with pytest.raises(ValidationError) as refused:
        Zone.model_validate(zone({**USUAL, name: beyond}, "darcy_weisbach"))
    faults = refused.value.errors()
    # The outlet stands at the end, so that its place is refused with the length.
    assert {fault["loc"][-1] for fault in faults} == {"length": {"length", "at"}, "slope": {"rise"}}.get(name, {name})
    assert all(fault["ctx"]["accepted"] for fault in faults)
