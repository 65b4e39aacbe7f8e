"""Zones that nobody builds and somebody sends: each has an answer that holds together."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from service.schemas.answers import Verdict
from service.schemas.wire import to_wire
from service.schemas.zone import Zone
from service.units.dimensions import System
from service.zones.check import check
from service.zones.faults import ZoneFaults
from tests import strategies
from tests.zones.flower_plot import LOOSE, STEADY, Json, ask, bed, outlets, plot

PIPE = {"pipe": "pe-0.75in", "length": 50}
FAT = {"inside_diameter": 19, "material": "pe"}
THIN = {"inside_diameter": 0.01, "material": "pe", "roughness": 0}
BARE = {"head": []}

ZONES: dict[str, Json] = {
    "a part without outlets": plot(bed(), {"id": "spare", **PIPE, "rise": 5}),
    "a supply of nothing": plot(supply={"static_pressure": 0}, **BARE),
    "a tank below the zone": plot(supply={"water_level": -10}, **BARE),
    "a tank level with the zone": plot(supply={"water_level": 0}, **BARE),
    "a pump that gives nothing": plot(supply={"pump_curve": [[0, 0], [5, 0]]}, **BARE),
    "a pump smaller than the zone": plot(supply={"pump_curve": [[0.1, 40], [0.2, 10]]}, **BARE),
    "a test that left nothing": plot(
        supply={"static_pressure": 50, "flow_test": {"flow": 0.01, "residual_pressure": 0}}, **BARE
    ),
    "a head that takes more than there is": plot(head=[{"device": "other", "loss": {"fixed": 65}}]),
    "straight down": plot(bed(length=3000, rise=-3000, outlets=outlets(STEADY, 50))),
    "straight up": plot(bed(length=3000, rise=3000, outlets=outlets(STEADY, 50))),
    "outlets at the bottom alone": plot({"id": "down", **PIPE, "length": 3100, "rise": -3000}, bed(**{"from": "down"})),
    "a main far above": plot(supply={"static_pressure": 290, "rise": -3000}, **BARE),
    "a hundred outlets a place": plot(
        bed(outlets=outlets(STEADY, 5, per_place=100, tube={"pipe": "tubing-0.25in", "length": 3, "rise": 1}))
    ),
    "an outlet at the very end": plot(bed(outlets=outlets(STEADY, 60, first_at=60))),
    "ground of a thousand points": plot(
        bed(length=999, ground=[[n, (n % 7) * 0.1] for n in range(1000)], outlets=outlets(LOOSE, 50))
    ),
    "names with braces": plot(
        head=[
            {"device": "valve", "name": "{x} {0} {", "max_pressure": 40},
            {"device": "filter", "name": "{y!r:>10}", "max_pressure": 20},
        ]
    ),
    "names as long as may be": plot(
        bed(id="b" * 64, fittings={"tee_run": 3}),
        head=[{"device": "valve", "name": "v" * 200, "max_pressure": 40}],
    ),
    "two thousand kinds of outlet": plot(
        bed(
            length=3000,
            outlets=[{"at": 1 + n / 2, "emitter": {**LOOSE, "flow": round(0.5 + n * 2e-4, 4)}} for n in range(2000)],
        )
    ),
    "a chain of two thousand runs": plot(
        {"id": "r0", "pipe": "pe-2in", "length": 1, "fittings": {"tee_run": 1}},
        *(
            {"id": f"r{n}", "from": f"r{n - 1}", "pipe": "pe-2in", "length": 1, "fittings": {"tee_run": 1}}
            for n in range(1, 1999)
        ),
        bed(**{"from": "r1998"}),
    ),
    "two thousand copies at one place": plot(bed(copies={"count": 2000, "apart": 0}, outlets=outlets(STEADY, 60))),
    "a bore of a quarter of a millimetre": plot(
        bed(pipe=THIN, length=3000, outlets=outlets({**STEADY, "flow": 70}, 3)), **BARE
    ),
    "pipe as wide as it is short": plot(
        {"id": "a", "pipe": FAT, "length": 0.01},
        bed(
            pipe=FAT,
            length=0.01,
            outlets=outlets({"flow": 1, "at_pressure": 10, "exponent": 0.05}, 0.01),
            **{"from": "a"},
        ),
        **BARE,
    ),
    "a wide loop on a thin line": plot(
        {"id": "a", "pipe": FAT, "length": 1},
        {"id": "b", "pipe": FAT, "length": 0.01, "from": "a", "from_at": 0.3, "closes_to": {"run": "a", "at": 0.31}},
        bed(pipe="tubing-0.25in", length=10, outlets=outlets(LOOSE, 1), **{"from": "a"}),
        **BARE,
    ),
    "outlets that shut where they open": plot(
        bed(outlets=outlets({**STEADY, "pressure_range": [10, 50], "closing_pressure": 9.89})),
        supply={"static_pressure": 10},
        **BARE,
    ),
    "emitters without a pattern": plot(bed(outlets=outlets({**STEADY, "variation": 1}))),
    "a passage nothing goes through": plot(bed(outlets=outlets({**STEADY, "passage": 0.001}))),
    "walls that seep": plot(
        bed(length=100, outlets=outlets({"flow": 0.01, "at_pressure": 0.02, "exponent": 1.0}, 0.05)), **BARE
    ),
    "a syphon": plot(
        {"id": "over", **PIPE, "length": 150, "rise": 100},
        bed(length=250, rise=-200, outlets=[{"at": 249, "emitter": LOOSE}], **{"from": "over"}),
        supply={"static_pressure": 40},
        **BARE,
    ),
    "criteria of nothing": plot(
        criteria=dict.fromkeys(
            (
                "flow_variation",
                "flow_variation_limit",
                "pressure_margin",
                "meter_flow_share",
                "meter_loss_share",
                "filter_opening_share",
            ),
            0,
        )
    ),
    "three regulators": plot(
        head=[{"device": "regulator", "set_pressure": pressure} for pressure in (40, 25, 30)] + [{"device": "valve"}]
    ),
    "a starved header": plot(
        {"id": "header", "pipe": "pe-0.75in", "length": 400},
        bed(
            length=20,
            copies={"count": 60, "apart": 5},
            outlets=outlets({**STEADY, "flow": 4}, 1),
            **{"from": "header", "from_at": 0},
        ),
    ),
}


@pytest.mark.parametrize("zone", ZONES.values(), ids=ZONES)
def test_a_zone_that_nobody_builds_has_an_answer_that_holds_together(zone):
    hold_together(zone)


def hold_together(zone: Json) -> None:
    answer = ask(zone)
    budget, supply = answer.loss_budget, answer.regulator.supply_pressure
    scale = max(abs(supply), abs(answer.critical_outlet.pressure), 1e5)
    assert min(stage.loss for stage in budget) >= 0
    assert budget[-1].pressure_after == pytest.approx(answer.critical_outlet.pressure, abs=1e-9 * scale)
    assert answer.lowest_outlet.pressure <= answer.critical_outlet.pressure + 1e-2
    assert answer.critical_outlet.pressure <= answer.highest_outlet.pressure + 1e-2
    assert (answer.flow > 0) is not any(finding.code == "no-flow" for finding in answer.findings)
    short = answer.critical_outlet.margin < -1
    assert short <= (answer.verdict is not Verdict.PASS)
    for system in System:
        assert not list(oddities(to_wire(answer, system)))


def oddities(value: Any):
    """What no document may hold: numbers that are none, nulls, sentences with holes in them."""
    if isinstance(value, dict):
        for one in value.values():
            yield from oddities(one)
    elif isinstance(value, list):
        for one in value:
            yield from oddities(one)
    elif isinstance(value, str):
        yield from (word for word in ("nan ", "inf ", "Measured(", "Sentence(", "None") if word in value)
    elif value is None or not math.isfinite(value):
        yield value


@settings(max_examples=28)
@given(strategies.zones(supply=strategies.supplies(low=0.1, high=150)), st.sampled_from(["summary", "outlets"]))
def test_random_zones_have_answers_that_hold_together(zone, detail):
    hold_together({**zone, "options": {**zone.get("options", {}), "detail": detail}})


WILD = st.sampled_from([0.001, 0.01, 0.3, 1, 7, 40, 250, 4000])
"""Numbers of every size, to be put where a number stands."""


@settings(max_examples=50)
@given(strategies.zones(), st.data())
def test_wild_numbers_are_refused_or_answered(zone, data):
    """Any one number of a zone is exchanged for one of another size. What is refused is refused by its reader."""
    wild = exchanged(zone, data)
    try:
        answer = check(Zone.model_validate(wild))
    except (ValidationError, ZoneFaults):
        return
    assert not list(oddities(to_wire(answer, System.US)))


def exchanged(zone: Json, data: st.DataObject) -> Json:
    """The zone with one of its numbers exchanged."""
    paths = list(numbers(zone, ()))
    path = data.draw(st.sampled_from(paths), label="path")
    return with_number(zone, path, data.draw(WILD, label="number"))


def numbers(value: Any, path: tuple[Any, ...]):
    if isinstance(value, dict | list):
        for key, one in value.items() if isinstance(value, dict) else enumerate(value):
            yield from numbers(one, (*path, key))
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield path


def with_number(value: Any, path: tuple[Any, ...], number: float) -> Any:
    if not path:
        return number
    copy = value.copy()
    copy[path[0]] = with_number(value[path[0]], path[1:], number)
    return copy


def test_very_many_findings_alike_are_cut_to_the_worst():
    """Sixty rows of pipe for 20 to 49.5 psi on 60: those rated least are told of."""
    rows = [
        bed(
            id=f"row-{n}",
            pipe={"inside_diameter": 0.6, "material": "pe", "max_pressure": 20 + n / 2},
            **{"from": "header"},
        )
        for n in reversed(range(60))
    ]
    header = {"id": "header", "pipe": "pe-2in", "length": 10}
    findings = ask(plot(header, *rows, supply={"static_pressure": 60}, head=[])).findings
    high = [finding.where for finding in findings if finding.code == "pipe-pressure-high"]
    assert high == [f"row-{n}" for n in reversed(range(20))]
    told = [finding.message.said(System.US) for finding in findings if finding.code == "alike-left-out"]
    assert any("60 findings of pipe-pressure-high" in message for message in told)
