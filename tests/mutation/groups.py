"""Which modules are mutated together, how many of their mutants are tried, and by which tests."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Group:
    """Modules of one room that the same tests look at closely and in seconds."""

    room: str  # folder below service/
    modules: dict[str, int]  # how many mutants of each are tried, at most
    others: int  # and of each module that is not named; none of them when 0
    tests: tuple[str, ...]
    leaving_out: tuple[str, ...] = ()  # slow tests, by which only what the others miss is tried


GROUPS = {
    "laws": Group(
        room="hydraulics",
        modules=dict.fromkeys(("friction", "devices", "supply", "outlets", "water", "bracketed_root"), 100),
        others=0,
        tests=(
            "tests/properties/test_derivatives.py",
            "tests/properties/test_friction_laws.py",
            "tests/properties/test_outlet_laws.py",
            "tests/properties/test_device_laws.py",
            "tests/published/test_water.py",
            "tests/published/test_friction_factor.py",
            "tests/hydraulics/test_descent.py",
        ),
        leaving_out=("test_a_descent_from_anywhere", "test_the_flow_that_a_drop_carries"),
    ),
    "solver": Group(
        room="hydraulics",
        modules=dict.fromkeys(
            ("arrays", "condensation", "continuity", "descent", "newton", "shape", "solve", "spanning_tree"), 20
        ),
        others=0,
        tests=("tests/hydraulics", "tests/properties/test_balances.py", "tests/properties/test_same_zone.py"),
        leaving_out=("one_pipe", "walked_up", "hundred_thousand", "a_hundred_hard_zones", "too_long"),
    ),
    "zones": Group(
        room="zones",
        modules=dict.fromkeys(("thresholds", "uniformity", "criteria", "regulator"), 10)
        | dict.fromkeys(("lateral", "response", "trace"), 0),  # see below
        others=3,
        tests=("tests/zones", "tests/advice", "tests/published/test_water_quality.py", "tests/published/test_rules.py"),
        leaving_out=(
            # Random zones by the dozen, and long sweeps: only what the others miss is tried by them.
            "test_threshold_properties",
            "test_swept_thresholds",
            "test_growing",
            "test_same_zone",
            "test_second_opinion",
            "ends_of_every_range",
            "wild_numbers",
            "random_zones",
            "ends_that_are_opened",
            "over_http",
        ),
    ),
    "questions": Group(
        room="zones",
        modules=dict.fromkeys(("lateral", "response", "trace"), 10),
        others=0,
        tests=(
            "tests/pictures/test_response.py",
            "tests/pictures/test_what_is_drawn.py",
            "tests/pictures/test_courses.py",
            "tests/pictures/test_asking_for_pictures.py",
            "tests/edge/test_calculations.py",
        ),
    ),
}
