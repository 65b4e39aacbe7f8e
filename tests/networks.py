"""Networks for the tests: columns that anyone could write down, and dice that draw them at random.

A `Drawing` knows nothing of the solver's bookkeeping. The service's network is made from it by `network()`; the second
opinions in tests/engines read the same columns, so that both sides are asked the same question.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Protocol, TypeVar

import numpy as np
from hypothesis import strategies as st
from numpy.typing import NDArray

from service.hydraulics.devices import FixedLoss, LossCurve, SquareLoss, SumLoss, TableLoss
from service.hydraulics.friction import FrictionLaw, Pipes, friction_law
from service.hydraulics.network import Chains, Network
from service.hydraulics.outlets import OutletLaws, Outlets, Tubes
from service.hydraulics.solve import FixedHead, Source
from service.hydraulics.supply import FlowTestDrop, HeadStage, InletPressure, PumpDrop

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
T = TypeVar("T")

VISCOSITY = 1.0034e-6
"""Water at 20 °C. [m²/s] IAPWS R12-08 and IAPWS-95."""

WEIGHT = 998.2 * 9.80665
"""Pressure of one metre of that water. [Pa/m]"""

SMOOTH = 1.5e-6
"""Roughness of drawn plastic. [m] Engineering Data Book, Hydraulic Institute, table 3.A.1 (5e-6 ft)."""

LITRE_PER_HOUR = 1e-3 / 3600
"""[m³/s]"""

NEVER = 1e9
"""A head that no zone reads, for a law without an upper limit. [m]"""


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of outlet, as its data sheet gives it."""

    flow: float  # nominal [m³/s]
    at: float  # head of the nominal flow; compensating: lowest working head [m]
    exponent: float = 0.5  # 0 is compensating
    closing: float = 0.0  # [m]
    saturates: float = NEVER  # [m]
    count: float = 1.0  # outlets at one place
    tube: tuple[float, float, float] | None = None  # length, bore, rise [m]


@dataclass(frozen=True, slots=True)
class Drawing:
    """Chains of links between junctions, outlets at nodes; nodes are numbered inner first, then junctions."""

    links: Ints  # (c,)
    upstream: Ints  # (c,) junction
    downstream: Ints  # (c,) junction, -1 for a dead end
    length: Floats  # (m,)
    bore: Floats  # (m,)
    roughness: Floats  # (m,)
    smoothness: Floats  # (m,) Hazen-Williams C
    local: Floats  # (m,) K
    elevation: Floats  # (n,)
    outlet_node: Ints  # (g,)
    kinds: tuple[Kind, ...]  # (g,) of each outlet group
    junctions: int
    law: str = "darcy_weisbach"

    @property
    def inner(self) -> int:
        """Inner nodes, which is also the node number of the inlet."""
        return len(self.elevation) - self.junctions

    def ends(self) -> tuple[list[int], list[int]]:
        """Node at the start and at the end of each link, walked chain by chain."""
        start, end, node = [], [], 0
        for count, up, down in zip(self.links.tolist(), self.upstream.tolist(), self.downstream.tolist(), strict=True):
            at = self.inner + up
            for number in range(count):
                start.append(at)
                if number == count - 1 and down >= 0:
                    at = self.inner + down
                else:
                    at, node = node, node + 1
                end.append(at)
        return start, end

    def columns(self, name: str) -> Floats:
        """One column of the outlet groups' data sheets. (g,)"""
        return np.array([getattr(kind, name) for kind in self.kinds], dtype=float)

    def laws(self) -> OutletLaws:
        """The outlet laws as the service takes them."""
        return OutletLaws(
            nominal=self.columns("flow"),
            reference=self.columns("at"),
            exponent=self.columns("exponent"),
            closing=self.columns("closing"),
            saturates=self.columns("saturates"),
        )

    def tubes(self) -> Tubes | None:
        """The small tubes as the service takes them."""
        hanging = [(group, kind.tube) for group, kind in enumerate(self.kinds) if kind.tube is not None]
        if not hanging:
            return None
        length, bore, rise = np.array([tube for _, tube in hanging]).T
        pipes = Pipes(length, bore, np.full_like(bore, SMOOTH), np.full_like(bore, 150.0), np.zeros_like(bore))
        friction = friction_law(pipes, law=self.law, viscosity=VISCOSITY)
        return Tubes(outlet=np.array([group for group, _ in hanging]), rise=rise, friction=friction)

    def network(self, *, friction: FrictionLaw | None = None) -> Network:
        """The network as the service takes it, with the friction law it is drawn with or another one."""
        pipes = Pipes(self.length, self.bore, self.roughness, self.smoothness, self.local)
        return Network(
            chains=Chains(self.links, self.upstream, self.downstream),
            friction=friction or friction_law(pipes, law=self.law, viscosity=VISCOSITY),
            resistance=self.length / self.bore**4.87,
            elevation=self.elevation,
            outlets=Outlets(node=self.outlet_node, count=self.columns("count"), laws=self.laws(), tubes=self.tubes()),
            junctions=self.junctions,
        )


