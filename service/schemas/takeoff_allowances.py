"""Allowances: what a takeoff adds to what is counted, each with a default that the caller may override."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator, StrictBool

from service.parts.pipe import PipeKind
from service.units.dimensions import FOOT
from service.units.model import Maybe, Model
from service.units.quantity import Distance, Plain
from service.units.refusal import Refusal, refused
from service.units.sentence import Measured, Sentence

Share = Annotated[float, Plain(0, 100)]
"""A share on top, in percent."""

PressureTaps = Literal["ends", "head", "none"]
"""Where taps for a gauge are counted: at head and line ends, at the head alone, nowhere."""

TUBING_STAKES, DRIPLINE_STAKES = 5 * FOOT, 3 * FOOT
"""Distances between stakes where nothing else is said. [m] Common practice, no source."""


CLOSEST_STAKES = 0.05
"""Least distance between stakes. [m] Closer ones would be no stakes but a fence, and too many to count."""


def _not_too_close(spacing: float) -> float:
    if 0 < spacing < CLOSEST_STAKES:
        least = {"least": Measured(CLOSEST_STAKES, "length")}
        accepted = Sentence("0 for none, or at least {least}", least)
        raise refused("StakeSpacing", Refusal((), "Stakes cannot stand so close.", accepted))
    return spacing


StakeSpacing = Annotated[Distance, AfterValidator(_not_too_close)]
"""Distance between stakes, 0 for none. [m]"""


class Allowances(Model):
    """What is added to what is counted. The defaults are common practice, no source."""

    pipe_waste: Share = 5.0
    """Cut off and lost of pipe and sleeves, in percent of the length."""

    tubing_waste: Share = 5.0
    """Cut off and lost of drip tubing, in percent."""

    dripline_waste: Share = 5.0
    """Cut off and lost of dripline, in percent."""

    small_tubing_waste: Share = 10.0
    """Cut off and lost of small tubing, in percent."""

    wire_waste: Share = 10.0
    """Cut off and lost of valve wire, in percent."""

    slack: Share = 1.0
    """Slack of tubing and dripline on the ground for heat and cold, in percent of the length."""

    spare_outlets: Share = 5.0
    """Spare outlets, in percent of those set in one by one."""

    hole_plugs: Share = 5.0
    """Plugs for holes punched in the wrong place, in percent of the holes."""

    tubing_stake_spacing: Maybe[StakeSpacing] = None
    """Distance between stakes along tubing, 0 for none. 5 ft (1.524 m) if left out."""

    dripline_stake_spacing: Maybe[StakeSpacing] = None
    """Distance between stakes along dripline and small tubing, 0 for none. 3 ft (0.9144 m) if left out."""

    outlet_stakes: StrictBool = True
    """Whether a stake holds each outlet on a small tube."""

    coil_couplings: StrictBool = True
    """Whether each coil or stick bought after the first may end within a run and so needs a coupling."""

    pressure_taps: PressureTaps = "ends"
    """Where taps for a gauge are counted."""

    def stake_spacing(self, kind: PipeKind) -> float:
        """Distance between stakes along tubing of a kind, 0 for none. [m]"""
        if kind == "tubing":
            return TUBING_STAKES if self.tubing_stake_spacing is None else self.tubing_stake_spacing
        return DRIPLINE_STAKES if self.dripline_stake_spacing is None else self.dripline_stake_spacing
