"""A dozen zones whose thresholds are swept, and more that have but some of them."""

from __future__ import annotations

from typing import Any

from service.api import examples

Json = dict[str, Any]

MAIN = {"static_pressure": 64, "flow_test": {"flow": 8, "residual_pressure": 58}}
PREVENTER = {
    "device": "backflow_preventer",
    "kind": "reduced_pressure",
    "height": 3,
    "loss": {"table": [[2, 9], [8, 10]]},
}
VALVE = {"device": "valve", "loss": {"cv": 9}, "flow_range": [0.1, 12], "max_pressure": 90}
FILTER = {"device": "filter", "mesh": 150, "loss": {"table": [[2, 0.4], [5, 1.9], [8, 4.6]]}, "dirty_allowance": 3}
REGULATOR = {
    "device": "regulator",
    "set_pressure": 20,
    "flow_range": [0.1, 7],
    "loss": {"point": {"flow": 7, "loss": 5}},
}
HEAD = [PREVENTER, VALVE, FILTER, REGULATOR]

STEADY = {"flow": 1, "pressure_range": [10, 45], "passage": 0.05}
LOOSE = {"flow": 1, "at_pressure": 15, "exponent": 0.5, "passage": 0.05}
TUBING = {"inside_diameter": 0.6, "material": "pe", "max_pressure": 55}


def zone(*runs: Json, supply: Json = MAIN, head: list[Json] = HEAD, temperature: float = 68) -> Json:
    return {"water": {"temperature": temperature}, "supply": supply, "head": head, "runs": list(runs)}


def line(**changed: Any) -> Json:
    return {"id": "line", "pipe": TUBING, "length": 90, "outlets": {"emitter": STEADY, "spacing": 3}, **changed}


SWEPT: dict[str, Json] = {
    "main-as-tested": zone(line()),
    "no-regulator-in-the-head": zone(line(rise=6), head=[PREVENTER, VALVE, FILTER]),
    "power-law-with-an-assumed-range": zone(line(outlets={"emitter": LOOSE, "spacing": 3})),
    "meter-and-service-line": zone(
        line(),
        supply={
            "static_pressure": 55,
            "meter_size": "0.625in",
            "service_line": {"pipe": "copper-l-0.75in", "length": 80, "rise": 9},
        },
    ),
    "tank": zone(
        line(length=30, outlets={"emitter": {**LOOSE, "at_pressure": 4, "pressure_range": [2, 9]}, "spacing": 3}),
        supply={"water_level": 25},
        head=[{**VALVE, "loss": {"cv": 12}}, {**FILTER, "dirty_allowance": 0.5}],
    ),
    "pump": zone(
        line(rise=12),
        supply={"pump_curve": [[0, 58], [3, 55], [8, 48]], "rise": 4},
    ),
    "filter-after-the-regulator": zone(line(), head=[PREVENTER, VALVE, REGULATOR, {**FILTER, "max_pressure": 70}]),
    "two-regulators": zone(line(), head=[{**REGULATOR, "set_pressure": 45}, VALVE, FILTER, REGULATOR]),
    "shared-regulator": zone(
        line(), head=[PREVENTER, VALVE, {**FILTER, "shared_flow": 5}, {**REGULATOR, "shared_flow": 5}]
    ),
    "small-tubes-up-a-wall": zone(
        line(
            outlets={
                "emitter": STEADY,
                "spacing": 9,
                "per_place": 2,
                "tube": {
                    "pipe": {"inside_diameter": 0.16, "material": "vinyl", "max_pressure": 41},
                    "length": 4,
                    "rise": 3,
                },
            }
        )
    ),
    "crest-and-hollow": zone(line(ground=[[0, 0], [30, -20], [65, 10], [90, 4]])),
    "warm-pvc-feed": zone(
        {
            "id": "feed",
            "pipe": {"inside_diameter": 0.8, "material": "pvc", "max_pressure": 120},
            "length": 60,
            "rise": -8,
        },
        line(**{"from": "feed"}),
        temperature=105,
    ),
    "closed-grid": {
        **zone(
            {"id": "header", "pipe": TUBING, "length": 12},
            line(**{"id": "edge", "from": "header", "from_at": 0, "length": 30, "rise": -2}),
            {"id": "exhaust", "from": "edge", "pipe": TUBING, "length": 12},
            line(
                **{"id": "row", "from": "header", "from_at": 3, "length": 30, "rise": -2},
                copies={"count": 4, "apart": 3},
                closes_to={"run": "exhaust", "at": 3},
            ),
        ),
        "options": {"friction": "hazen_williams"},
    },
    "rose-bank": examples.request("rose-bank"),
}