@dataclass(frozen=True, slots=True)
class Stage:
    """One device: a table of flow [m³/s] and loss [Pa], or a square law through one such point, and a fixed loss."""

    fixed: float = 0.0  # [Pa]
    square: tuple[float, float] | None = None
    table: tuple[tuple[float, float], ...] = ()
    set_pressure: float = np.inf  # [Pa]

    def loss(self) -> LossCurve:
        """As the service takes it."""
        parts: list[LossCurve] = [FixedLoss(self.fixed)]
        if self.square:
            parts.append(SquareLoss.through(flow=self.square[0], loss=self.square[1]))
        if self.table:
            parts.append(TableLoss(*np.array(self.table).T))
        return SumLoss(tuple(parts))


@dataclass(frozen=True, slots=True)
class Supply:
    """Pressure at no flow, how it drops with flow, and the devices; nothing but a pressure is a fixed head."""

    pressure: float  # [Pa]
    test: tuple[float, float] | None = None  # flow [m³/s], drop [Pa]
    pump: tuple[tuple[float, float], ...] = ()  # flow [m³/s], pressure [Pa], from no flow
    stages: tuple[Stage, ...] = ()

    def source(self) -> Source:
        """As the service takes it."""
        return sources([self])


def sources(supplies: Sequence[Supply]) -> Source:
    """Several supplies with the same drop, as the scenarios of one source."""
    first = supplies[0]
    pressures = np.array([supply.pressure for supply in supplies])
    if first == Supply(first.pressure):
        return FixedHead(pressures / WEIGHT)
    drop: LossCurve = SumLoss(())
    if first.test:
        drop = FlowTestDrop(*first.test)
    elif first.pump:
        drop = PumpDrop(*np.array(first.pump).T)
    stages = tuple(tuple(HeadStage(s.loss(), s.set_pressure) for s in supply.stages) for supply in supplies)
    return InletPressure(no_flow=pressures, drop=drop, stages=stages, specific_weight=WEIGHT)


