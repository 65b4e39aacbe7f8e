"""Each default that was filled in, and each criterion that the caller chose himself."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from service.parts.loss import stated_loss
from service.parts.materials import WALLS
from service.parts.models import Emitter, Pipe
from service.schemas.answers import Assumed
from service.schemas.devices import HeadFilter
from service.schemas.outlets import EvenOutlets
from service.schemas.query import Assumption
from service.schemas.runs import Line
from service.schemas.water import LateralWater, Water
from service.schemas.zone import Zone
from service.units.sentence import Measured, Sentence
from service.zones.filter_needs import USUAL, USUAL_MESH, opening, states_filter
from service.zones.kinds import Kind
from service.zones.langelier import langelier
from service.zones.pipework import Pipework
from service.zones.solved import Solved
from service.zones.stage import device_name
from service.zones.thresholds import SupplyThresholds

MOST_KINDS = 10
"""Kinds of emitter whose defaults are told one by one. [-]"""


def assumed(solved: Solved, thresholds: SupplyThresholds) -> list[Assumed]:
    """Everything that was assumed about a zone."""
    zone = solved.zone
    return [
        *_water(zone.water),
        *of_water(zone.water),
        *_supply(solved),
        *of_pipes(solved.pipework, zone.runs, zone.options.friction),
        *_filters(solved.pipework.emitter_kinds),
        *_devices(zone),
        *_regulator(solved, thresholds),
        *_ends(solved),
        *_flushing(solved),
        *_criteria(zone),
    ]


def filled_in(assumptions: Sequence[Assumption]) -> list[Assumed]:
    """What a query left open, filled in on the way to the body."""
    return [Assumed(what=one.what, value=one.value, why=one.why) for one in assumptions]


def of_lateral(water: LateralWater, pipework: Pipework, line: Line, friction: str) -> list[Assumed]:
    """Everything that was assumed about a lateral."""
    return [*_water(water), *of_pipes(pipework, (line,), friction)]


def _assume(what: str, value: Sentence | str, why: str, **facts: Sentence | str | int) -> Assumed:
    told = value if isinstance(value, Sentence) else Sentence(value)
    return Assumed(what=what, value=told, why=Sentence(why, facts))


def _said(value: float, dimension: str) -> Sentence:
    return Sentence("{value}", {"value": Measured(value, dimension)})


def _water(water: LateralWater) -> Iterator[Assumed]:
    if "temperature" not in water.model_fields_set:
        why = "The reference temperature of pipe tables; colder water loses more."
        yield _assume("water.temperature", _said(water.temperature, "temperature"), why)


def of_water(water: Water) -> Iterator[Assumed]:
    """What was assumed about the water besides its temperature."""
    if "source" not in water.model_fields_set:
        yield _assume("water.source", water.source, "Most zones of this size are fed by a town main.")
    if water.warmest_temperature is None and langelier(water) is not None:
        why = "Scale is judged at the warmest water: state how warm it gets in tubing in the sun."
        yield _assume("water.warmest_temperature", _said(water.temperature, "temperature"), why)


def _supply(solved: Solved) -> Iterator[Assumed]:
    supply, no_flow = solved.zone.supply, solved.assembly.no_flow
    if supply.water_level is not None:
        why = "The tank is taken to stay that full: ask again for its lowest surface."
        yield _assume("supply.water_level", _said(supply.water_level, "length"), why)
    if supply.pump_curve is not None and supply.pump_curve[0][0] > 0:
        why = "The curve begins with flow; its first line was carried on to no flow."
        yield _assume("supply.pump_curve", Sentence("{most} at no flow", {"most": Measured(no_flow, "pressure")}), why)
    if supply.flow_test is not None:
        return
    if supply.static_pressure is not None:
        why = (
            "No flow test is stated: the main is taken to lose nothing but what meter and service line take as stated."
        )
        yield _assume("supply.flow_test", Sentence("{held} at any flow", {"held": Measured(no_flow, "pressure")}), why)
        if supply.meter_size is None:
            yield _assume("supply.meter_size", "no loss", "No meter is stated, so that none is taken to lose pressure.")
    if supply.service_line is None:
        why = "No pipe up to the zone inlet is stated, so that none is taken to lose pressure."
        yield _assume("supply.service_line", "no loss", why)


def of_pipes(pipework: Pipework, lines: tuple[Line, ...], friction: str) -> Iterator[Assumed]:
    """What was assumed about pipes and outlets."""
    if any(line.fittings for line in lines) or len(lines) > 1:
        yield _assume("tees", "no loss", "Only the fittings that a run lists count; no tee is added by itself.")
    even = [line.outlets for line in lines if isinstance(line.outlets, EvenOutlets)]
    if any(outlets.first_at is None for outlets in even):
        yield _assume(
            "outlets.first_at", "half a spacing", "Where none is stated the first outlet stands at half a spacing."
        )
    if friction == "hazen_williams":
        used = sorted({line.pipe.hazen_williams_c for line in lines})
        yield _assume(
            "hazen_williams_c",
            ", ".join(f"{c:g}" for c in used),
            "Of the pipe, its material or its bore; sources differ by 30 %.",
        )
    if friction == "darcy_weisbach":
        yield from _roughness([line.pipe for line in lines])
    kinds = pipework.emitter_kinds
    yield from _settings(kinds)
    yield from _emitters(kinds)


def _roughness(pipes: list[Pipe]) -> Iterator[Assumed]:
    unstated = {pipe.material for pipe in pipes if pipe.id is None and pipe.stated_roughness is None}
    for material in sorted(unstated):
        told = _said(WALLS[material].roughness, "roughness")
        yield _assume("pipe.roughness", told, "That of {material}, for pipe that states none.", material=material)


def _emitters(kinds: list[Kind]) -> Iterator[Assumed]:
    """What is not stated of emitters; of very many kinds the first few are told."""
    for what, states, value, why in (
        (
            "emitter.pressure_range",
            lambda emitter: emitter.range_stated,
            _range,
            "{kind} states none: half to twice its rated pressure.",
        ),
        (
            "emitter.variation",
            lambda emitter: emitter.variation is not None,
            lambda _: Sentence("none"),
            "{kind} states no manufacturing variation: its emission uniformity is hydraulic only.",
        ),
        (
            "emitter.connection_length",
            lambda emitter: "connection_length" in emitter.model_fields_set,
            lambda emitter: _said(emitter.connection_length, "length"),
            "{kind} states none: its barb or body is taken to lose no pressure.",
        ),
    ):
        silent = [kind for kind in kinds if not states(kind.emitter)]
        for kind in silent[:MOST_KINDS]:
            yield _assume(what, value(kind.emitter), why, kind=kind.name)
        if len(silent) > MOST_KINDS:
            yield _assume(what, "as of those above", "{count} more kinds state none.", count=len(silent) - MOST_KINDS)


def _settings(kinds: list[Kind]) -> Iterator[Assumed]:
    """The setting of adjustable outlets that state none."""
    for kind in kinds:
        if kind.emitter.adjustable is None or kind.setting is not None:
            continue
        low, high = (Measured(end, "outlet_flow") for end in kind.emitter.adjustable)
        why = Sentence(
            "{kind} can be set from {low} to {high} and no setting is stated: its listed flow is taken.",
            {"kind": kind.name, "low": low, "high": high},
        )
        yield Assumed(what="outlets.setting", value=_said(kind.emitter.flow, "outlet_flow"), why=why)


def _filters(kinds: list[Kind]) -> Iterator[Assumed]:
    """The filter of emitters that state neither theirs nor their passage; of very many kinds the first few are told."""
    silent = [kind for kind in kinds if not states_filter(kind.emitter)]
    for kind in silent[:MOST_KINDS]:
        why = Sentence(
            "{kind} states neither its passage nor its filter: {mesh} mesh is usual for drip.",
            {"kind": kind.name, "mesh": USUAL_MESH},
        )
        yield Assumed(what="emitter.passage", value=Sentence("filtered to {o}", {"o": opening(USUAL.opening)}), why=why)


def _range(emitter: Emitter) -> Sentence:
    low, high = (Measured(end, "pressure") for end in emitter.pressure_range)
    return Sentence("{low} to {high}", {"low": low, "high": high})


def _devices(zone: Zone) -> Iterator[Assumed]:
    for place, device in enumerate(zone.head):
        if device.loss is None:
            yield _assume(f"head.{place}.loss", "none", "The {device} states no loss.", device=device_name(device))
        if isinstance(device, HeadFilter) and device.dirty_allowance is None:
            yield _assume(
                f"head.{place}.dirty_allowance",
                "none",
                "No allowance is stated, so a filter due for cleaning loses no more than a clean one.",
            )


def _regulator(solved: Solved, thresholds: SupplyThresholds) -> Iterator[Assumed]:
    suggested = thresholds.suggested
    if solved.assembly.regulator is not None or suggested is None:
        return
    flow = suggested.state.flow + solved.assembly.sharing
    facts: dict[str, Measured | str] = {
        "part": suggested.name,
        "set": Measured(suggested.device.set_pressure, "pressure"),
        "loss": Measured(stated_loss(suggested.device.loss).at(flow), "pressure"),
        "flow": Measured(flow, "flow"),
    }
    yield Assumed(
        what="head.regulator",
        value=Sentence("{part}, last in the head, set at {set} and losing {loss} at {flow}", facts),
        why=Sentence("The head holds none: thresholds with a regulator are for the suggested one."),
    )


def _ends(solved: Solved) -> Iterator[Assumed]:
    """Why there is no end-of-line pressure, where there is none."""
    if not solved.pipework.open_ended.any():
        why = "Every run closes to another, so that no line has an end: lowest_outlet has the least pressure."
        yield _assume("end_of_line_pressure", "left out", why)


def _flushing(solved: Solved) -> Iterator[Assumed]:
    flushing = solved.flushing
    if flushing.unknown:
        why = "The zone is large: of each run the ends with the least pressure were opened in turn, not all."
        yield _assume("flushing", f"{flushing.of - flushing.unknown} of {flushing.of} ends", why)


def _criteria(zone: Zone) -> Iterator[Assumed]:
    for name in sorted(zone.options.criteria.model_fields_set):
        value = getattr(zone.options.criteria, name)
        dimensions = {"pressure_margin": "pressure", "velocity": "velocity", "flushing_velocity": "velocity"}
        told = _said(value, dimensions[name]) if name in dimensions else Sentence("{value} %", {"value": value})
        yield _assume(f"criteria.{name}", told, "Chosen in the request in place of the default.")
