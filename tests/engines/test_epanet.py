"""Heads of random zones, by the service and by a general-purpose network engine."""

import numpy as np
import pytest

from service.hydraulics.friction import friction_factor
from tests.engines.comparisons import against_engine, against_engine_emitters, engine_darcy_weisbach
from tests.engines.engine_friction import engine_factor
from tests.networks import Taste

HAZEN_WILLIAMS = Taste(laws=("hazen_williams",), onto_itself=False)
DARCY_WEISBACH = Taste(laws=("darcy_weisbach",), onto_itself=False)
EMITTERS = Taste(
    laws=("hazen_williams",),
    exponents=(0.3, 1.0),
    same_exponent=True,
    compensating=False,
    tubes=False,
    steepest=0.05,
    onto_itself=False,
)


def test_hazen_williams_heads_agree_under_the_same_outflows():
    """Every kind of outlet and supply; the engine is given the outflows, for it has no such outlets."""
    found = against_engine("Hazen-Williams, imposed outflows", HAZEN_WILLIAMS, first=10_000, zones=200)
    print(found)
    assert found.apart.max() < 0.01


def test_hazen_williams_heads_agree_with_the_engines_own_emitters():
    found = against_engine_emitters("Hazen-Williams, the engine's emitters", EMITTERS, first=20_000, zones=100)
    print(found)
    assert found.apart.max() < 0.01


def test_darcy_weisbach_heads_agree_with_the_engines_friction_formula():
    """The service's solver with the engine's approximation of Colebrook, so that nothing but the solvers differ."""
    found = against_engine(
        "Darcy-Weisbach with the engine's factor",
        DARCY_WEISBACH,
        first=30_000,
        zones=100,
        friction=engine_darcy_weisbach,
    )
    print(found)
    assert found.apart.max() < 0.01


def test_darcy_weisbach_heads_differ_by_the_engines_approximation_alone():
    """With Churchill's factor the heads differ by what the factors do, a third of the drop at the very most."""
    found = against_engine("Darcy-Weisbach, each its own factor", DARCY_WEISBACH, first=40_000, zones=100)
    print(found)
    assert (found.apart < 0.01 + 0.34 * found.drop).all()
    assert np.percentile(found.apart / (found.drop + 0.1), 50) < 0.01


@pytest.mark.parametrize("roughness", [0.0, 1e-4, 1e-3, 1e-2])
def test_the_engines_factor_differs_from_churchills_in_transition_only(roughness):
    """Where flow is neither laminar nor turbulent the two take a third of the factor for granted, and nobody knows."""
    laminar, transition, turbulent = (
        np.linspace(1, 1900, 500),
        np.linspace(2000, 4000, 500),
        np.geomspace(4000, 1e6, 500),
    )
    apart = [
        np.abs(friction_factor(reynolds, roughness) / engine_factor(reynolds, roughness) - 1).max()
        for reynolds in (laminar, transition, turbulent)
    ]
    assert apart[0] < 3e-4
    assert 0.2 < apart[1] < 0.34
    assert apart[2] < 1.2e-3