@dataclass(slots=True)
class Sketch:
    """A drawing in the making: junctions and chains are added, outlets put at places along the chains."""

    law: str = "darcy_weisbach"
    heights: list[float] = field(default_factory=lambda: [0.0])
    chains: list[dict[str, Floats | int]] = field(default_factory=list)
    outlets: list[tuple[int, int, Kind]] = field(default_factory=list)  # chain (-1: at a junction), place, kind

    def junction(self, height: float = 0.0) -> int:
        """A further junction, the inlet being 0."""
        self.heights.append(height)
        return len(self.heights) - 1

    def chain(
        self,
        up: int,
        down: int = -1,
        *,
        length: Floats | Sequence[float],
        bore: float,
        heights: Floats | Sequence[float] | None = None,
        roughness: float = SMOOTH,
        smoothness: float = 150.0,
        local: float = 0.0,
    ) -> int:
        """A chain of links of these lengths; heights of its inner nodes; K of its first link."""
        length = np.asarray(length, dtype=float)
        inner = len(length) - (down >= 0)
        self.chains.append(
            {
                "up": up,
                "down": down,
                "length": length,
                "bore": np.full(len(length), bore),
                "roughness": np.full(len(length), roughness),
                "smoothness": np.full(len(length), smoothness),
                "local": np.concatenate(([local], np.zeros(len(length) - 1))),
                "heights": np.zeros(inner) if heights is None else np.asarray(heights, dtype=float),
            }
        )
        return len(self.chains) - 1

    def outlet(self, kind: Kind, *, chain: int = -1, at: int) -> None:
        """An outlet at the inner node number `at` of a chain, or at junction `at`."""
        self.outlets.append((chain, at, kind))

    def drawing(self) -> Drawing:
        """The finished columns."""
        inner = [len(chain["heights"]) for chain in self.chains]
        first = [0, *np.cumsum(inner).tolist()]  # and, where chain -1 points, the first junction
        return Drawing(
            links=np.array([len(chain["length"]) for chain in self.chains]),
            upstream=np.array([chain["up"] for chain in self.chains]),
            downstream=np.array([chain["down"] for chain in self.chains]),
            length=self._column("length"),
            bore=self._column("bore"),
            roughness=self._column("roughness"),
            smoothness=self._column("smoothness"),
            local=self._column("local"),
            elevation=np.concatenate((self._column("heights"), self.heights)),
            outlet_node=np.array([first[chain] + at for chain, at, _ in self.outlets], dtype=np.intp),
            kinds=tuple(kind for _, _, kind in self.outlets),
            junctions=len(self.heights),
            law=self.law,
        )

    def _column(self, name: str) -> Floats:
        return np.concatenate([chain[name] for chain in self.chains])


class Dice(Protocol):
    """Where random choices come from: a seeded generator, or hypothesis, which shrinks what it finds."""

    def whole(self, low: int, high: int) -> int:
        """A whole number, both ends included."""

    def real(self, low: float, high: float) -> float:
        """A number, evenly spread."""

    def scale(self, low: float, high: float) -> float:
        """A positive number, evenly spread in its logarithm."""

    def one_of(self, options: Sequence[T]) -> T:
        """One of them."""


@dataclass(frozen=True, slots=True)
class Seeded:
    """Dice from a seeded generator."""

    rng: np.random.Generator

    def whole(self, low: int, high: int) -> int:
        return int(self.rng.integers(low, high + 1))

    def real(self, low: float, high: float) -> float:
        return float(self.rng.uniform(low, high))

    def scale(self, low: float, high: float) -> float:
        return float(np.exp(self.rng.uniform(np.log(low), np.log(high))))

    def one_of(self, options: Sequence[T]) -> T:
        return options[self.whole(0, len(options) - 1)]


@dataclass(frozen=True, slots=True)
class Drawn:
    """Dice from hypothesis."""

    draw: Callable[[st.SearchStrategy[T]], T]

    def whole(self, low: int, high: int) -> int:
        return self.draw(st.integers(low, high))

    def real(self, low: float, high: float) -> float:
        return self.draw(st.floats(low, high))

    def scale(self, low: float, high: float) -> float:
        return float(np.exp(self.draw(st.floats(float(np.log(low)), float(np.log(high))))))

    def one_of(self, options: Sequence[T]) -> T:
        return self.draw(st.sampled_from(options))


@dataclass(frozen=True, slots=True)
class Taste:
    """What random zones may contain."""

    shapes: tuple[str, ...] = ("tree", "grid", "mesh")
    laws: tuple[str, ...] = ("darcy_weisbach", "hazen_williams")
    exponents: tuple[float, float] = (0.05, 1.2)
    compensating: bool = True
    tubes: bool = True
    steepest: float = 0.3  # slope of the ground [-]
    tiny: bool = True  # links of 3 mm
    chains: int = 6
    places: int = 6  # most links in one chain
    same_exponent: bool = False
    onto_itself: bool = True  # loops that start and end at one junction


