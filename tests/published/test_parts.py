"""Figures of the shipped parts against the standards and tables that they come from."""

from functools import partial

from service.parts.catalogue import load_catalogue
from service.parts.fittings import FITTINGS
from service.parts.materials import WALLS, Material, default_hazen_williams_c
from service.parts.mesh import coarsest_mesh, opening_of
from service.units.dimensions import System, from_si
from tests.published.practice_sources import (
    D1785,
    D1785_AVERAGE,
    D2239,
    D2241,
    EMITTER_GROUPS,
    EQUIVALENT_LENGTHS,
    KELLER_KARMELI_C,
    METERS,
    MINOR_LOSSES,
    NRCS_430HH,
    OLDER_SIEVES,
    PASCO,
    ROUGHNESSES,
    SCREWED_FITTINGS,
    SIEVES,
    SIEVES_READ,
    SMOOTHNESSES,
    TRADE_MESH,
    TUBING_SIZES,
    TWO_INCH_METER,
)
from tests.published.row import Row, Way, agrees, each
from tests.published.sources import KELLER_BLIESNER
from tests.published.units import FOOT, INCH

BORES = [
    # id, inside diameter in., source
    ("pvc-sch40-0.5in", 0.622, D1785), ("pvc-sch40-0.75in", 0.824, D1785), ("pvc-sch40-1in", 1.049, D1785),
    ("pvc-sch40-1.25in", 1.380, D1785), ("pvc-sch40-1.5in", 1.610, D1785), ("pvc-sch40-2in", 2.067, D1785),
    ("pvc-sdr21-0.75in", 0.930, D2241), ("pvc-sdr21-1in", 1.189, D2241), ("pvc-sdr21-1.25in", 1.502, D2241),
    ("pvc-sdr21-1.5in", 1.720, D2241), ("pvc-sdr21-2in", 2.149, D2241), ("pvc-sdr13.5-0.5in", 0.716, D2241),
    ("pe-0.5in", 0.622, D2239), ("pe-0.75in", 0.824, D2239), ("pe-1in", 1.049, D2239), ("pe-1.25in", 1.380, D2239),
    ("pe-1.5in", 1.610, D2239), ("pe-2in", 2.067, D2239),
    ("tubing-0.25in-160-240", 0.160, TUBING_SIZES), ("tubing-0.25in", 0.170, TUBING_SIZES),
    ("tubing-0.5in-520-620", 0.520, TUBING_SIZES), ("tubing-0.5in-600-700", 0.600, TUBING_SIZES),
    ("tubing-0.5in-620-710", 0.620, TUBING_SIZES), ("tubing-0.75in-820-940", 0.820, TUBING_SIZES),
    ("tubing-1in-1060-1200", 1.060, TUBING_SIZES),
]  # fmt: skip

THICKER = [
    # id, inside diameter in. with walls 1.03 times the least
    ("pvc-sch40-0.5in", 0.615), ("pvc-sch40-0.75in", 0.817), ("pvc-sch40-1in", 1.041), ("pvc-sch40-1.25in", 1.372),
    ("pvc-sch40-1.5in", 1.601), ("pvc-sch40-2in", 2.058),
]  # fmt: skip

WALL_ROUGHNESSES = [
    # material, ft
    (Material.PVC, 5e-6), (Material.PE, 5e-6), (Material.STEEL, 1.5e-4), (Material.GALVANIZED_STEEL, 5e-4),
    (Material.CAST_IRON, 8.5e-4),
]  # fmt: skip

METER_FLOWS = [
    # size, safe maximum and continuous gpm, source
    ("0.625in", 20, 10, METERS), ("0.75in", 30, 15, METERS), ("1in", 50, 25, METERS), ("1.5in", 100, 50, METERS),
    ("2in", 160, 80, TWO_INCH_METER),
]  # fmt: skip

