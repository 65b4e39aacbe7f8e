"""A zone's pipes and outlets as a hydraulic network, and which place of which run each node is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from service.hydraulics.arrays import Bools, Floats, Ints
from service.hydraulics.constants import LINEAR_HEAD
from service.hydraulics.friction import FrictionLaw, Pipes, friction_law
from service.hydraulics.network import Chains, Network
from service.hydraulics.outlets import OutletLaws, Outlets, Tubes
from service.hydraulics.water import Water
from service.parts.fittings import FITTINGS
from service.parts.materials import pressure_derating
from service.parts.models import Emitter, Pipe
from service.schemas.outlets import OutletKind, OutletPlaces
from service.schemas.runs import Line
from service.zones.instances import Plan, RunInstance
from service.zones.junctions import SAME_PLACE, Junctions, place_of


@dataclass(frozen=True, slots=True)
class Pipework:
    """The network of a plan. Runs below are run instances, in the order of the plan.

    Nodes and links of a run lie one after another in `node` and `link`, each run's slice bounded by `node_start` and
    `link_start`; a run has one node more than links, for it begins with the node of its parent.
    """

    plan: Plan
    network: Network
    water: Water
    pipes: Pipes  # (m,) of the links
    local_law: FrictionLaw  # (m,) the fittings alone
    node: Ints  # (m + i,) node at each place of each run, its start first
    node_at: Floats  # (m + i,) distance along the run [m]
    node_start: Ints  # (i + 1,)
    link_start: Ints  # (i + 1,) links are numbered run after run
    node_rating: Floats  # (n,) least pressure rating of the pipes that meet there [Pa]
    outlet_run: Ints  # (g,) of each group of outlets
    outlet_slot: Ints  # (g,) its place in `node`
    outlet_at: Floats  # (g,) [m]
    outlet_kind: Ints  # (g,) index into the kinds of the plan
    open_ended: Bools  # (i,) runs whose far end is closed only by a plug, with nothing leaving there

    def nodes_of(self, run: int) -> Ints:
        """Nodes along a run, from its start to its end."""
        return self.node[self.node_start[run] : self.node_start[run + 1]]

    def ends(self) -> Ints:
        """Last node of each run. (i,)"""
        return self.node[self.node_start[1:] - 1]

    def starts(self) -> Ints:
        """First node of each run. (i,)"""
        return self.node[self.node_start[:-1]]

    def link_run(self) -> Ints:
        """Run of each link. (m,)"""
        return np.repeat(np.arange(len(self.plan.instances)), np.diff(self.link_start))

    def address(self, run: int) -> str:
        """Address of a run."""
        return self.plan.instances[run].address


def lay(plan: Plan, *, temperature: float, friction: str) -> Pipework:
    """The pipework of a plan, for water of a temperature [°C] and a friction law by name."""
    return _Layer(plan, Water.at(temperature), friction).pipework()


@dataclass(frozen=True, slots=True)
class _Course:
    """What all instances of a run have in common: its places without junctions, and its outlets."""

    line: Line
    places: Ints  # (k,) rising, the end last, in units of `SAME_PLACE`
    outlet_place: Ints  # (g,)
    outlet_at: Floats  # (g,)
    outlet_kind: Ints  # (g,) index into the kinds of the plan
    connection: Floats  # (g,) equivalent length of the connections of one group [m]

    @classmethod
    def of(cls, line: Line, standing: OutletPlaces, kinds: tuple[OutletKind, ...]) -> _Course:
        outlet_place = np.minimum(_places(standing.at), place_of(line.length))
        lengths = np.array([kind.emitter.connection_length * kind.per_place for kind in kinds])
        own = np.concatenate((outlet_place, _places(line.knots[0][1:])))
        return cls(
            line=line,
            places=np.unique(own[own > 0]),
            outlet_place=outlet_place,
            outlet_at=standing.at,
            outlet_kind=standing.kind,
            connection=lengths[standing.kind],
        )


class _Layer:
    """Lays one run after another into growing lists of columns."""

    def __init__(self, plan: Plan, water: Water, friction: str) -> None:
        self._plan, self._water, self._friction = plan, water, friction
        self._kinds = plan.kinds
        self._courses = [
            _Course.of(run, standing, plan.kinds) for run, standing in zip(plan.runs, plan.places, strict=True)
        ]
        self._junctions = Junctions(plan)
        self._inner = 0
        self._chains: list[tuple[Ints, Ints, Ints]] = []
        self._columns: list[tuple[Floats, ...]] = []
        self._nodes: list[tuple[Ints, Bools]] = []
        self._at: list[Floats] = []
        self._heights: list[Floats] = []
        self._outlets: list[tuple[Ints, Floats, Ints]] = []
        self._open: list[bool] = []

    def pipework(self) -> Pipework:
        plan, water = self._plan, self._water
        for number, instance in enumerate(plan.instances):
            self._lay(number, instance)
        links = [len(columns[0]) for columns in self._columns]
        length, bore, roughness, smoothness, local = (
            np.concatenate(column) for column in zip(*self._columns, strict=True)
        )
        pipes = Pipes(length=length, bore=bore, roughness=roughness, smoothness=smoothness, local=local)
        is_junction = np.concatenate([flags for _, flags in self._nodes])
        node = np.concatenate([numbers for numbers, _ in self._nodes]) + is_junction * self._inner
        elevation = np.zeros(self._inner + len(self._junctions))
        elevation[node] = np.concatenate(self._heights)
        elevation[self._inner] = 0.0
        node_start = np.concatenate(([0], np.cumsum([count + 1 for count in links])))
        outlet_slot, outlet_at, outlet_kind = (np.concatenate(column) for column in zip(*self._outlets, strict=True))
        groups = [len(slots) for slots, _, _ in self._outlets]
        outlet_run = np.repeat(np.arange(len(groups)), groups)
        chains = Chains(*(np.concatenate(column) for column in zip(*self._chains, strict=True)))
        outlet_slot = outlet_slot + node_start[outlet_run]
        outlets = self._outlet_groups(node[outlet_slot], outlet_kind)
        network = Network(
            chains=chains,
            friction=friction_law(pipes, law=self._friction, viscosity=water.kinematic_viscosity),
            resistance=length / bore**5,
            elevation=elevation,
            outlets=outlets,
            junctions=len(self._junctions),
        )
        return Pipework(
            plan=plan,
            network=network,
            water=water,
            pipes=pipes,
            local_law=_fittings_alone(pipes),
            node=node,
            node_at=np.concatenate(self._at),
            node_start=node_start,
            link_start=np.concatenate(([0], np.cumsum(links))),
            node_rating=self._ratings(node, links, len(elevation)),
            outlet_run=outlet_run,
            outlet_slot=outlet_slot,
            outlet_at=outlet_at,
            outlet_kind=outlet_kind,
            open_ended=np.array(self._open),
        )

    def _lay(self, number: int, instance: RunInstance) -> None:
        """Add the places, links and chains of one run instance."""
        course = self._courses[instance.run]
        met = self._junctions.along(number)
        places = course.places
        if met:
            places = np.union1d(places, np.fromiter(met, dtype=np.intp))
        line = course.line
        at = places.astype(np.float64) * SAME_PLACE
        at[-1] = line.length
        is_junction = np.isin(places, np.fromiter(met, dtype=np.intp)) if met else np.zeros(len(places), dtype=np.bool_)
        numbers = np.empty(len(places), dtype=np.intp)
        numbers[~is_junction] = self._inner + np.arange(np.count_nonzero(~is_junction))
        self._inner += int(np.count_nonzero(~is_junction))
        junctions = np.array([met[place] for place in places[is_junction].tolist()], dtype=np.intp)
        numbers[is_junction] = junctions
        start = self._junctions.start(instance)
        self._nodes.append((np.concatenate(([start], numbers)), np.concatenate(([True], is_junction))))
        self._at.append(np.concatenate(([0.0], at)))
        heights = instance.start_elevation + line.height(at)
        self._heights.append(np.concatenate(([instance.start_elevation], heights)))
        self._add_links(course, places, at)
        last = np.flatnonzero(is_junction)
        dead = len(last) == 0 or last[-1] < len(places) - 1
        bounds = np.concatenate((last, [len(places) - 1])) if dead else last
        ends = np.concatenate((junctions, [-1])) if dead else junctions
        starts = np.concatenate(([start], junctions))[: len(ends)]
        self._chains.append((np.diff(np.concatenate(([-1], bounds))), starts, ends))
        slots = np.searchsorted(places, course.outlet_place) + 1
        self._outlets.append((slots, course.outlet_at, course.outlet_kind))
        self._open.append(bool(dead))

    def _add_links(self, course: _Course, places: Ints, at: Floats) -> None:
        pipe = course.line.pipe
        count = len(places)
        connections = np.bincount(
            np.searchsorted(places, course.outlet_place), weights=course.connection, minlength=count
        )
        local = np.zeros(count)
        local[0] = local_coefficient(course.line.fittings)
        self._columns.append(
            (
                np.diff(at, prepend=0.0) + connections,
                np.full(count, pipe.inside_diameter),
                np.full(count, pipe.roughness),
                np.full(count, pipe.hazen_williams_c),
                local,
            )
        )

    def _outlet_groups(self, node: Ints, kind: Ints) -> Outlets:
        weight = self._water.specific_weight
        laws = [_law(each, weight) for each in self._kinds]
        table = OutletLaws(*(np.array(column)[kind] for column in zip(*laws, strict=True)))
        count = np.array([float(each.per_place) for each in self._kinds])[kind]
        return Outlets(node=node, count=count, laws=table, tubes=self._tubes(kind))

    def _tubes(self, kind: Ints) -> Tubes | None:
        hung = np.array([each.tube is not None for each in self._kinds])
        outlet = np.flatnonzero(hung[kind])
        if not len(outlet):
            return None
        columns = np.array(
            [
                _pipe_columns(each.tube.pipe, each.tube.length, each.tube.rise)
                if each.tube is not None
                else (1.0, 1.0, 0.0, 1.0, 0.0)
                for each in self._kinds
            ]
        )[kind[outlet]].T
        pipes = Pipes(
            length=columns[0], bore=columns[1], roughness=columns[2], smoothness=columns[3], local=np.zeros(len(outlet))
        )
        law = friction_law(pipes, law=self._friction, viscosity=self._water.kinematic_viscosity)
        return Tubes(outlet=outlet, rise=columns[4], friction=law)

    def _ratings(self, node: Ints, links: list[int], nodes: int) -> Floats:
        per_run = np.array(
            [
                pressure_rating(self._courses[instance.run].line.pipe, self._water.temperature)
                for instance in self._plan.instances
            ]
        )
        ratings = np.full(nodes, np.inf)
        np.minimum.at(ratings, node, np.repeat(per_run, np.array(links) + 1))
        return ratings


def local_coefficient(fittings: Mapping[str, int]) -> float:
    """Sum of the K of some fittings. [-]"""
    return sum(FITTINGS[name].k * count for name, count in fittings.items())


def pressure_rating(pipe: Pipe, temperature: float) -> float:
    """What a pipe stands at a water temperature [°C], infinite where nothing is stated. [Pa]"""
    if pipe.max_pressure is None:
        return np.inf
    return pipe.max_pressure * pressure_derating(pipe.material, temperature)


def _places(at: Floats) -> Ints:
    return np.rint(at / SAME_PLACE).astype(np.intp)


def _pipe_columns(pipe: Pipe, length: float, rise: float) -> tuple[float, float, float, float, float]:
    return (length, pipe.inside_diameter, pipe.roughness, pipe.hazen_williams_c, rise)


def _fittings_alone(pipes: Pipes) -> FrictionLaw:
    """Law of the local losses without any friction, to report them apart."""
    bare = Pipes(
        length=np.zeros_like(pipes.length),
        bore=pipes.bore,
        roughness=pipes.roughness,
        smoothness=pipes.smoothness,
        local=pipes.local,
    )
    return friction_law(bare, law="hazen_williams", viscosity=0.0)


def _law(kind: OutletKind, weight: float) -> tuple[float, float, float, float, float]:
    """Nominal flow, reference head, exponent, closing head and saturation head of one kind of outlet."""
    emitter: Emitter = kind.emitter
    nominal = kind.setting if kind.setting is not None else emitter.flow
    if emitter.exponent is not None and emitter.at_pressure is not None:
        return nominal, emitter.at_pressure / weight, emitter.exponent, 0.0, np.inf
    least, most = emitter.pressure_range
    closing = (emitter.closing_pressure or 0.0) / weight
    return nominal, max(least / weight, closing + LINEAR_HEAD), 0.0, closing, most / weight