EVERYTHING = Taste()


def random_kind(dice: Dice, taste: Taste, exponent: float | None = None) -> Kind:
    """One kind of outlet."""
    flow = dice.scale(0.5, 60.0) * LITRE_PER_HOUR
    count = float(dice.one_of([1, 1, 1, 2, 4]))
    tube = None
    if taste.tubes and dice.one_of([False, False, True]):
        tube = (dice.scale(0.05, 5.0), dice.one_of([0.002, 0.004, 0.006]), dice.real(-0.5, 0.5))
    if taste.compensating and dice.one_of([False, True]):
        opens = dice.scale(2.0, 15.0)
        closing = dice.one_of([0.0, 0.3 * opens, 0.99 * opens])
        saturates = dice.one_of([NEVER, opens * dice.real(1.01, 5.0)])
        return Kind(flow, opens, exponent=0.0, closing=closing, saturates=saturates, count=count, tube=tube)
    if exponent is None:
        exponent = dice.one_of([0.5, dice.real(*taste.exponents)])
    return Kind(flow, dice.scale(2.0, 20.0), exponent=exponent, count=count, tube=tube)


def _random_chain(dice: Dice, taste: Taste, sketch: Sketch, up: int, down: int) -> int:
    links = dice.whole(1, taste.places)
    spacing = dice.scale(0.1, 5.0)
    length = np.full(links, spacing)
    if taste.tiny and dice.one_of([False, False, True]):
        length[dice.whole(0, links - 1)] = 0.003
    run = np.cumsum(length)
    start = sketch.heights[up]
    if down >= 0:
        heights = start + (sketch.heights[down] - start) * run[:-1] / run[-1]
    else:
        heights = start + dice.real(-taste.steepest, taste.steepest) * run
    if len(heights) > 1 and dice.one_of([False, True]):
        heights[dice.whole(0, len(heights) - 1)] += dice.real(-0.5, 0.5)
    return sketch.chain(
        up,
        down,
        length=length,
        bore=dice.one_of([0.004, 0.0132, 0.0157, 0.0208, 0.0409]),
        heights=heights,
        roughness=dice.one_of([SMOOTH, 4.6e-5]),
        smoothness=dice.one_of([150.0, 140.0, 100.0]),
        local=dice.one_of([0.0, 2.5]),
    )


