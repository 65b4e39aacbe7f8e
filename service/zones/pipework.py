"""A zone's pipes and outlets as a hydraulic network, and which place of which run each node is."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np

from service.hydraulics.arrays import Bools, Floats, Ints
from service.hydraulics.constants import LINEAR_HEAD
from service.hydraulics.friction import FrictionLaw, Pipes, friction_law
from service.hydraulics.network import Chains, Network
from service.hydraulics.outlets import OutletLaws, Outlets, Tubes
from service.hydraulics.water import Water
from service.parts.fittings import local_coefficient
from service.parts.materials import pressure_derating
from service.parts.models import Emitter, Pipe
from service.schemas.outlets import OutletKind
from service.zones.courses import Course, Stretch
from service.zones.instances import Plan
from service.zones.junctions import Junctions
from service.zones.kinds import Kind, emitter_kinds


@dataclass(frozen=True)
class Pipework:
    """The network of a plan. Runs below are run instances, in the order of the plan.

    Nodes and links of a run lie one after another in `node` and `link`, each run's slice bounded by `node_start` and
    `link_start`; a run has one node more than links, for it begins with the node of its parent.
    """

    plan: Plan
    network: Network
    water: Water
    warmest: float  # that the water gets, which pipe must bear [°C]
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

    @cached_property
    def ends(self) -> Ints:
        """Last node of each run. (i,)"""
        return self.node[self.node_start[1:] - 1]

    @cached_property
    def starts(self) -> Ints:
        """First node of each run. (i,)"""
        return self.node[self.node_start[:-1]]

    @cached_property
    def link_run(self) -> Ints:
        """Run of each link. (m,)"""
        return np.repeat(np.arange(len(self.plan.instances)), np.diff(self.link_start))

    @cached_property
    def link_lengths(self) -> Floats:
        """Length of each link along the pipe, without what connections add to it. (m,) [m]"""
        start = np.arange(self.link_start[-1]) + self.link_run
        lengths: Floats = self.node_at[start + 1] - self.node_at[start]
        return lengths

    @cached_property
    def emitter_kinds(self) -> list[Kind]:
        """Outlets by part and setting, in the order in which they first stand in the zone."""
        return emitter_kinds(self.plan.kinds, self.outlet_kind)

    @cached_property
    def dry_runs(self) -> list[tuple[int, float, float]]:
        """Each run without outlets and with a rating: its number, the rating [Pa], its lowest place's height [m].

        Nothing leaves such a pipe, so that with a valve shut beyond it, it stands under whatever comes in.
        """
        plan, elevation = self.plan, self.network.elevation
        dry = [run.outlet_count == 0 for run in plan.runs]
        ratings = [self.rating(run.pipe) for run in plan.runs]
        return [
            (number, ratings[run], float(elevation[self.nodes_of(number)].min()))
            for number, run in enumerate(instance.run for instance in plan.instances)
            if dry[run] and np.isfinite(ratings[run])
        ]

    def rating(self, pipe: Pipe) -> float:
        """What a pipe stands when the water is warmest, infinite where nothing is stated. [Pa]"""
        return pressure_rating(pipe, self.warmest)

    def address(self, run: int) -> str:
        """Address of a run."""
        return self.plan.instances[run].address


def lay(plan: Plan, *, temperature: float, warmest: float, friction: str) -> Pipework:
    """The pipework of a plan, for water of a temperature, at times the warmest [°C], and a friction law by name."""
    return _Layer(plan, Water.at(temperature), warmest, friction).pipework()


class _Layer:
    """Lays the runs of a plan side by side into columns."""

    def __init__(self, plan: Plan, water: Water, warmest: float, friction: str) -> None:
        self._plan, self._water, self._warmest, self._friction = plan, water, warmest, friction
        self._kinds = plan.kinds
        self._run = np.array([instance.run for instance in plan.instances])
        self._junctions = Junctions(plan)
        self._stretches: list[Stretch] = []  # by instance
        self._met: list[int] = []  # junctions at the start of each instance and along it, in turn
        self._chain_ends: list[tuple[int, int]] = []  # junctions, -1 for a dead end
        self._meet([Course.of(run, along, plan.kinds) for run, along in zip(plan.runs, plan.places, strict=True)])

    def _meet(self, courses: list[Course]) -> None:
        """Find where instances meet. Those of one run that meet others at the same places share a stretch."""
        shared: dict[tuple[int, tuple[int, ...]], Stretch] = {}
        for number, instance in enumerate(self._plan.instances):
            met = self._junctions.along(number)
            places = tuple(sorted(met))
            stretch = shared.get((instance.run, places))
            if stretch is None:
                stretch = shared[instance.run, places] = courses[instance.run].stretch(places)
            junctions = [self._junctions.start(instance), *(met[place] for place in places)]
            self._stretches.append(stretch)
            self._met += junctions
            self._chain_ends += pairwise([*junctions, -1] if stretch.dead_end else junctions)

    def pipework(self) -> Pipework:
        plan, water, stretches = self._plan, self._water, self._stretches
        links = np.array([len(stretch.length) for stretch in stretches])
        link_start = np.concatenate(([0], np.cumsum(links)))
        node_start = link_start + np.arange(len(link_start))
        is_junction = np.concatenate([stretch.is_junction for stretch in stretches])
        inner = int(np.count_nonzero(~is_junction))
        node = np.cumsum(~is_junction) - 1
        node[is_junction] = inner + np.array(self._met)
        elevation = np.zeros(inner + len(self._junctions))
        starts = np.array([instance.start_elevation for instance in plan.instances])
        elevation[node] = np.repeat(starts, links + 1) + np.concatenate([stretch.height for stretch in stretches])
        elevation[inner] = 0.0
        groups = [len(stretch.slots) for stretch in stretches]
        outlet_run = np.repeat(np.arange(len(groups)), groups)
        outlet_slot = node_start[outlet_run] + np.concatenate([stretch.slots for stretch in stretches])
        outlet_kind = np.concatenate([plan.places[run].kind for run in self._run.tolist()])
        pipes = self._pipes(links, link_start)
        upstream, downstream = np.array(self._chain_ends).T
        network = Network(
            chains=Chains(np.concatenate([stretch.chains for stretch in stretches]), upstream, downstream),
            friction=friction_law(pipes, law=self._friction, viscosity=water.kinematic_viscosity),
            resistance=pipes.length / pipes.bore**5,
            elevation=elevation,
            outlets=self._outlet_groups(node[outlet_slot], outlet_kind),
            junctions=len(self._junctions),
        )
        return Pipework(
            plan=plan,
            network=network,
            water=water,
            warmest=self._warmest,
            pipes=pipes,
            local_law=_fittings_alone(pipes),
            node=node,
            node_at=np.concatenate([stretch.at for stretch in stretches]),
            node_start=node_start,
            link_start=link_start,
            node_rating=self._ratings(node, links, len(elevation)),
            outlet_run=outlet_run,
            outlet_slot=outlet_slot,
            outlet_at=np.concatenate([plan.places[run].at for run in self._run.tolist()]),
            outlet_kind=outlet_kind,
            open_ended=np.array([stretch.dead_end for stretch in stretches]),
        )

    def _pipes(self, links: Ints, link_start: Ints) -> Pipes:
        """The links of all instances, the fittings of each in its first one."""
        of_runs = [(*_pipe_columns(run.pipe), local_coefficient(run.fittings)) for run in self._plan.runs]
        bore, roughness, smoothness, fitted = np.array(of_runs)[self._run].T
        local = np.zeros(link_start[-1])
        local[link_start[:-1]] = fitted
        return Pipes(
            length=np.concatenate([stretch.length for stretch in self._stretches]),
            bore=np.repeat(bore, links),
            roughness=np.repeat(roughness, links),
            smoothness=np.repeat(smoothness, links),
            local=local,
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
        of_kinds = [
            (0.0,) * 5 if each.tube is None else (*_pipe_columns(each.tube.pipe), each.tube.length, each.tube.rise)
            for each in self._kinds
        ]
        bore, roughness, smoothness, length, rise = np.array(of_kinds)[kind[outlet]].T
        pipes = Pipes(length=length, bore=bore, roughness=roughness, smoothness=smoothness, local=np.zeros(len(outlet)))
        law = friction_law(pipes, law=self._friction, viscosity=self._water.kinematic_viscosity)
        return Tubes(outlet=outlet, rise=rise, friction=law)

    def _ratings(self, node: Ints, links: Ints, nodes: int) -> Floats:
        of_runs = np.array([pressure_rating(run.pipe, self._warmest) for run in self._plan.runs])
        ratings = np.full(nodes, np.inf)
        np.minimum.at(ratings, node, np.repeat(of_runs[self._run], links + 1))
        return ratings


def pressure_rating(pipe: Pipe, temperature: float) -> float:
    """What a pipe stands at a water temperature [°C], infinite where nothing is stated. [Pa]"""
    if pipe.max_pressure is None:
        return np.inf
    return pipe.max_pressure * pressure_derating(pipe.material, temperature)


def _pipe_columns(pipe: Pipe) -> tuple[float, float, float]:
    """Bore, roughness and smoothness."""
    return pipe.inside_diameter, pipe.roughness, pipe.hazen_williams_c


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
