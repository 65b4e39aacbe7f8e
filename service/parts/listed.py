"""Parts as a list of materials names them: those of the catalogue, dripline with its emitters, and sundries."""

from __future__ import annotations

from dataclasses import replace
from difflib import SequenceMatcher, get_close_matches
from itertools import takewhile

from service.parts.catalogue import NEAREST, Catalogue, catalogue_in_use
from service.parts.item import Item
from service.parts.materials import FLEXIBLE
from service.parts.models import Emitter, Part, Pipe
from service.parts.pipe import Joining, PipeKind
from service.parts.sundry import MOST_SIZES, NAME, called, families, family_id, find_sundry, sundry
from service.parts.trade_sizes import (
    apart,
    flow_size,
    is_size,
    millimetres,
    outside_size,
    pressure_size,
    said,
    trade_size,
)
from service.units.sentence import Sentence

WITH = "-with-"
"""Between the id of tubing and that of the emitters inside it: such dripline is one part."""

COMMON_SIZE = "0.75in"
"""The size that an id is suggested in where none stands in it."""

KINDS_WITH_STAKES: tuple[PipeKind, ...] = ("tubing", "dripline", "small_tubing")
"""Pipe that is laid on the ground and held by stakes; the others are buried."""

USUAL_JOINING: dict[str, Joining] = {
    "pe": "barbed", "pvc": "solvent_weld", "cpvc": "solvent_weld", "pex": "barbed", "pp": "threaded",
    "vinyl": "barbed", "copper": "soldered", "steel": "threaded", "galvanized_steel": "threaded",
    "cast_iron": "threaded",
}  # fmt: skip
"""How pipe of a material is joined where nothing says so. Common practice, no source."""


def joining_of(pipe: Pipe) -> Joining:
    """How a pipe is joined."""
    return pipe.joining or USUAL_JOINING[pipe.material]


def fitting_size(pipe: Pipe) -> str:
    """The size of the fittings of a pipe: by its outside where they grip it, else its trade size."""
    if joining_of(pipe) == "compression" and pipe.outside_diameter is not None:
        return outside_size(pipe.outside_diameter, metric=(pipe.nominal or "").endswith("mm"))
    return trade_size(pipe.nominal, pipe.inside_diameter)


def pipe_item(pipe: Pipe) -> Item:
    """Pipe or tubing, without what stands on it."""
    if pipe.id is None:
        return sundry(family_id("described-pipe", pipe.material), millimetres(pipe.inside_diameter))
    return Item(
        id=pipe.id,
        name=called(pipe.name),
        section="pipe",
        source=pipe.source,
        by_length=True,
        packages=pipe.lengths,
        in_sticks=pipe.material not in FLEXIBLE,
    )


def emitter_item(emitter: Emitter) -> Item:
    """An emitter that is set into pipe or hangs on a small tube."""
    if emitter.id is None:
        rated = () if emitter.at_pressure is None else (pressure_size(emitter.at_pressure),)
        return sundry("emitter-as-described", flow_size(emitter.flow), *rated)
    return Item(id=emitter.id, name=called(emitter.name), section="outlets", source=emitter.source)


def dripline_item(pipe: Pipe, emitter: Emitter, spacing: float) -> Item:
    """Tubing with emitters inside, one every `spacing` [m]."""
    return _dripline(pipe_item(pipe), emitter_item(emitter), apart(spacing))


def _dripline(tubing: Item, emitter: Item, spacing: str) -> Item:
    return Item(
        id=f"{tubing.id}{WITH}{emitter.id}-{spacing}",
        name=Sentence(
            "{tubing}, every {spacing} with {emitter}",
            {"tubing": tubing.name, "spacing": said(spacing), "emitter": _within_a_name(emitter.name)},
        ),
        section="pipe",
        source=f"tubing: {tubing.source}; emitters: {emitter.source}",
        by_length=True,
        packages=tubing.packages,
    )


def _within_a_name(name: Sentence) -> Sentence:
    """A name as it stands within another, without its capital."""
    words = str(name.facts[NAME])
    return replace(name, facts={**name.facts, NAME: words[:1].lower() + words[1:]})


def device_item(part: Part) -> Item:
    """A device of the catalogue."""
    return Item(id=part.id or "", name=called(part.name), section="head", source=part.source)


def find_item(part_id: str) -> Item | None:
    """The part that an id names, None if there is none."""
    return _of_catalogue(catalogue_in_use(), part_id) or _with_emitters(part_id) or find_sundry(part_id)


def _with_emitters(part_id: str) -> Item | None:
    """The dripline that an id names, if it is one."""
    tubing_id, joint, rest = part_id.partition(WITH)
    emitter_id, _, spacing = rest.rpartition("-")
    if not joint or WITH in rest or not is_size(spacing):
        return None
    tubing, emitter = find_item(tubing_id), find_item(emitter_id)
    if tubing is None or tubing.section != "pipe" or emitter is None or emitter.section != "outlets":
        return None
    return _dripline(tubing, emitter, spacing)


def nearest_items(part_id: str) -> tuple[str, ...]:
    """Ids that could have been meant: of the catalogue, and of families of sundries in the sizes that stand there."""
    words = part_id[:100].split("-")
    sizes = list(takewhile(is_size, reversed(words)))[:MOST_SIZES][::-1]
    stem = "-".join(words[: len(words) - len(sizes)])
    ids = [part.id for part in catalogue_in_use().parts() if part.id]
    near = get_close_matches(part_id[:100], ids, n=NEAREST, cutoff=0.6)
    families_near = get_close_matches(stem, families(), n=NEAREST, cutoff=0.6)
    # The nearest first, whichever kind it is of.
    found = sorted(
        {*near, *(_in_sizes(family, sizes) for family in families_near)},
        key=lambda each: -SequenceMatcher(None, part_id[:100], each).ratio(),
    )
    return tuple(found[:NEAREST])


def _in_sizes(family: str, sizes: list[str]) -> str:
    """The id of a family in as many of these sizes as it has, or in one that is common."""
    most = families()[family].sizes
    return "-".join((family, *((sizes or [COMMON_SIZE])[:most] if most else ())))


def _of_catalogue(catalogue: Catalogue, part_id: str) -> Item | None:
    part = catalogue.find(part_id)
    if isinstance(part, Pipe):
        return pipe_item(part)
    if isinstance(part, Emitter):
        return emitter_item(part)
    return None if part is None else device_item(part)
