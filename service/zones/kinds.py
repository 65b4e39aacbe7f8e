"""The kinds of outlet of a zone: unlike outlets differ on purpose, so each kind is judged by itself."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from service.hydraulics.arrays import Ints
from service.parts.models import Emitter
from service.schemas.outlets import OutletKind
from service.units.sentence import Measured, Sentence


@dataclass(frozen=True, slots=True)
class Kind:
    """All outlets of one part and setting; unlike outlets differ on purpose."""

    name: Sentence
    emitter: Emitter
    setting: float | None  # [m³/s]
    groups: Ints

    @property
    def flow(self) -> float:
        """Flow of one outlet as made or set. [m³/s]"""
        return self.emitter.flow if self.setting is None else self.setting


def emitter_kinds(kinds: Sequence[OutletKind], outlet_kind: Ints) -> list[Kind]:
    """The kinds of outlet by part and setting, in the order in which they first stand in a zone.

    outlet_kind : (g,) index into `kinds` of each group of outlets
    """
    found: dict[tuple[Emitter, float | None], list[Ints]] = defaultdict(list)
    order = np.argsort(outlet_kind, kind="stable")
    bounds = np.searchsorted(outlet_kind[order], np.arange(len(kinds) + 1))
    for number, kind in enumerate(kinds):
        groups = order[bounds[number] : bounds[number + 1]]
        if len(groups):
            found[kind.emitter, kind.setting].append(groups)
    return [
        Kind(_name(emitter, setting), emitter, setting, np.concatenate(groups))
        for (emitter, setting), groups in found.items()
    ]


def _name(emitter: Emitter, setting: float | None) -> Sentence:
    law = "compensating emitter" if emitter.compensating else "emitter"
    part: Sentence | str = emitter.id or Sentence(
        "{flow} {law} as written out", {"flow": Measured(emitter.flow, "outlet_flow"), "law": law}
    )
    if setting is None:
        return Sentence("{part}", {"part": part})
    return Sentence("{part} set to {flow}", {"part": part, "flow": Measured(setting, "outlet_flow")})