def _frame(dice: Dice, taste: Taste, sketch: Sketch) -> None:
    """Junctions and chains of one of the shapes."""
    shape = dice.one_of(taste.shapes)
    height = lambda: dice.one_of([0.0, dice.real(-5.0, 5.0)]) if taste.steepest else 0.0  # noqa: E731
    if shape == "grid":
        rows = dice.whole(2, max(2, taste.chains // 2))
        supply = [sketch.junction(height()) for _ in range(rows)]
        exhaust = [sketch.junction(height()) for _ in range(rows)]
        for before, after in pairwise([0, *supply]):
            _random_chain(dice, taste, sketch, before, after)
        for before, after in pairwise(exhaust):
            _random_chain(dice, taste, sketch, before, after)
        for near, far in zip(supply, exhaust, strict=True):
            _random_chain(dice, taste, sketch, near, far)
        return
    for _ in range(dice.whole(0, taste.chains)):
        up = dice.whole(0, len(sketch.heights) - 1)
        _random_chain(dice, taste, sketch, up, sketch.junction(height()))
    last = len(sketch.heights) - 1
    if shape == "mesh":
        for _ in range(dice.whole(1, 3)):
            up, down = dice.whole(0, last), dice.whole(0, last)
            if up != down or taste.onto_itself:
                _random_chain(dice, taste, sketch, up, down)
    for _ in range(dice.whole(0 if last else 1, taste.chains)):
        _random_chain(dice, taste, sketch, dice.whole(0, last), -1)


def random_drawing(dice: Dice, taste: Taste = EVERYTHING) -> Drawing:
    """A random zone; outlets are somewhere in it."""
    sketch = Sketch(law=dice.one_of(taste.laws))
    _frame(dice, taste, sketch)
    exponent = dice.real(*taste.exponents) if taste.same_exponent else None
    kinds = [random_kind(dice, taste, exponent) for _ in range(dice.whole(1, 3))]
    for number, chain in enumerate(sketch.chains):
        kind = dice.one_of(kinds)
        every = dice.one_of([1, 1, 2, 0])
        for at in range(len(chain["heights"])):
            if every and at % every == 0:
                sketch.outlet(kind, chain=number, at=at)
    for junction in range(len(sketch.heights)):
        if dice.one_of([False, False, True]):
            sketch.outlet(dice.one_of(kinds), at=junction)
    if not sketch.outlets:
        sketch.outlet(kinds[0], at=len(sketch.heights) - 1)
    return sketch.drawing()


def random_table(dice: Dice, flow: float, loss: float) -> tuple[tuple[float, float], ...]:
    """A loss curve about as strong as one point, with flat and steep parts."""
    flows = np.cumsum([dice.scale(0.05, 1.0) * flow for _ in range(dice.whole(1, 4))])
    losses = np.cumsum([dice.one_of([0.0, dice.scale(0.01, 1.0)]) * loss for _ in flows])
    return tuple(zip(flows.tolist(), losses.tolist(), strict=True))


def random_supply(dice: Dice, flow: float) -> Supply:
    """A supply for a zone of about this nominal flow: a fixed head, or a curve with devices and a regulator."""
    pressure = dice.one_of([dice.real(1.0, 60.0), dice.real(-2.0, 3.0)]) * WEIGHT
    if dice.one_of([False, True]):
        return Supply(pressure)
    test, pump = None, ()
    shape = dice.one_of(["stiff", "test", "pump"])
    if shape == "test":
        test = (dice.scale(0.2, 5.0) * flow, dice.real(0.05, 1.0) * abs(pressure))
    elif shape == "pump":
        flows = np.cumsum([0.0, *(dice.scale(0.01, 1.0) * flow for _ in range(dice.whole(1, 4)))])
        falls = np.cumsum([0.0, *(dice.one_of([0.0, dice.real(0.0, 0.5)]) * abs(pressure) for _ in flows[1:])])
        pump = tuple(zip(flows.tolist(), (pressure - falls).tolist(), strict=True))
    stages = []
    for _ in range(dice.whole(0, 3)):
        kind = dice.one_of(["fixed", "square", "table", "regulator"])
        strength = dice.scale(0.05, 3.0) * WEIGHT
        if kind == "fixed":
            stages.append(Stage(fixed=strength))
        elif kind == "square":
            stages.append(Stage(square=(flow * dice.scale(0.3, 3.0), strength)))
        else:
            # A set pressure close to what comes in makes the regulator hover between holding and not.
            hold = dice.one_of([dice.real(5.0, 25.0) * WEIGHT, pressure * dice.real(0.7, 1.0)])
            stages.append(
                Stage(table=random_table(dice, flow, strength), set_pressure=hold if kind == "regulator" else np.inf)
            )
    return Supply(pressure, test=test, pump=pump, stages=tuple(stages))


@st.composite
def drawings(draw: Callable[[st.SearchStrategy[T]], T], taste: Taste = EVERYTHING) -> Drawing:
    """Random zones, for hypothesis."""
    return random_drawing(Drawn(draw), taste)


@st.composite
def supplied(draw: Callable[[st.SearchStrategy[T]], T], taste: Taste = EVERYTHING) -> tuple[Drawing, Supply]:
    """Random zones with a supply, for hypothesis."""
    dice = Drawn(draw)
    drawing = random_drawing(dice, taste)
    return drawing, random_supply(dice, nominal_flow(drawing))


def nominal_flow(drawing: Drawing) -> float:
    """Flow if every outlet gave its nominal flow. [m³/s]"""
    return float(sum(kind.flow * kind.count for kind in drawing.kinds))
