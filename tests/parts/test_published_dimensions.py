"""Figures of shipped parts that hang together in their standards; single ones: tests/published/test_parts.py."""

import itertools
import math

import pytest

from service.parts.catalogue import load_catalogue
from service.parts.devices import Meter
from service.parts.fittings import FITTINGS
from service.parts.materials import Material, pressure_derating
from service.parts.mesh import opening_of
from service.parts.models import Emitter, Pipe

INCH = 0.0254
PSI = 6894.757293168361  # NIST Special Publication 811, appendix B.8

D1785 = "ASTM D1785, tables 1 and 2, read in public listings of its dimensions"
D2241 = "ASTM D2241, table 2, from memory; wall = outside/21, not under 0.060 in"
D2239 = "ASTM D2239, table 1, from memory"

PIPES = [
    # id, outside, minimum wall, inside, source (inches)
    ("pvc-sch40-0.5in", 0.840, 0.109, 0.622, D1785),
    ("pvc-sch40-0.75in", 1.050, 0.113, 0.824, D1785),
    ("pvc-sch40-1in", 1.315, 0.133, 1.049, D1785),
    ("pvc-sch40-1.25in", 1.660, 0.140, 1.380, D1785),
    ("pvc-sch40-1.5in", 1.900, 0.145, 1.610, D1785),
    ("pvc-sch40-2in", 2.375, 0.154, 2.067, D1785),
    ("pvc-sdr21-0.75in", 1.050, 0.060, 0.930, D2241),
    ("pvc-sdr21-1in", 1.315, 0.063, 1.189, D2241),
    ("pvc-sdr21-1.25in", 1.660, 0.079, 1.502, D2241),
    ("pvc-sdr21-1.5in", 1.900, 0.090, 1.720, D2241),
    ("pvc-sdr21-2in", 2.375, 0.113, 2.149, D2241),
    ("pvc-sdr13.5-0.5in", 0.840, 0.062, 0.716, "ASTM D2241, table 2, from memory"),
    ("pe-0.5in", 0.742, 0.060, 0.622, D2239),
    ("pe-0.75in", 0.944, 0.060, 0.824, D2239),
    ("pe-1in", 1.189, 0.070, 1.049, D2239),
    ("pe-1.25in", 1.564, 0.092, 1.380, D2239),
    ("pe-1.5in", 1.824, 0.107, 1.610, D2239),
    ("pe-2in", 2.343, 0.138, 2.067, D2239),
    ("pe-cts-0.75in", 0.875, 0.097, 0.681, "ASTM D2737, SDR 9, from memory"),
    ("pe-cts-1in", 1.125, 0.125, 0.875, "ASTM D2737, SDR 9, from memory"),
    ("copper-l-0.75in", 0.875, 0.045, 0.785, "ASTM B88, type L, from memory"),
    ("copper-l-1in", 1.125, 0.050, 1.025, "ASTM B88, type L, from memory"),
]


def pipe(part_id):
    part = load_catalogue().get("pipe", part_id)
    assert isinstance(part, Pipe)
    return part


@pytest.mark.parametrize(("part_id", "outside", "wall", "inside", "source"), PIPES)
def test_pipe_has_its_published_diameters(part_id, outside, wall, inside, source):
    part = pipe(part_id)
    assert part.outside_diameter == pytest.approx(outside * INCH, abs=1e-9), source
    assert part.inside_diameter == pytest.approx(inside * INCH, abs=1e-9), source
    assert inside == pytest.approx(outside - 2 * wall, abs=1.5e-3), "inside is outside less two walls"


def test_steel_has_the_bore_of_the_friction_tables():
    source = "Hydraulic Institute, Engineering Data Book, schedule 40 steel tables for 3/4 and 1 in"
    assert pipe("galvanized-steel-0.75in").inside_diameter == pytest.approx(0.824 * INCH), source
    assert pipe("galvanized-steel-1in").inside_diameter == pytest.approx(1.049 * INCH), source


