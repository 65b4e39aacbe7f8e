"""A zone worked out a second time, from its JSON alone: own pipes, own laws, a general root finder.

Nothing here is shared with the service but the data files of its catalogue, read as they stand, and the water, which
has tests of its own. Unknowns are the head at every place and the flow in every length of pipe; the equations are mass
at each place and energy along each length, written down one by one and given to scipy.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

import fluids
import numpy as np
from scipy.optimize import root

from service.hydraulics.water import Water

Json = dict[str, Any]
Loss = Callable[[float], float]

DATA = Path(__file__).parents[2] / "service" / "parts" / "data"

FOOT, PSI, GPM, GPH = 0.3048, 6894.757293168361, 3.785411784e-3 / 60, 3.785411784e-3 / 3600
INCH, MICRON, GRAVITY = 0.0254, 1e-6, 9.80665
SMOOTH_PLASTIC = 1.5
"""Roughness of plastics where the pipe states none. [µm] Hydraulic Institute, Engineering Data Book, table 3.A.1."""

K = {"elbow_90": 0.9, "tee_run": 0.6, "coupling": 0.04, "ball_valve": 0.075}
"""Of the fittings that the random zones have: EPANET 2 user manual; coupling Perry; ball valve Crane TP-410."""

CLOSE = 1e-6
"""Places closer than this are one. [m]"""


@cache
def catalogue() -> dict[tuple[str, str], Json]:
    parts = {}
    for path in DATA.glob("*.toml"):
        with path.open("rb") as file:
            data = tomllib.load(file)
        if data["units"] == "us":
            for kind, rows in data.items():
                if isinstance(rows, list):
                    parts |= {(kind, row["id"]): row for row in rows}
    return parts


def part(kind: str, value: Any) -> Json:
    return value if isinstance(value, dict) else catalogue()[kind, value]


@dataclass(frozen=True)
class Pipe:
    """A run instance."""

    address: str
    run: Json
    copies: tuple[tuple[str, int], ...]
    parent: int | None
    leaves: float  # along the parent [ft]
    start: float  # above the zone inlet [ft]


def height(run: Json, at: float) -> float:
    """Above the start of a run. [ft]"""
    points = run.get("ground") or [[0, 0], [run["length"], run.get("rise") or 0]]
    return float(np.interp(at, *np.array(points, dtype=float).T))


def pipes(zone: Json) -> list[Pipe]:
    """Every run instance, parents first."""
    found: list[Pipe] = []
    waiting = list(zone["runs"])
    laid: dict[str, list[int]] = {}
    while waiting:
        run = next(run for run in waiting if run.get("from") is None or run["from"] in laid)
        waiting.remove(run)
        laid[run["id"]] = []
        for parent in [None] if run.get("from") is None else list(laid[run["from"]]):
            for copy in range(run.get("copies", {"count": 1})["count"]):
                found.append(_pipe(found, run, parent, copy))
                laid[run["id"]].append(len(found) - 1)
    return found


def _pipe(found: list[Pipe], run: Json, parent: int | None, copy: int) -> Pipe:
    above = () if parent is None else found[parent].copies
    own = run["id"]
    copies = above
    if "copies" in run:
        own, copies = f"{own}:{copy + 1}", (*above, (run["id"], copy + 1))
    leaves = start = 0.0
    if parent is not None:
        up = found[parent].run
        leaves = up["length"] if run.get("from_at") is None else run["from_at"]
        leaves = min(leaves + copy * run.get("copies", {"apart": 0})["apart"], up["length"])
        start = found[parent].start + height(up, leaves)
    address = "/".join([*(f"{name}:{number}" for name, number in above), own])
    return Pipe(address, run, copies, parent, leaves, start)


def outlets_of(run: Json) -> list[tuple[float, Json]]:
    """Places with outlets along a run [ft], each with what stands there."""
    given = run.get("outlets")
    if given is None:
        return []
    if isinstance(given, list):
        return sorted(((one["at"], one) for one in given), key=lambda one: one[0])
    first = given["first_at"] if given.get("first_at") is not None else given["spacing"] / 2
    fitting = math.floor((run["length"] * (1 + 1e-9) - first) / given["spacing"]) + 1
    return [
        (min(first + number * given["spacing"], run["length"]), given)
        for number in range(given.get("count") or fitting)
    ]


def closing(all_pipes: list[Pipe], number: int) -> tuple[int, float] | None:
    """The pipe that a far end joins, and where along it. [ft]"""
    pipe = all_pipes[number]
    closes = pipe.run.get("closes_to")
    if closes is None:
        return None
    targets = [other for other, one in enumerate(all_pipes) if one.run["id"] == closes["run"]]
    common = lambda other: sum(1 for a, b in zip(all_pipes[other].copies, pipe.copies, strict=False) if a == b)  # noqa: E731
    copy = pipe.copies[-1][1] - 1 if "copies" in pipe.run else 0
    apart = closes.get("apart", pipe.run.get("copies", {"apart": 0})["apart"])
    return max(targets, key=common), closes["at"] + copy * apart


@dataclass
class Works:
    """A zone as nodes and links. Heads in m, flows in m³/s."""

    zone: Json
    elevation: list[float] = field(default_factory=lambda: [0.0])
    places: dict[tuple[int, int], int] = field(default_factory=dict)  # by pipe and place in micrometres
    ends: list[tuple[int, int]] = field(default_factory=list)  # nodes of each link
    loss: list[Loss] = field(default_factory=list)  # of each link [m]
    times: list[int] = field(default_factory=list)  # how often each link is there
    drains: list[tuple[int, Callable[[float], float]]] = field(default_factory=list)  # node, flow by pressure head

    def __post_init__(self) -> None:
        self.water = Water.at(((self.zone.get("water") or {}).get("temperature", 68) - 32) * 5 / 9)
        self.law = (self.zone.get("options") or {}).get("friction", "darcy_weisbach")
        self.pipes = pipes(self.zone)
        self._join()
        for number in range(len(self.pipes)):
            self._lay(number)

    @property
    def weight(self) -> float:
        return self.water.specific_weight

    def node(self, pipe: int | None, at: float) -> int:
        """The node at a place of a pipe [ft], made if there is none yet."""
        while pipe is not None and at * FOOT < CLOSE:
            pipe, at = self.pipes[pipe].parent, self.pipes[pipe].leaves
        if pipe is None:
            return 0
        key = pipe, round(at * FOOT / CLOSE)
        if key not in self.places:
            self.places[key] = len(self.elevation)
            self.elevation.append((self.pipes[pipe].start + height(self.pipes[pipe].run, at)) * FOOT)
        return self.places[key]

    def _join(self) -> None:
        """Make every end that closes a loop one with the place that it joins."""
        for number, pipe in enumerate(self.pipes):
            joins = closing(self.pipes, number)
            if joins is not None:
                self.places[number, round(pipe.run["length"] * FOOT / CLOSE)] = self.node(*joins)

    def _lay(self, number: int) -> None:
        pipe = self.pipes[number]
        run, length = pipe.run, pipe.run["length"]
        standing = outlets_of(run)
        leaving = [child.leaves for child in self.pipes if child.parent == number]
        joining = [
            joins[1] for other in range(len(self.pipes)) if (joins := closing(self.pipes, other)) and joins[0] == number
        ]
        marks = sorted(
            {round(at * FOOT / CLOSE): at for at in [*leaving, *joining, *(at for at, _ in standing), length]}.items()
        )
        behind, before, k = (
            0.0,
            self.node(number, 0.0),
            sum(K[name] * count for name, count in run.get("fittings", {}).items()),
        )
        for mark, at in marks:
            if mark == 0:
                continue
            here = [outlet for place, outlet in standing if round(place * FOOT / CLOSE) == mark]
            extra = sum(
                part("emitter", one["emitter"]).get("connection_length", 0) * one.get("per_place", 1) for one in here
            )
            node = self.node(number, at)
            self._link(before, node, self.friction(part("pipe", run["pipe"]), at - behind + extra, k))
            for outlet in here:
                self._hang(node, outlet)
            before, behind, k = node, at, 0.0

    def _link(self, start: int, end: int, loss: Loss, times: int = 1) -> None:
        self.ends.append((start, end))
        self.loss.append(loss)
        self.times.append(times)

    def _hang(self, node: int, outlet: Json) -> None:
        count, tube = outlet.get("per_place", 1), outlet.get("tube")
        flow = self.emission(part("emitter", outlet["emitter"]))
        if tube is None:
            self.drains.append((node, lambda head: count * flow(head)))
            return
        self.elevation.append(self.elevation[node] + (tube.get("rise") or 0) * FOOT)
        end = len(self.elevation) - 1
        self._link(node, end, self.friction(part("pipe", tube["pipe"]), tube["length"], 0.0), count)
        self.drains.append((end, flow))

    def friction(self, pipe: Json, length: float, k: float) -> Loss:
        """Loss of head along a length [ft] of pipe, m by m³/s."""
        bore, long = pipe["inside_diameter"] * INCH, length * FOOT
        area = math.pi / 4 * bore**2
        rough = pipe.get("roughness", SMOOTH_PLASTIC) * MICRON / bore
        viscosity = self.water.kinematic_viscosity

        def darcy(flow: float) -> float:
            velocity = abs(flow) / area
            reynolds = velocity * bore / viscosity
            # Below Re 1 Churchill's factor is 64 / Re to the last bit: Poiseuille's law, which needs no division.
            laminar = 32 * viscosity * long * velocity / (GRAVITY * bore**2)
            pipe_loss = laminar
            if reynolds > 1:
                pipe_loss = fluids.friction.Churchill_1977(reynolds, rough) * long / bore * velocity**2 / (2 * GRAVITY)
            return math.copysign(pipe_loss + k * velocity**2 / (2 * GRAVITY), flow)

        def hazen_williams(flow: float) -> float:
            size, velocity = abs(flow), abs(flow) / area
            factor = 10.67 * long / (self.smoothness(pipe) ** 1.852 * bore**4.8704)
            straight = factor * 1e-9**0.852 * size  # the law below 1e-9 m³/s, as the design of the service states it
            return math.copysign(
                (factor * size**1.852 if size > 1e-9 else straight) + k * velocity**2 / (2 * GRAVITY), flow
            )

        return darcy if self.law == "darcy_weisbach" else hazen_williams

    @staticmethod
    def smoothness(pipe: Json) -> float:
        """Hazen-Williams C: stated, 150 for PVC, and of polyethylene by bore (Keller & Karmeli 1974, from memory)."""
        if "hazen_williams_c" in pipe:
            return float(pipe["hazen_williams_c"])
        if pipe["material"] == "pvc":
            return 150.0
        bore = pipe["inside_diameter"] * 25.4
        return 130.0 if bore < 16.5 else 140.0 if bore < 22 else 150.0

    def emission(self, emitter: Json) -> Callable[[float], float]:
        """Flow of an emitter, m³/s by m of pressure head."""
        nominal, head = emitter["flow"] * GPH, PSI / self.weight
        faint = 1e-4  # m: a straight line to nothing in the first tenth of a millimetre

        def rooted(at: float, exponent: float) -> float:
            return at**exponent if at > faint else faint ** (exponent - 1) * max(at, 0.0)

        if "exponent" in emitter:
            rated, x = emitter["at_pressure"] * head, emitter["exponent"]
            return lambda at: nominal * rooted(at, x) / rated**x
        least, most = (limit * head for limit in emitter["pressure_range"])
        shut = emitter.get("closing_pressure", 0) * head

        def compensated(at: float) -> float:
            if at > most:
                return nominal * math.sqrt(at / most)
            return nominal if at >= least else nominal * rooted(at - shut, 0.5) / math.sqrt(least - shut)

        return compensated

    def inlet(self, flow: float) -> float:
        """Head at the zone inlet that the supply and the head leave at a flow. [m]"""
        supply = self.zone["supply"]
        pressure = _source(supply, flow, self.weight) - _rise(supply) * FOOT * self.weight
        if "flow_test" not in supply:
            line = supply.get("service_line")
            if line is not None:
                k = sum(K[name] * count for name, count in line.get("fittings", {}).items())
                pressure -= self.friction(part("pipe", line["pipe"]), line["length"], k)(flow) * self.weight
            if "meter_size" in supply:
                pressure -= _device(catalogue()["meter", supply["meter_size"]], flow)
        clean = (self.zone.get("options") or {}).get("filter_state", "due") == "clean"
        for device in self.zone.get("head") or []:
            pressure -= _device(device, flow) + (0 if clean else device.get("dirty_allowance", 0) * PSI)
            if device["device"] == "regulator":
                pressure = min(pressure, device["set_pressure"] * PSI)
        return pressure / self.weight

    def solve(self) -> tuple[np.ndarray, np.ndarray]:
        """Head at each node [m] and flow in each link [m³/s]."""
        nodes, links = len(self.elevation), len(self.ends)
        starts, ends = np.array(self.ends).T
        drained = np.array([node for node, _ in self.drains], dtype=int)
        elevation, times = np.array(self.elevation), np.array(self.times)
        unit = GPH  # so that heads and flows are numbers of one size

        def lacking(x: np.ndarray) -> np.ndarray:
            head, flow = x[:nodes], x[nodes:] * unit
            mass = np.bincount(ends, flow, nodes) - np.bincount(starts, flow * times, nodes)
            given = [drain(head[node] - elevation[node]) for node, drain in self.drains]
            mass -= np.bincount(drained, given, nodes)
            energy = head[starts] - head[ends] - [loss(one) for loss, one in zip(self.loss, flow, strict=True)]
            mass[0] = 0.0
            balance = mass / unit
            balance[0] = head[0] - self.inlet(
                float(np.bincount(starts, flow * times, nodes)[0] - np.bincount(ends, flow, nodes)[0])
            )
            return np.concatenate((balance, energy))

        for start in self._starts(nodes, links, unit):
            found = root(lacking, start, method="hybr", options={"xtol": 1e-13, "maxfev": 400 * len(start)})
            if np.abs(lacking(found.x)).max() < 1e-8:
                return found.x[:nodes], found.x[nodes:] * unit
        raise ArithmeticError("the root finder gives up")

    def _starts(self, nodes: int, links: int, unit: float) -> Iterator[np.ndarray]:
        """Guesses, from a zone that takes nothing to one that takes all."""
        for share in (0.9, 0.5, 0.2, 0.05, 1.0):
            head = share * max(self.inlet(0.0), 1.0)
            need = sum(drain(head) for _, drain in self.drains)
            yield np.concatenate((np.full(nodes, head), np.full(links, need / links / unit)))


def _rise(supply: Json) -> float:
    line = supply.get("service_line") or {}
    return float(supply.get("rise") or line.get("rise") or 0)


def _source(supply: Json, flow: float, weight: float) -> float:
    if "water_level" in supply:
        return float(supply["water_level"] * FOOT * weight)
    if "pump_curve" in supply:
        flows, pressures = np.array(supply["pump_curve"], dtype=float).T
        at = min(max(int(np.searchsorted(flows, flow / GPM, side="right")) - 1, 0), len(flows) - 2)
        slope = (pressures[at + 1] - pressures[at]) / (flows[at + 1] - flows[at])
        return float((pressures[at] + slope * (flow / GPM - flows[at])) * PSI)
    static = supply["static_pressure"] * PSI
    test = supply.get("flow_test")
    if test is None:
        return float(static)
    drop = static - test["residual_pressure"] * PSI
    return float(static - drop * (max(flow, 0.0) / (test["flow"] * GPM)) ** 1.852)


def _device(device: Json, flow: float) -> float:
    """Pressure that a clean device loses. [Pa]"""
    loss, gpm = device.get("loss"), max(flow, 0.0) / GPM
    if loss is None:
        return 0.0
    if "fixed" in loss:
        return float(loss["fixed"] * PSI)
    if "cv" in loss:
        return float((gpm / loss["cv"]) ** 2 * PSI)
    if "kv" in loss:
        return float((flow * 3600 / loss["kv"]) ** 2 * 1e5)
    if "point" in loss:
        return float(loss["point"]["loss"] * (gpm / loss["point"]["flow"]) ** 2 * PSI)
    flows, losses = np.array([[0, 0], *loss["table"]], dtype=float).T
    losses = np.maximum.accumulate(losses)
    lost = np.interp(gpm, flows, losses) if gpm <= flows[-1] else losses[-1] * (gpm / flows[-1]) ** 2
    return float(lost * PSI)
