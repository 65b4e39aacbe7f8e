"""Zones to test with, as callers would write them: JSON objects in US units, drawn at random, all of them valid.

Trees and closed grids, copies within copies, level ground, even slopes and hills, both ways of placing outlets, both
kinds of outlet laws, outlets on small tubes, every form of supply. Numbers have few digits, so that a failing zone can
be read. `in_metric` writes a zone again in metric units.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from copy import deepcopy
from typing import Any

from hypothesis import strategies as st

from service.units.dimensions import System, from_si, to_si

Json = dict[str, Any]
Draw = st.DrawFn

PIPES = ("pvc-sch40-0.75in", "pvc-sch40-1in", "pe-0.5in", "pe-0.75in", "dripline-17mm", "tubing-0.5in-600-700")
LATERAL_PIPES = ("dripline-17mm", "tubing-0.5in-600-700", "pe-0.5in")
COMPENSATING = ("inline-compensating-0.6gph", "compensating-1gph", "inline-closing-0.6gph")
POWER_LAW = ("turbulent-1gph", "long-path-1gph", "vortex-1gph")
FITTINGS = ("elbow_90", "tee_run", "coupling", "ball_valve")


def decimals(low: float, high: float, places: int = 2) -> st.SearchStrategy[float]:
    """Numbers from low to high with few decimal places."""
    scale = 10**places
    return st.integers(math.ceil(low * scale), math.floor(high * scale)).map(lambda n: n / scale)


def sometimes(strategy: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    """A value, or None for a field that is left out."""
    return st.none() | strategy


def without_none(**fields: Any) -> Json:
    return {name: value for name, value in fields.items() if value is not None}


@st.composite
def written_pipes(draw: Draw) -> Json:
    return without_none(
        inside_diameter=draw(decimals(0.4, 1.5, 3)),
        material=draw(st.sampled_from(["pe", "pvc"])),
        roughness=draw(sometimes(st.sampled_from([1.5, 3.0, 10.0]))),
        hazen_williams_c=draw(sometimes(st.integers(120, 150))),
        max_pressure=draw(sometimes(st.integers(60, 200))),
    )


@st.composite
def written_emitters(draw: Draw, *, power_law: bool = True, compensating: bool = True) -> Json:
    flow = draw(decimals(0.2, 4))
    if power_law and (not compensating or draw(st.booleans())):
        return {"flow": flow, "at_pressure": draw(decimals(8, 30, 1)), "exponent": draw(decimals(0.3, 1))}
    low = draw(decimals(4, 12, 1))
    closing = draw(sometimes(decimals(1, low - 1, 1)))
    return without_none(flow=flow, pressure_range=[low, draw(decimals(20, 60, 1))], closing_pressure=closing)


def emitters(*, power_law: bool = True, compensating: bool = True) -> st.SearchStrategy[Any]:
    """Emitters by id or written out, of one kind of law or of both."""
    known = (COMPENSATING if compensating else ()) + (POWER_LAW if power_law else ())
    return st.sampled_from(known) | written_emitters(power_law=power_law, compensating=compensating)


@st.composite
def tubes(draw: Draw) -> Json:
    length = draw(decimals(0.5, 6, 1))
    rise = draw(sometimes(decimals(-length / 2, length / 2, 1)))
    return without_none(pipe="tubing-0.25in", length=length, rise=rise)


@st.composite
def outlets(draw: Draw, length: float, *, most: int = 40, power_law: bool = True, compensating: bool = True) -> Any:
    """Outlets that fit on `length`: evenly spaced, or each at its place."""
    emitter = emitters(power_law=power_law, compensating=compensating)
    per_place, tube = sometimes(st.integers(1, 4)), sometimes(tubes())
    if draw(st.booleans()):
        spacing = draw(decimals(max(length / most, 0.1), length, 2))
        first_at = draw(sometimes(decimals(0.01, length, 2)))
        first = spacing / 2 if first_at is None else first_at
        count = draw(sometimes(st.integers(1, 1 + math.floor((length - first) / spacing))))
        return without_none(
            emitter=draw(emitter),
            spacing=spacing,
            first_at=first_at,
            count=count,
            per_place=draw(per_place),
            tube=draw(tube),
        )
    places = draw(st.lists(decimals(0.01, length, 2), min_size=1, max_size=min(most, 8)))
    return [without_none(at=at, emitter=draw(emitter), per_place=draw(per_place), tube=draw(tube)) for at in places]


@st.composite
def lying(draw: Draw, length: float, *, end: float | None = None, steepest: float = 0.1) -> Json:
    """`rise` or `ground` of a run, or neither; with `end` [ft] its far end lies so much higher than its start."""
    rise = draw(decimals(-steepest * length, steepest * length, 2)) if end is None else end
    form = draw(st.sampled_from(["level", "even", "hilly"]))
    if form == "level" and (end is None or end == 0):
        return {}
    if form == "hilly" and length >= 1:
        at = draw(decimals(0.4 * length, 0.6 * length, 2))
        # A third of the way at the steepest slope, so that neither side is steeper than pipe can be.
        height = round(rise * at / length + draw(decimals(-steepest * length / 3, steepest * length / 3, 2)), 4)
        return {"ground": [[0, 0], [at, height], [length, rise]]}
    return {"rise": rise}


@st.composite
def trees(draw: Draw, *, most_runs: int = 5, most_copies: int = 4, most_outlets: int = 40, **laws: bool) -> list[Json]:
    """Runs that branch and never close; at least one has outlets."""
    runs: list[Json] = []
    instances: list[int] = []
    for index in range(draw(st.integers(1, most_runs))):
        length = draw(decimals(2, 120, 1))
        run = {"id": f"run-{index}", "pipe": draw(st.sampled_from(PIPES) | written_pipes()), "length": length}
        above = draw(st.integers(-1, index - 1))
        if above >= 0:
            run |= {"from": runs[above]["id"]} | draw(_leaving(runs[above]["length"], most_copies))
        elif draw(st.booleans()):
            run["copies"] = {"count": draw(st.integers(1, most_copies)), "apart": 0}
        instances.append((instances[above] if above >= 0 else 1) * run.get("copies", {"count": 1})["count"])
        if instances[-1] > 60:
            del run["copies"]
            instances[-1] = instances[above] if above >= 0 else 1
        run |= draw(lying(length))
        if draw(st.booleans()):
            run["fittings"] = draw(st.dictionaries(st.sampled_from(FITTINGS), st.integers(0, 4), max_size=2))
        if draw(st.booleans()):
            run["outlets"] = draw(outlets(length, most=most_outlets, **laws))
        runs.append(run)
    if not any("outlets" in run for run in runs):
        runs[-1]["outlets"] = draw(outlets(runs[-1]["length"], most=most_outlets, **laws))
    return runs


@st.composite
def _leaving(draw: Draw, length: float, most_copies: int) -> Json:
    """Where a run, or its copies, leave a parent of this length."""
    if draw(st.booleans()):
        at = draw(decimals(0, length, 2))
        count = draw(st.integers(1, most_copies))
        apart = math.floor(100 * (length - at) / count) / 100
        return {"from_at": at, "copies": {"count": count, "apart": apart}}
    return without_none(from_at=draw(sometimes(decimals(0, length, 2))))


@st.composite
def trunks(draw: Draw, *, most_branches: int = 3, **laws: bool) -> list[Json]:
    """A run over a hill with outlets on it, and level ones that leave it, each at a place that is given."""
    length = draw(decimals(5, 100, 1))
    trunk = {"id": "trunk", "pipe": "pe-0.75in", "length": length, **draw(lying(length))}
    trunk |= {"outlets": draw(outlets(length, most=8, **laws)), "fittings": {"elbow_90": 1}}
    runs = [trunk]
    for number, at in enumerate(draw(st.lists(decimals(0, length), max_size=most_branches))):
        along = draw(decimals(2, 60, 1))
        branch = {"id": f"branch-{number}", "from": "trunk", "from_at": at, "pipe": "pe-0.5in", "length": along}
        runs.append(branch | {"outlets": draw(outlets(along, most=6, **laws))})
    return runs


@st.composite
def grids(draw: Draw, *, most_rows: int = 6, most_outlets: int = 40, **laws: bool) -> list[Json]:
    """A closed drip grid on a slope, alone or once in each of several beds."""
    rows = draw(st.integers(1, most_rows))
    apart = draw(decimals(0.5, 4, 1))
    width, depth = round((rows + draw(st.integers(0, 1))) * apart, 1), draw(decimals(4, 100, 1))
    across, down = draw(decimals(-0.1 * width, 0.1 * width, 2)), draw(decimals(-0.1 * depth, 0.1 * depth, 2))
    pipe, line = draw(st.sampled_from(PIPES)), draw(st.sampled_from(LATERAL_PIPES))
    feed: list[Json] = [{"id": "feed", "pipe": "pvc-sch40-1in", "length": draw(decimals(1, 100, 1))}]
    start: Json = {"from": "feed"}
    if draw(st.booleans()):
        beds = {"count": draw(st.integers(1, 3)), "apart": 0}
        feed.append({"id": "bed", "pipe": "pe-1in", "length": 5, "from": "feed", "from_at": 1, "copies": beds})
        start = {"from": "bed"}
    # Both headers lie alike, so that every row ends where the exhaust header is, however the row lies between.
    headers = draw(lying(width, end=across))
    return [
        *feed,
        {"id": "header", "pipe": pipe, "length": width, **start, **headers},
        {"id": "edge", "pipe": line, "length": depth, "from": "header", "from_at": 0, **draw(lying(depth, end=down))},
        {"id": "exhaust", "pipe": pipe, "length": width, "from": "edge", **headers},
        {
            "id": "row",
            "pipe": line,
            "length": depth,
            "from": "header",
            "from_at": apart,
            "copies": {"count": rows, "apart": apart},
            "closes_to": {"run": "exhaust", "at": apart},
            "outlets": draw(outlets(depth, most=most_outlets, **laws)),
            **draw(lying(depth, end=down)),
        },
    ]


@st.composite
def supplies(draw: Draw, *, low: float = 20, high: float = 100) -> Json:
    """Every form of supply."""
    pressure = draw(decimals(low, high, 1))
    form = draw(st.sampled_from(["main", "tested main", "tank", "pump"]))
    rise = draw(sometimes(decimals(-5, 5, 1)))
    if form == "tank":
        return without_none(water_level=round(pressure * 2.31, 1), rise=rise)
    if form == "pump":
        most = draw(decimals(10, 40, 1))
        return {"pump_curve": [[0, pressure], [most / 2, round(pressure * 0.8, 1)], [most, round(pressure * 0.3, 1)]]}
    if form == "main":
        line = {"pipe": "pvc-sch40-1in", "length": draw(decimals(5, 100, 1)), "fittings": {"elbow_90": 2}}
        sizes = sometimes(st.sampled_from(["0.625in", "0.75in", "1in"]))
        return without_none(static_pressure=pressure, meter_size=draw(sizes), service_line=line, rise=rise)
    residual = round(pressure * draw(decimals(0.3, 0.95)), 1)
    return {
        "static_pressure": pressure,
        "flow_test": {"flow": draw(decimals(3, 30, 1)), "residual_pressure": residual},
    } | without_none(rise=rise)


@st.composite
def losses(draw: Draw) -> Json:
    """Every form of loss, none of them falling."""
    low, high = sorted([draw(decimals(0.1, 4, 1)), draw(decimals(0.1, 4, 1))])
    return draw(
        st.sampled_from(
            [
                {"fixed": low},
                {"cv": round(3 + 2 * high, 1)},
                {"kv": round(3 + 2 * high, 1)},
                {"point": {"flow": 8, "loss": high}},
                {"table": [[2, low], [8, high]]},
            ]
        )
    )


@st.composite
def heads(draw: Draw) -> list[Json]:
    """Devices in the usual order, each there or not."""
    devices: list[Json] = [
        {"device": "backflow_preventer", "kind": "reduced_pressure", "height": 1, "loss": {"table": [[2, 9], [8, 8]]}},
        {"device": "valve", "flow_range": [0.25, 30]},
        {"device": "filter", "mesh": 150, "dirty_allowance": draw(decimals(0, 5, 1))},
        {"device": "regulator", "set_pressure": draw(decimals(10, 45, 1)), "flow_range": [0.1, 30]},
        {"device": "other", "name": "flow sensor"},
    ]
    return [
        {"loss": draw(losses()), **device} if draw(st.booleans()) else device
        for device in devices
        if draw(st.booleans())
    ]


@st.composite
def zones(
    draw: Draw, *, runs: st.SearchStrategy[list[Json]] | None = None, supply: st.SearchStrategy[Json] | None = None
) -> Json:
    """Whole zones. With `runs` and `supply` the parts that a test cares about are its own."""
    return without_none(
        name=draw(sometimes(st.sampled_from(["Rose bank", "Dahlia rows", "Quince on the wall"]))),
        units="us",
        water=draw(sometimes(st.fixed_dictionaries({"source": st.just("well"), "temperature": decimals(40, 100, 0)}))),
        supply=draw(supplies() if supply is None else supply),
        head=draw(sometimes(heads())),
        runs=draw(trees() | grids() if runs is None else runs),
        options=draw(
            sometimes(
                st.fixed_dictionaries(
                    {
                        "friction": st.sampled_from(["darcy_weisbach", "hazen_williams"]),
                        "filter_state": st.sampled_from(["due", "clean"]),
                    }
                )
            )
        ),
    )


DIMENSION_OF: Mapping[str, str | tuple[str, str]] = {
    "temperature": "temperature",
    "static_pressure": "pressure",
    "residual_pressure": "pressure",
    "set_pressure": "pressure",
    "max_pressure": "pressure",
    "at_pressure": "pressure",
    "closing_pressure": "pressure",
    "dirty_allowance": "pressure",
    "fixed": "pressure",
    "loss": "pressure",
    "pressure_range": ("pressure", "pressure"),
    "flow_range": ("flow", "flow"),
    "table": ("flow", "pressure"),
    "pump_curve": ("flow", "pressure"),
    "water_level": "length",
    "length": "length",
    "rise": "length",
    "height": "length",
    "from_at": "length",
    "at": "length",
    "apart": "length",
    "spacing": "length",
    "first_at": "length",
    "ground": ("length", "length"),
    "inside_diameter": "diameter",
}
"""Dimension of the fields that the zones above use; of lists, the dimension of each member of a pair."""


def in_metric(zone: Json) -> Json:
    """The same zone in metric units."""
    return {**_metric(deepcopy(zone), within=""), "units": "metric"}


def _metric(value: Any, within: str, dimension: str | tuple[str, str] | None = None) -> Any:
    if isinstance(value, dict):
        return {name: _metric(item, name, _dimension(name, item, within, value)) for name, item in value.items()}
    if isinstance(value, list) and isinstance(dimension, tuple):
        if value and isinstance(value[0], list):
            return [_metric(pair, within, dimension) for pair in value]
        return [_converted(item, one) for item, one in zip(value, dimension, strict=True)]
    if isinstance(value, list):
        return [_metric(item, within) for item in value]
    return _converted(value, dimension) if isinstance(dimension, str) else value


def _dimension(name: str, item: Any, within: str, around: Json) -> str | tuple[str, str] | None:
    if name == "flow":
        return "flow" if within in {"flow_test", "point"} else "outlet_flow"
    if isinstance(item, dict):
        return None
    return DIMENSION_OF.get(name)


def _converted(value: float, dimension: str) -> float:
    return from_si(to_si(value, dimension, System.US), dimension, System.METRIC)
