"""Changes to a drawing: what a designer would do to a zone, and other ways of drawing the same one.

A drawing is taken apart into pieces with a label at every node, changed, and put together again; labels of nodes that
were there before are their old numbers, so that heads before and after can be laid side by side.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from tests.networks import Drawing, Kind

Ints = NDArray[np.intp]

COLUMNS = ("length", "bore", "roughness", "smoothness", "local")


@dataclass(slots=True)
class Piece:
    """One chain: columns of its links, labels and heights of its inner nodes."""

    up: int
    down: int
    columns: dict[str, list[float]]
    labels: list[int]
    heights: list[float]


def taken_apart(drawing: Drawing) -> list[Piece]:
    """The chains of a drawing as pieces."""
    pieces, link, node = [], 0, 0
    for count, up, down in zip(
        drawing.links.tolist(), drawing.upstream.tolist(), drawing.downstream.tolist(), strict=True
    ):
        inner = count - (down >= 0)
        columns = {name: getattr(drawing, name)[link : link + count].tolist() for name in COLUMNS}
        labels = list(range(node, node + inner))
        pieces.append(Piece(up, down, columns, labels, drawing.elevation[node : node + inner].tolist()))
        link, node = link + count, node + inner
    return pieces


def put_together(
    drawing: Drawing, pieces: Sequence[Piece], more: Sequence[tuple[int, Kind]] = (), order: Sequence[int] | None = None
) -> tuple[Drawing, Ints]:
    """A drawing of the pieces, with further outlets at labels, and the new number of every old node.

    `order` gives the old junction that becomes junction 0, 1, ...; junction 0 must stay first.
    """
    order = range(drawing.junctions) if order is None else order
    number_of = {old: new for new, old in enumerate(order)}
    labels = [label for piece in pieces for label in piece.labels] + [drawing.inner + old for old in order]
    place = {label: node for node, label in enumerate(labels)}
    outlets = [*zip(drawing.outlet_node.tolist(), drawing.kinds, strict=True), *more]
    heights = [height for piece in pieces for height in piece.heights]
    changed = replace(
        drawing,
        links=np.array([len(piece.columns["length"]) for piece in pieces]),
        upstream=np.array([number_of[piece.up] for piece in pieces]),
        downstream=np.array([number_of[piece.down] if piece.down >= 0 else -1 for piece in pieces]),
        **{name: np.array([value for piece in pieces for value in piece.columns[name]]) for name in COLUMNS},
        elevation=np.array([*heights, *(drawing.elevation[drawing.inner + old] for old in order)]),
        outlet_node=np.array([place[label] for label, _ in outlets], dtype=np.intp),
        kinds=tuple(kind for _, kind in outlets),
    )
    return changed, np.array([place[label] for label in range(len(drawing.elevation))])


def with_outlet(drawing: Drawing, node: int, kind: Kind) -> Drawing:
    """One outlet more, of no connection length."""
    return replace(drawing, outlet_node=np.append(drawing.outlet_node, node), kinds=(*drawing.kinds, kind))


def with_kinds(drawing: Drawing, changed: dict[Kind, Kind]) -> Drawing:
    """Every outlet of some kinds exchanged."""
    return replace(drawing, kinds=tuple(changed.get(kind, kind) for kind in drawing.kinds))


def with_length(drawing: Drawing, link: int, length: float) -> Drawing:
    """One link of another length, its ends where they were."""
    lengths = drawing.length.copy()
    lengths[link] = length
    return replace(drawing, length=lengths)


def beyond(drawing: Drawing, link: int) -> NDArray[np.bool_]:
    """Nodes of a tree that water reaches through a link. (n,)"""
    start, end = drawing.ends()
    reached = {drawing.inner}
    rest = [(a, b) for number, (a, b) in enumerate(zip(start, end, strict=True)) if number != link]
    while True:
        grown = reached | {b for a, b in rest if a in reached} | {a for a, b in rest if b in reached}
        if grown == reached:
            return np.array([node not in reached for node in range(len(drawing.elevation))])
        reached = grown


def with_inserted(drawing: Drawing, link: int, length: float, rise: float) -> Drawing:
    """A tree with outlet-free length put into a link, everything beyond lifted along."""
    longer = with_length(drawing, link, drawing.length[link] + length)
    return replace(longer, elevation=drawing.elevation + rise * beyond(drawing, link))


def with_appended(
    drawing: Drawing, chain: int, lengths: Sequence[float], slope: float, kind: Kind
) -> tuple[Drawing, Ints]:
    """A dead end carried on with an outlet at the end of every further link."""
    pieces = taken_apart(drawing)
    piece, labels = pieces[chain], [-1 - place for place in range(len(lengths))]
    for label, length in zip(labels, lengths, strict=True):
        for name in COLUMNS:
            piece.columns[name].append(piece.columns[name][-1] if name != "local" else 0.0)
        piece.columns["length"][-1] = length
        piece.labels.append(label)
        piece.heights.append(piece.heights[-1] + slope * length)
    return put_together(drawing, pieces, [(label, kind) for label in labels])


def split(drawing: Drawing, link: int, part: float) -> tuple[Drawing, Ints]:
    """A link cut into two in series, its fittings at the first."""
    pieces, first = taken_apart(drawing), 0
    for piece in pieces:
        count = len(piece.columns["length"])
        at = link - first
        if 0 <= at < count:
            length, local = piece.columns["length"][at], piece.columns["local"][at]
            for name in COLUMNS:
                piece.columns[name].insert(at, piece.columns[name][at])
            piece.columns["length"][at : at + 2] = [part * length, (1 - part) * length]
            piece.columns["local"][at : at + 2] = [local, 0.0]
            piece.labels.insert(at, -1)
            piece.heights.insert(at, 0.0)
        first += count
    return put_together(drawing, pieces)


def turned(drawing: Drawing, chain: int) -> tuple[Drawing, Ints]:
    """A chain between two junctions declared from its other end."""
    pieces = taken_apart(drawing)
    piece = pieces[chain]
    columns = {name: values[::-1] for name, values in piece.columns.items()}
    pieces[chain] = Piece(piece.down, piece.up, columns, piece.labels[::-1], piece.heights[::-1])
    return put_together(drawing, pieces)


def shuffled(drawing: Drawing, chains: Sequence[int], junctions: Sequence[int]) -> tuple[Drawing, Ints]:
    """The same chains in another order, the junctions (all but the inlet) numbered anew."""
    pieces = taken_apart(drawing)
    return put_together(drawing, [pieces[chain] for chain in chains], order=[0, *junctions])


def doubled(drawing: Drawing) -> tuple[Drawing, Ints, Ints]:
    """A zone and its mirror image on one inlet, and the numbers of the nodes of either."""
    inner, others = drawing.inner, drawing.junctions - 1
    node = np.arange(len(drawing.elevation))
    one = np.where(node < inner, node, node + inner)
    two = np.where(node <= inner, node + inner, node + inner + others)
    twice = {name: np.tile(getattr(drawing, name), 2) for name in ("links", *COLUMNS)}
    ends = {
        name: np.concatenate((end, np.where(end > 0, end + others, end)))
        for name, end in (("upstream", drawing.upstream), ("downstream", drawing.downstream))
    }
    heights = np.empty(2 * len(node) - 1)
    heights[one] = heights[two] = drawing.elevation
    both = replace(
        drawing,
        **twice,
        **ends,
        elevation=heights,
        outlet_node=np.concatenate((one[drawing.outlet_node], two[drawing.outlet_node])),
        kinds=drawing.kinds * 2,
        junctions=drawing.junctions + others,
    )
    return both, one, two