OPENINGS = [
    # mesh, µm, source
    (40, 425, SIEVES), (60, 250, SIEVES), (80, 180, SIEVES), (100, 150, SIEVES), (120, 125, SIEVES), (140, 106, SIEVES),
    (170, 90, SIEVES), (200, 75, SIEVES_READ), (325, 45, SIEVES_READ), (400, 38, SIEVES_READ), (150, 100, TRADE_MESH),
]  # fmt: skip

OLDER = [
    (40, 400), (50, 297), (60, 250), (70, 210), (80, 177), (100, 149), (120, 125), (140, 105), (170, 88), (200, 74),
    (230, 63), (270, 53), (325, 44), (400, 37),
]  # fmt: skip

LOSSES = [
    # fitting, K
    ("elbow_90", 0.9), ("elbow_90_long", 0.6), ("elbow_45", 0.4), ("tee_run", 0.6), ("tee_branch", 1.8),
    ("gate_valve", 0.2), ("globe_valve", 10.0), ("angle_valve", 5.0), ("check_valve", 2.5), ("return_bend", 2.2),
    ("entrance", 0.5),
]  # fmt: skip

SCREWED = [("elbow_90", 1.5), ("elbow_45", 0.35), ("tee_run", 0.9), ("tee_branch", 1.8), ("return_bend", 1.5)]
"""Fitting, K at 1 in."""

BY_LENGTH = [("elbow_90", 0.69), ("tee_branch", 1.38), ("ball_valve", 0.069)]
"""Fitting, L/D of 30, 60 and 3 times 0.023."""

EXPONENTS = [
    # id, exponent, source
    ("non-compensating-1gph", 0.5, EMITTER_GROUPS), ("turbulent-1gph", 0.5, EMITTER_GROUPS),
    ("vortex-1gph", 0.4, KELLER_BLIESNER), ("long-path-1gph", 0.75, KELLER_BLIESNER),
    ("microtube-1gph", 0.8, KELLER_BLIESNER),
]  # fmt: skip


def part(kind: str, part_id: str):
    return load_catalogue().get(kind, part_id)


def bore(part_id: str) -> float:
    """[in.]"""
    return part("pipe", part_id).inside_diameter / INCH


def thicker_bore(part_id: str) -> float:
    """With walls 1.03 times those of the catalogue, which are the least. [in.]"""
    pipe = part("pipe", part_id)
    return (pipe.outside_diameter - 1.03 * (pipe.outside_diameter - pipe.inside_diameter)) / INCH


def tubing_c(millimetres: float) -> float:
    """Hazen-Williams C taken for drip tubing of a bore. [-]"""
    return default_hazen_williams_c(Material.PE, millimetres * 1e-3)


def meter(size: str, figure: str) -> float:
    """[gpm]"""
    return from_si(getattr(part("meter", size), figure), "flow", System.US)


THINNEST = "printed with the least wall; 1.03 of it takes 1 % of the bore of 1/2 in., and so 6 % of friction"
DISAGREE = "handbooks differ by a factor of two for screwed fittings; a run may count them by a K of its own"
TYPICAL = "as listed for the type; of a range of 0.7 to 0.8, and of 0.7 to 0.9, the middle"

