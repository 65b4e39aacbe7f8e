"""The limits that a check speaks up at, each once with its source; a caller may choose his own for some."""

from __future__ import annotations

from dataclasses import dataclass, replace

from service.schemas.options import Criteria
from service.units.dimensions import System, to_si

COMMON_PRACTICE = "common practice, no source"
PHYSICS = "physics"
PART_DATA = "the part's own data"

FLOW_VARIATION_SOURCE = "Wu & Gitlin, drip lateral design criterion; ASABE EP405 (from memory)"
EMISSION_UNIFORMITY_SOURCE = "Keller & Karmeli 1974; design ranges of ASABE EP405 (from memory)"
VELOCITY_SOURCE = "USDA-NRCS Conservation Practice Standard 430 (from memory)"
FLUSHING_SOURCE = "University of California ANR, Flushing: 1 ft/s; ASABE EP405: 0.3 m/s (from memory)"
METER_SOURCE = "ANSI/AWWA C700 safe maximum and continuous flow; the 75 % and 10 % rules are common practice, no source"
FILTER_OPENING_SOURCE = (
    "USDA National Engineering Handbook, microirrigation chapter (from memory): a tenth of the passage"
)
FINE_FILTER_SOURCE = "common practice, no source: openings under 75 µm clog fast"
BACKFLOW_SOURCE = "EPA Cross-Connection Control Manual, AWWA M14 (from memory); the local authority decides"
DERATING_SOURCE = "pressure rating of the part, derated for water temperature"


@dataclass(frozen=True, slots=True)
class Limits:
    """Limits of one check, SI and shares of one."""

    flow_variation: float = 0.10  # caution above; FLOW_VARIATION_SOURCE [-]
    flow_variation_limit: float = 0.20  # fail above; FLOW_VARIATION_SOURCE [-]
    emission_uniformity: float | None = None  # caution below; None: by layout and slope, EMISSION_UNIFORMITY [-]
    pressure_margin: float = to_si(2.0, "pressure", System.US)  # common practice, no source [Pa]
    velocity: float = to_si(5.0, "velocity", System.US)  # VELOCITY_SOURCE [m/s]
    flushing_velocity: float = to_si(1.0, "velocity", System.US)  # FLUSHING_SOURCE, the stricter [m/s]
    meter_flow_share: float = 0.75  # of the safe maximum; common practice, no source [-]
    meter_loss_share: float = 0.10  # of the static pressure; common practice, no source [-]
    filter_opening_share: float = 0.10  # of the smallest passage; FILTER_OPENING_SOURCE [-]


_PERCENT = frozenset(
    {
        "flow_variation", "flow_variation_limit", "emission_uniformity", "meter_flow_share", "meter_loss_share",
        "filter_opening_share",
    }
)  # fmt: skip


def limits_of(criteria: Criteria) -> Limits:
    """The defaults with the caller's own criteria in their place."""
    chosen = {name: getattr(criteria, name) for name in criteria.model_fields_set}
    return replace(Limits(), **{name: value / 100 if name in _PERCENT else value for name, value in chosen.items()})


EMISSION_UNIFORMITY = {
    ("point", "uniform"): 0.90,
    ("point", "steep"): 0.85,
    ("line", "uniform"): 0.80,
    ("line", "steep"): 0.70,
}
"""Least design emission uniformity by kind of outlet and slope. [-] EMISSION_UNIFORMITY_SOURCE: lower ends of
ranges."""

STEEP = 0.02
"""Slope from which a layout counts as steep. [-] EMISSION_UNIFORMITY_SOURCE."""

STATISTICAL_CLASSES = ((0.95, "excellent"), (0.85, "good"), (0.75, "fair"), (0.65, "poor"))
"""Least statistical uniformity of each class. [-] ASABE EP458, table of uniformities (from memory). Its classes have
gaps between them; a value in a gap belongs to the lower class."""

RULE_OF_THUMB_PRESSURE = to_si(60.0, "pressure", System.US)
"""Supply pressure from which the trade fits a regulator. [Pa] Common practice, no source."""

HEADROOM = to_si(10.0, "pressure", System.US)
"""Least distance of the supply below the highest pressure without a regulator. [Pa] Common practice, no source: mains
swing by as much between day and night."""

SEPARATE_EMITTER_LENGTH = to_si(100.0, "length", System.US)
"""Longest lateral of half-inch tubing with separate emitters by rule of thumb. [m] Common practice, no source."""

COMPENSATING_DRIPLINE_LENGTH = to_si(300.0, "length", System.US)
"""Longest lateral of compensating dripline at 12 in by rule of thumb. [m] Common practice, no source."""

HALF_INCH_BORES = (to_si(0.5, "diameter", System.US), to_si(0.64, "diameter", System.US))
"""Bores of tubing that the trade calls half-inch. [m] Common practice, no source: 0.52 to 0.62 in."""

DRIPLINE_SPACING = to_si(1.0, "length", System.US)
"""Spacing that the dripline rule of thumb speaks of. [m] Common practice, no source."""

CENTRE_FEED_RATIO = 4.0 / 3.0
"""Laterals of one header that differ by more than a third are unlike. [-] Common practice, no source."""

PRESSURE_VACUUM_BREAKER_HEIGHT = to_si(1.0, "length", System.US)
"""Least height of a pressure vacuum breaker above all it protects, 12 in. [m] BACKFLOW_SOURCE."""

ATMOSPHERIC_VACUUM_BREAKER_HEIGHT = to_si(0.5, "length", System.US)
"""Least height of an atmospheric vacuum breaker, 6 in; some codes ask for 12. [m] BACKFLOW_SOURCE."""

LONGEST_UNDER_PRESSURE = 12 * 3600.0
"""Longest that an atmospheric vacuum breaker may be under pressure. [s] BACKFLOW_SOURCE."""

FINEST_USEFUL_OPENING = 75e-6
"""Opening below which a filter clogs fast. [m] FINE_FILTER_SOURCE."""

CLEAN_AT_LOSS = to_si(5.0, "pressure", System.US)
"""Rise of a filter's loss above clean at which to clean it, where no allowance is stated. [Pa] Around the Vineyard, The
Grapevine Magazine, May-June 2020, page 40: more than 5 psi means plugging."""

MOST_CLEAN_LOSS = to_si(3.0, "pressure", System.US)
"""Most that a filter should lose when clean; beyond it a larger body is due. [Pa] Common practice, no source."""

SURFACE_SLACK = 0.01 / 50.0
"""Expansion of polyethylene tubing. [1/K] From memory: about 1 % per 50 °C."""

WARMING = 25.0
"""Warming of tubing in the sun that its slack is reckoned for. [K] Common practice, no source."""

SLACK_WORTH_A_WORD = to_si(0.5, "length", System.US)
"""Slack from which tubing is spoken of: that of 100 ft. [m] Common practice, no source: shorter lines take up theirs in
the bends that they have anyway."""

DRAIN_BACK_SHARE = 0.10
"""Share of a run time that filling the pipes may take before it is worth a note. [-] Common practice, no source."""

RUN_TIME = 30 * 60.0
"""Run time taken where none is stated. [s] Common practice, no source."""

WORTH_A_WORD = to_si(3.0, "length", System.US)
"""Height up to which crests and lifts are not spoken of. [m] Common practice, no source: 3 ft cost 1.3 psi, less than
the 2 psi that an outlet is to have in hand, and hardly any ground is more level than that."""

GREATEST_SUPPLY = 2e6
"""Supply pressure above which no lowest one is told. [Pa] As much as a request may state of a main or a pump; mains
have less than half of it (common practice, no source)."""