RATINGS = [
    # id, rating psi, wall in, design stress psi
    ("pvc-sch40-0.5in", 600, 0.109, 2000),
    ("pvc-sch40-0.75in", 480, 0.113, 2000),
    ("pvc-sch40-1in", 450, 0.133, 2000),
    ("pvc-sch40-1.25in", 370, 0.140, 2000),
    ("pvc-sch40-1.5in", 330, 0.145, 2000),
    ("pvc-sch40-2in", 280, 0.154, 2000),
    ("pvc-sdr21-1in", 200, 1.315 / 21, 2000),
    ("pvc-sdr21-2in", 200, 2.375 / 21, 2000),
    ("pvc-sdr13.5-0.5in", 315, 0.840 / 13.5, 2000),
    ("pe-1in", 100, 1.049 / 15, 800),
    ("pe-2in", 100, 2.067 / 15, 800),
    ("pe-cts-0.75in", 200, 0.875 / 9, 800),
]


@pytest.mark.parametrize(("part_id", "rating", "wall", "stress"), RATINGS)
def test_rating_follows_from_the_wall(part_id, rating, wall, stress):
    """The ISO equation, pressure = 2 S t / (outside - t), behind the ratings of ASTM D1785, D2241, D2239 and D2737."""
    part = pipe(part_id)
    outside = part.outside_diameter / INCH
    assert part.max_pressure == pytest.approx(rating * PSI)
    assert rating == pytest.approx(2 * stress * wall / (outside - wall), rel=0.02)


def test_meter_loses_what_it_is_said_to_at_its_safe_maximum():
    for meter in load_catalogue().parts("meter"):
        assert isinstance(meter, Meter)
        assert meter.loss.point.flow == meter.safe_max_flow


EXPONENTS = [
    # kind, least, most, source
    ("turbulent", 0.45, 0.65, "0.45 to 0.55, exam page; 0.5 to 0.65 for tortuous paths, Keller and Bliesner, memory"),
    ("orifice", 0.5, 0.5, "public agricultural-education page on emitter hydraulics, group orifice"),
    ("spray", 0.5, 0.5, "as an orifice"),
    ("vortex", 0.4, 0.55, "0.4, Keller and Bliesner, memory; 0.45 to 0.55, exam page"),
    ("long_path", 0.7, 0.8, "long or spiral paths, Keller and Bliesner, memory"),
    ("microtube", 0.7, 0.9, "Keller and Bliesner, memory"),
    ("porous", 1.0, 1.0, "laminar, Keller and Bliesner, memory"),
]


@pytest.mark.parametrize(("kind", "least", "most", "source"), EXPONENTS)
def test_exponent_is_one_of_its_type(kind, least, most, source):
    emitters = [part for part in load_catalogue().parts("emitter") if isinstance(part, Emitter) and part.kind == kind]
    assert emitters, kind
    assert all(least <= emitter.exponent <= most for emitter in emitters), source


def test_compensating_emitters_have_no_exponent():
    for part in load_catalogue().parts("emitter"):
        assert isinstance(part, Emitter)
        assert part.compensating == (part.kind == "compensating")
        assert part.compensating == (part.at_pressure is None)
        assert part.range_stated


@pytest.mark.parametrize(("fahrenheit", "share"), [(60, 1), (73, 1), (80, 0.88), (90, 0.75), (100, 0.62), (140, 0.22)])
def test_warm_pvc_keeps_the_published_share_of_its_rating(fahrenheit, share):
    source = "public data tables for PVC pipe, which agree at these temperatures"
    assert pressure_derating(Material.PVC, (fahrenheit - 32) / 1.8) == pytest.approx(share, abs=1e-9), source


def test_finer_mesh_never_has_a_wider_opening():
    openings = [opening_of(mesh) for mesh in range(10, 1001)]
    assert all(finer < coarser for coarser, finer in itertools.pairwise(openings))
    assert math.isclose(opening_of(800), 19e-6, rel_tol=1e-9)  # past the table mesh times opening stays


def test_ball_valve_loses_what_its_equivalent_length_says():
    # Crane Technical Paper 410, L/D 3 with complete-turbulence f_T 0.025 at 3/4 in, from memory.
    assert FITTINGS["ball_valve"].k == pytest.approx(3 * 0.025)
