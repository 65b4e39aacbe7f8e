"""Why each thing is counted: the rules of a takeoff, each with its source."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

ZONE = "the zone as sent"
COMMON_PRACTICE = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Rule:
    """One reason to count a part."""

    says: str
    source: str


RULES: Mapping[str, Rule] = MappingProxyType(
    {
        # pipe
        "along": Rule("Length along the pipe, copies included.", ZONE),
        "emitters_inside": Rule("Length along the pipe, copies included; the emitters come inside it.", ZONE),
        "small_tube": Rule("The small tube of each outlet.", ZONE),
        # fittings, from the way the runs meet
        "branch": Rule("A tee where a run leaves or joins another between its ends.", ZONE),
        "meeting": Rule("A tee where three ends meet.", ZONE),
        "crossing": Rule("A cross where two runs leave at one place, or four ends meet.", ZONE),
        "manifold": Rule("Crosses and tees in a row where more than four ends meet.", ZONE),
        "straight": Rule("A coupling where a run goes on from the end of another.", ZONE),
        "turn": Rule("An elbow where a run set apart along another leaves or joins it at its end.", ZONE),
        "size_change": Rule("A reducer where the sizes of pipe differ.", ZONE),
        "joining_change": Rule("An adapter where the way of joining changes.", ZONE),
        "listed": Rule("Listed among the fittings of a run, once for each copy.", ZONE),
        "length_joint": Rule("A coupling between lengths where a run is longer than the longest that is sold.", ZONE),
        "line_end": Rule("A closure that opens for flushing at each dead end.", COMMON_PRACTICE),
        "loop_flush": Rule("A flush valve at the lowest place of each closed loop.", COMMON_PRACTICE),
        "loop_air": Rule(
            "A relief valve at the highest place of each closed loop that climbs more than a foot, and at each crest "
            "within its runs that stands out as much.",
            COMMON_PRACTICE,
        ),
        "insert_clamp": Rule("A clamp on each insert fitting end in polyethylene pipe.", COMMON_PRACTICE),
        # outlets
        "outlet": Rule("Outlets set in or hung on small tubes.", ZONE),
        "hole": Rule("A connector in a punched hole for each small tube that hangs on larger pipe.", COMMON_PRACTICE),
        "drilled_hole": Rule("A saddle for each outlet or small tube on pipe that cannot be punched.", COMMON_PRACTICE),
        "saddle_tube": Rule("An adapter from the thread of a saddle to each small tube.", COMMON_PRACTICE),
        "outlet_stake": Rule("A stake at the outlet of each small tube.", COMMON_PRACTICE),
        "tubing_stake": Rule("A stake at the start of each run and one every {spacing}.", COMMON_PRACTICE),
        "dripline_stake": Rule("A stake at the start of each run and one every {spacing}.", COMMON_PRACTICE),
        "end_tap": Rule("A tap for a gauge at each line end, and at the flush valve of a loop.", COMMON_PRACTICE),
        # head
        "device": Rule("A device of the head.", ZONE),
        "device_by_figures": Rule("A device of the head whose figures are those of this part of the catalogue.", ZONE),
        "isolation": Rule("A valve before each head, to work on it.", COMMON_PRACTICE),
        "take_apart": Rule("A union before and behind the devices of each head.", COMMON_PRACTICE),
        "between": Rule("A nipple between each two pieces of a head.", COMMON_PRACTICE),
        "device_size": Rule("A bushing where a device has another thread than what stands beside it.", COMMON_PRACTICE),
        "head_tap": Rule("A tee with a tap for a gauge behind the devices of each head.", COMMON_PRACTICE),
        "blow_out": Rule("A tee with a fitting for blowing out each head before frost.", COMMON_PRACTICE),
        "drain": Rule("A tee with a drain valve at each head, against frost.", COMMON_PRACTICE),
        "box": Rule("A box for each head with a filter, a regulator or a valve that may be buried.", COMMON_PRACTICE),
        "box_drainage": Rule("Two bags of gravel under each box.", COMMON_PRACTICE),
        "enclosure": Rule("An enclosure for each preventer that stands above the ground.", COMMON_PRACTICE),
        # wiring, site
        "wire": Rule("Two conductors from each valve to the controller.", COMMON_PRACTICE),
        "valve_splice": Rule("Two waterproof splices at each valve.", COMMON_PRACTICE),
        "wire_joint": Rule("Splices where the way is longer than the longest coil of wire.", COMMON_PRACTICE),
        "trench": Rule("Trench as stated.", ZONE),
        "sleeve": Rule("Sleeve as stated, twice as wide as the widest pipe of its zone.", COMMON_PRACTICE),
        # consumables
        "joints": Rule("For {joints} joint{s}; a {unit} lasts for {lasts}.", COMMON_PRACTICE),
        # allowances
        "slack": Rule("{share} % slack for heat and cold.", COMMON_PRACTICE),
        "waste": Rule("{share} % for waste.", COMMON_PRACTICE),
        "spare": Rule("{share} % spare, rounded up.", COMMON_PRACTICE),
        "plugs": Rule("{share} % of {holes} punched hole{s}, rounded up.", COMMON_PRACTICE),
        "coil_ends": Rule(
            "One for each coil or stick bought after the first, which may end within a run, less those counted.",
            COMMON_PRACTICE,
        ),
        "coil_end_clamps": Rule("A clamp on each end of the couplings of coils.", COMMON_PRACTICE),
        "coil_end_joints": Rule(
            "For {joints} more joint{s} at the couplings of coils and sticks; a {unit} lasts for {lasts}.",
            COMMON_PRACTICE,
        ),
    }
)
"""Every rule by name."""
