"""What a laboratory found in the water, against the published tables of clogging hazard."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from service.schemas.water import Water
from service.units.dimensions import System, to_si

SLIGHT, MODERATE, SEVERE = HAZARDS = ("slight", "moderate", "severe")
UNKNOWN = "unknown"

CALCIUM_SHARE = 40.078 / 100.087
"""Mass of calcium in calcium carbonate. [-] Standard atomic weights, IUPAC."""

CARBONATE_SHARE = 60.009 / 100.087
"""Mass of carbonate in calcium carbonate. [-] Standard atomic weights, IUPAC."""

PLAUSIBLE_PH = (4.0, 10.0)
"""pH outside of which no water fit for plants lies. [-] Common practice, no source."""

Limits = tuple[float, float]
"""Moderate from the first on, severe above the second."""


def _milligrams(moderate: float, severe: float) -> Limits:
    return to_si(moderate, "concentration", System.US), to_si(severe, "concentration", System.US)


@dataclass(frozen=True, slots=True)
class Table:
    """One published classification: limits by field of the water, concentrations in kg/m³."""

    source: str
    limits: Mapping[str, Limits]


BUCKS = Table(
    "Bucks, Nakayama & Gilbert 1979, Agricultural Water Management 2:149-162",
    MappingProxyType(
        {
            "suspended_solids": _milligrams(50, 100),
            "ph": (7.0, 8.0),
            "dissolved_solids": _milligrams(500, 2000),
            "manganese": _milligrams(0.1, 1.5),
            "iron": _milligrams(0.1, 1.5),
            "hydrogen_sulfide": _milligrams(0.5, 2.0),
            "bacteria": (10_000.0, 50_000.0),
        }
    ),
)
"""The rows as read in table 4 of a public advisory page on operating drip systems."""

PITTS = Table(
    "Pitts 1990, in Testing the Irrigation Water Source, table 1, University of Florida IFAS",
    MappingProxyType(
        {
            "ph": (7.0, 7.5),
            "dissolved_solids": _milligrams(500, 2000),
            "suspended_solids": _milligrams(50, 100),
            "iron": _milligrams(0.1, 1.5),
            "manganese": _milligrams(0.1, 1.5),
            # The table has calcium; hardness is told as calcium carbonate. Its own row for hardness repeats the figures
            # of calcium, which looks like a copying error, and is not used.
            "calcium_hardness": _milligrams(40 / CALCIUM_SHARE, 80 / CALCIUM_SHARE),
            "hydrogen_sulfide": _milligrams(0.2, 2.0),
            "bacteria": (10_000.0, 50_000.0),
        }
    ),
)
"""As read on the page, which prints the severe cells of dissolved and suspended solids swapped: put right here."""

TABLES = (BUCKS, PITTS)

BARE = frozenset({"ph", "bacteria"})
"""Constituents whose values have no dimension; all others are concentrations."""

NAMES: Mapping[str, str] = MappingProxyType(
    {
        "suspended_solids": "suspended solids",
        "ph": "pH",
        "dissolved_solids": "dissolved solids",
        "manganese": "manganese",
        "iron": "iron",
        "hydrogen_sulfide": "hydrogen sulfide",
        "bacteria": "bacteria",
        "calcium_hardness": "calcium hardness",
    }
)
"""What to call each constituent, in the order in which they are spoken of."""


@dataclass(frozen=True, slots=True)
class Hazard:
    """What the tables say of one value."""

    constituent: str  # field of the water
    value: float  # [kg/m³], pH [-] or bacteria [1/mL]
    by_table: tuple[tuple[Table, str], ...]

    @property
    def worst(self) -> str:
        """Class by the strictest table."""
        return max((hazard for _, hazard in self.by_table), key=HAZARDS.index)

    @property
    def disputed(self) -> bool:
        """Whether the tables disagree."""
        return len({hazard for _, hazard in self.by_table}) > 1


def hazards(water: Water) -> list[Hazard]:
    """The class of each constituent that was measured."""
    return [
        Hazard(
            name, value, tuple((table, _class(value, table.limits[name])) for table in TABLES if name in table.limits)
        )
        for name in NAMES
        if (value := getattr(water, name)) is not None
    ]


def _class(value: float, limits: Limits) -> str:
    moderate, severe = limits
    if value > severe * (1 + 1e-9):
        return SEVERE
    return MODERATE if value >= moderate * (1 - 1e-9) else SLIGHT


def clogging_hazard(found: list[Hazard]) -> str:
    """The worst class of any constituent, unknown where nothing was measured."""
    return max((hazard.worst for hazard in found), key=HAZARDS.index, default=UNKNOWN)


def least_dissolved(water: Water) -> float:
    """Dissolved solids that the calcium and the alkalinity found in the water make up by themselves. [kg/m³]"""
    return CALCIUM_SHARE * (water.calcium_hardness or 0.0) + CARBONATE_SHARE * (water.alkalinity or 0.0)


TREATMENTS: Mapping[str, tuple[frozenset[str], str]] = MappingProxyType(
    {
        "suspended solids": (frozenset({"suspended_solids"}), "settling, then media or disc filtration"),
        "high pH": (frozenset({"ph"}), "acidification"),
        "carbonate scale": (frozenset({"calcium_hardness"}), "acidification, or softer water blended in"),
        "iron and manganese": (frozenset({"iron", "manganese"}), "aeration or oxidation and settling, then filtration"),
        "hydrogen sulfide": (frozenset({"hydrogen_sulfide"}), "aeration or oxidation, then filtration"),
        "slime": (frozenset({"bacteria"}), "disinfection of the lines, and flushing"),
        "salts": (frozenset({"dissolved_solids"}), "another source, or blending: no filter holds dissolved salts back"),
    }
)
"""Families of treatment by what they are against: the constituents that call for them, and what they are. Schwankl,
Maintenance of Microirrigation Systems, University of California ANR (from memory)."""


def family_against(constituent: str) -> str:
    """The family of treatment that a constituent calls for."""
    return next(family for constituents, family in TREATMENTS.values() if constituent in constituents)


def treatments(found: list[Hazard], *, scaling: bool) -> Iterator[tuple[str, str]]:
    """What helps against each hazard that is more than slight: against what, and the family of treatment."""
    calling = {hazard.constituent for hazard in found if hazard.worst != SLIGHT}
    calling |= {"calcium_hardness"} if scaling else set()
    for against, (constituents, family) in TREATMENTS.items():
        if calling & constituents:
            yield against, family
