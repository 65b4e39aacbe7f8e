"""Churchill's friction factor against printed factors, against Colebrook, and against a library."""

import math
from collections.abc import Callable
from functools import partial

import fluids
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.hydraulics.friction import friction_factor
from tests.published.pipes import darcy_weisbach
from tests.published.row import Row, Source, Way, agrees, each
from tests.published.sources import (
    CHURCHILL,
    EMBRY,
    LAMINAR_LAW,
    LINDEBURG,
    MOODY_EXAMPLE,
    SWAMEE_JAIN_EXAMPLE,
    WHITE_EXAMPLE,
    WHITE_SMOOTH,
)
from tests.published.units import FOOT

CHURCHILLS = "Churchill's one formula for every regime strays from the implicit one of Colebrook, by 3.1 % at most"

Formula = Callable[[float, float], float]

PRINTED: list[tuple[float, float, float, Source, float, Formula, str, float]] = [
    # Re, e/D, f, source, relative distance of ours, the source's own formula and how near it comes to the print
    (128_000, 0.0013, 0.0225, MOODY_EXAMPLE, 0.018, fluids.Colebrook, "by Colebrook, 1 % above a reading off a chart",
     2.5e-4),
    (400_000, 0.004, 0.0287, LINDEBURG, 0.0035, fluids.Colebrook, "by Colebrook", 5e-5),
    (6_000, 5e-5 / 0.0254, 0.0375, EMBRY, 0.026, fluids.Colebrook, "by Colebrook, whose root the source sought roughly",
     3.5e-4),
    (60_000, 0.0023, 0.027, SWAMEE_JAIN_EXAMPLE, 0.001, fluids.friction.Swamee_Jain_1976, "by Swamee and Jain", 5e-4),
]  # fmt: skip

SMOOTH = [(4_000, 0.0399), (10_000, 0.0309), (100_000, 0.0180), (1e6, 0.0116), (1e7, 0.0081), (1e8, 0.0059)]

GRID = [
    # Re       e/D = 0    1e-4       1e-3       after Churchill
    (500, (0.128, 0.128, 0.128)),
    (1_000, (0.064, 0.064, 0.064)),
    (2_000, (0.0320433, 0.0320433, 0.0320433)),
    (3_000, (0.0429747, 0.043049, 0.0436915)),
    (4_000, (0.0405897, 0.0407055, 0.041728)),
    (5_000, (0.0378872, 0.038015, 0.0391381)),
    (10_000, (0.0310021, 0.0311782, 0.0326902)),
    (20_000, (0.0258365, 0.0260851, 0.0281343)),
    (50_000, (0.0207763, 0.0211797, 0.0241869)),
    (100_000, (0.0178748, 0.0184626, 0.0223432)),
]


def factor(reynolds: float, roughness: float) -> float:
    return float(friction_factor(np.array([reynolds], dtype=float), roughness)[0])


def _white_loss() -> float:
    """V = 6 ft/s in 6 in. pipe at Re 270 000; the viscosity is the one that makes this Reynolds number."""
    bore, velocity = 0.5 * FOOT, 6 * FOOT
    return darcy_weisbach(
        length=200 * FOOT,
        bore=bore,
        roughness=0.0008 * bore,
        viscosity=velocity * bore / 270_000,
        flow=velocity * np.pi / 4 * bore**2,
    )


ROWS = [
    *(
        Row(f"f at Re {reynolds:g}, e/D {roughness:.4g}", f, lambda a=reynolds, b=roughness: factor(a, b), source,
            CHURCHILLS, rel=rel,
            way=Way(words, partial(formula, reynolds, roughness), abs=near))
        for reynolds, roughness, f, source, rel, formula, words, near in PRINTED
    ),
    *(
        Row(f"f at Re {reynolds:g}, smooth", f, lambda a=reynolds: factor(a, 0.0), WHITE_SMOOTH, CHURCHILLS,
            rel=0.023, abs=5e-5,
            way=Way("by Colebrook, here Prandtl's", partial(fluids.Colebrook, reynolds, 0.0), abs=6e-5))
        for reynolds, f in SMOOTH
    ),
    *(
        Row(f"f after Churchill at Re {reynolds:g}, e/D {roughness:g}", f,
            lambda a=reynolds, b=roughness: factor(a, b), CHURCHILL, "six digits", rel=5e-6)
        for reynolds, factors in GRID
        for roughness, f in zip((0.0, 1e-4, 1e-3), factors, strict=True)
    ),
    *(
        Row(f"f at Re {reynolds}, laminar", 64 / reynolds, lambda a=reynolds: factor(a, 1e-4), LAMINAR_LAW.worked_out(),
            "64/Re, to which Churchill's formula tends", rel=1e-4)
        for reynolds in (10, 100, 500, 1000)
    ),
    Row("pressure loss of 200 ft of asphalted cast iron, lbf/ft²", 280,
        lambda: _white_loss() / FOOT * 62.4, WHITE_EXAMPLE, "two digits printed", rel=0.02),
    Row("head loss of 200 ft of asphalted cast iron, ft", 4.5, lambda: _white_loss() / FOOT, WHITE_EXAMPLE,
        "two digits printed; the inputs are completed from memory", rel=0.02),
]  # fmt: skip


@each(ROWS)
def test_friction_factor_agrees_with_print(row: Row):
    agrees(row)


REYNOLDS = st.floats(0.0, math.log(1e8)).map(math.exp)
ROUGHNESS = st.just(0.0) | st.floats(math.log(1e-6), math.log(0.05)).map(math.exp)


@given(reynolds=REYNOLDS, roughness=ROUGHNESS)
def test_factor_is_churchills_as_another_library_writes_it(reynolds, roughness):
    assert factor(reynolds, roughness) == pytest.approx(fluids.friction.Churchill_1977(reynolds, roughness), rel=1e-11)


@given(reynolds=st.floats(1.0, 1000.0), roughness=ROUGHNESS)
def test_laminar_flow_follows_hagen_and_poiseuille(reynolds, roughness):
    """64/Re exactly, G. Hagen 1839, J. L. M. Poiseuille 1840."""
    assert factor(reynolds, roughness) == pytest.approx(64 / reynolds, rel=1e-6)


@given(
    reynolds=st.floats(math.log(4000.0), math.log(1e8)).map(math.exp), roughness=ROUGHNESS.filter(lambda e: e < 0.01)
)
def test_turbulent_flow_follows_colebrook(reynolds, roughness):
    """Within the 3 % that Churchill's approximation leaves at worst, close to Re 4000 in rough pipe."""
    assert factor(reynolds, roughness) == pytest.approx(fluids.Colebrook(reynolds, roughness), rel=0.032)