DIMENSIONS = [
    *(
        Row(f"bore of {name}, in.", inches, lambda name=name: bore(name), source, "as listed", abs=5e-4)
        for name, inches, source in BORES
    ),
    *(
        Row(f"bore of {name}, other convention, in.", inches, lambda name=name: bore(name), D1785_AVERAGE, THINNEST,
            rel=0.012, way=Way("with 1.03 times the wall", partial(thicker_bore, name), abs=5.5e-4))
        for name, inches in THICKER
    ),
    *(
        Row(f"safe maximum of a {size} meter, gpm", safe, lambda size=size: meter(size, "safe_max_flow"), source,
            "as listed", rel=1e-9)
        for size, safe, _, source in METER_FLOWS
    ),
    *(
        Row(f"continuous flow of a {size} meter, gpm", continuous,
            lambda size=size: meter(size, "continuous_flow"), source, "as listed", rel=1e-9)
        for size, _, continuous, source in METER_FLOWS
    ),
    Row("flow of a 1in meter by a code, gpm", 50, lambda: meter("1in", "safe_max_flow"), PASCO, "as listed", rel=1e-9),
    Row("flow of a 1.5in meter by a code, gpm", 100, lambda: meter("1.5in", "safe_max_flow"), PASCO, "as listed",
        rel=1e-9),
    *(
        Row(f"opening of {mesh} mesh, µm", opening, lambda mesh=mesh: opening_of(mesh) * 1e6, source, "as listed",
            rel=1e-9)
        for mesh, opening, source in OPENINGS
    ),
    *(
        Row(f"coarsest mesh of {opening} µm", mesh, lambda opening=opening: float(coarsest_mesh(opening * 1e-6)),
            source, "as listed", rel=1e-9)
        for mesh, opening, source in OPENINGS
    ),
    *(
        Row(f"opening of {mesh} mesh in an older series, µm", opening, lambda mesh=mesh: opening_of(mesh) * 1e6,
            OLDER_SIEVES, "the series was rounded anew since; 40 mesh is printed as 400, against 0.0165 in. = 419",
            rel=0.03 if mesh != 40 else 0.065)
        for mesh, opening in OLDER
    ),
]  # fmt: skip

WALLS_AND_FITTINGS = [
    *(
        Row(f"roughness of {material.value}, ft", feet, lambda m=material: WALLS[m].roughness / FOOT, ROUGHNESSES,
            "1.5 µm is the rounding of 0.000005 ft in metric tables", rel=0.02)
        for material, feet in WALL_ROUGHNESSES
    ),
    Row("C of plastic pipe", 150, lambda: WALLS[Material.PVC].hazen_williams_c, NRCS_430HH, "as listed", rel=1e-9),
    Row("C of plastic pipe, EPANET", 145, lambda: WALLS[Material.PVC].hazen_williams_c, SMOOTHNESSES.worked_out(),
        "the middle of a range of 140 to 150", abs=5.0),
    Row("C of new steel", 145, lambda: WALLS[Material.STEEL].hazen_williams_c, SMOOTHNESSES.worked_out(),
        "the middle of a range of 140 to 150",
        abs=5.0),
    Row("C of galvanized iron", 120, lambda: WALLS[Material.GALVANIZED_STEEL].hazen_williams_c, SMOOTHNESSES,
        "as listed", rel=1e-9),
    Row("C of new cast iron", 135, lambda: WALLS[Material.CAST_IRON].hazen_williams_c, SMOOTHNESSES.worked_out(),
        "the middle of a range of 130 to 140", abs=5.0),
    *(
        Row(f"C of tubing of {millimetres} mm", c, lambda d=millimetres: tubing_c(d),
            KELLER_KARMELI_C, "as remembered", rel=1e-9)
        for millimetres, c in [(14.5, 130), (18.5, 140), (26, 150)]
    ),
    *(
        Row(f"K of {name}", k, lambda name=name: FITTINGS[name].k, MINOR_LOSSES, "as listed", rel=1e-9)
        for name, k in LOSSES
    ),
    *(
        Row(f"K of {name}, screwed, 1 in.", k, lambda name=name: FITTINGS[name].k, SCREWED_FITTINGS, DISAGREE, rel=0.5)
        for name, k in SCREWED
    ),
    *(
        Row(f"K of {name} by equivalent length, 1 in.", k, lambda name=name: FITTINGS[name].k, EQUIVALENT_LENGTHS,
            DISAGREE, rel=0.31)
        for name, k in BY_LENGTH
    ),
    *(
        Row(f"exponent of {name}", x, lambda name=name: part("emitter", name).exponent, source, TYPICAL, rel=1e-9)
        for name, x, source in EXPONENTS
    ),
]  # fmt: skip


@each(DIMENSIONS)
def test_parts_have_the_figures_of_their_standards(row: Row):
    agrees(row)


@each(WALLS_AND_FITTINGS)
def test_walls_fittings_and_emitters_have_the_figures_of_the_handbooks(row: Row):
    agrees(row)
