"""Every row of tests/published, in the order in which the page of evidence shows them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tests.published import (
    test_connections,
    test_differences,
    test_emitters,
    test_friction_factor,
    test_friction_tables,
    test_hazen_williams,
    test_laterals,
    test_multiple_outlets,
    test_parts,
    test_pipe_networks,
    test_rules,
    test_smooth_tubing,
    test_uniformity,
    test_velocities,
    test_water,
    test_water_quality,
    test_whole_zones,
    test_worked_examples,
)
from tests.published.row import Row


@dataclass(frozen=True, slots=True)
class Topic:
    """Rows that belong together on the page."""

    slug: str
    title: str
    words: str
    rows: Sequence[Row]


TOPICS = (
    Topic(
        "worked-examples",
        "Worked examples",
        "Whole questions of textbooks, courses and examinations, put to the service with their own figures.",
        test_worked_examples.ROWS,
    ),
    Topic(
        "networks",
        "Networks with loops",
        "Pipes that close loops, some fed at two places: flow and loss pipe by pipe, as programs of a manual of 1974 "
        "print them.",
        test_pipe_networks.ROWS,
    ),
    Topic(
        "friction",
        "Friction in pipe",
        "Tables of steel pipe row by row, friction factors from laminar flow to Reynolds numbers of a hundred million, "
        "the forms of Hazen-Williams that are in circulation, the power laws of drip handbooks.",
        [
            *test_friction_tables.ROWS,
            *test_friction_factor.ROWS,
            *test_hazen_williams.ROWS,
            *test_smooth_tubing.ROWS,
            *test_smooth_tubing.TRANSITION,
            *test_connections.ROWS,
        ],
    ),
    Topic(
        "laterals",
        "Laterals and subunits",
        "The factor of multiple outlets as it comes out of the solver, and laterals worked out to many digits by two "
        "other methods: level, uphill, downhill, with connections, and five on a manifold. No complete lateral or "
        "manifold of a handbook could be read, with all its inputs and all its answers, so none is claimed.",
        [
            *test_multiple_outlets.ROWS,
            *test_laterals.ROWS,
            *test_laterals.SUBUNIT_ROWS,
            *test_laterals.RULE_ROWS,
        ],
    ),
    Topic(
        "zones",
        "Whole zones",
        "The same laterals and subunit once more as whole requests, with the figures of handbooks that only the whole "
        "check tells: where a flow is found too fast or too slow to flush, application rates, what a foot of rise is.",
        test_whole_zones.ROWS,
    ),
    Topic(
        "differences",
        "Where the service differs from handbooks",
        "Formulas of turbulent flow go wrong where a lateral ends, and the factor of multiple outlets has all of them "
        "give the same flow. By how much, why, and the handbook's own number by its own law in the same solver.",
        test_differences.ROWS,
    ),
    Topic(
        "emitters",
        "Emitters",
        "Flow of an outlet over its pressure.",
        test_emitters.ROWS,
    ),
    Topic(
        "uniformity",
        "Uniformity",
        "Whole zones whose outlets are held at given flows.",
        test_uniformity.ROWS,
    ),
    Topic(
        "water",
        "Water, velocities and units",
        "Density and viscosity, flow and velocity, conversions.",
        [*test_water.ROWS, *test_velocities.ROWS, *test_velocities.DEFINITIONS],
    ),
    Topic(
        "water-quality",
        "Scaling and clogging",
        "The Langelier index term by term, and where each class of clogging hazard begins.",
        [*test_water_quality.LANGELIER, *test_water_quality.CLOGGING],
    ),
    Topic(
        "parts",
        "Parts",
        "Bores, meters, meshes, walls and fittings of the catalogue.",
        [*test_parts.DIMENSIONS, *test_parts.WALLS_AND_FITTINGS],
    ),
    Topic(
        "limits",
        "Limits of the check",
        "The figures at which a finding speaks up.",
        test_rules.ROWS,
    ),
)
