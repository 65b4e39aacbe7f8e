"""Heads of random zones, by the service and by a general-purpose network engine."""

import numpy as np
import pytest

from service.hydraulics.friction import friction_factor
from tests.engines.comparisons import PLANNED, arbitrated, compare
from tests.engines.engine_friction import engine_factor


@pytest.mark.parametrize("name", ["hazen-williams", "emitters", "darcy-weisbach"])
def test_heads_agree_with_the_engine(name):
    """Where the laws are the same on both sides: to the two centimetres that the engine now and then stops short by."""
    found = compare(name)
    print(found)
    assert len(found.apart) == PLANNED[name].zones
    assert found.apart.max() < 0.02
    assert found.quantiles[99] < 0.002


def test_where_the_engine_is_farthest_off_the_root_of_the_equations_is_with_the_service():
    found = compare("emitters").apart
    for zone in np.argsort(found)[-3:].tolist():
        assert found[zone] > 0.001
        assert arbitrated("emitters", PLANNED["emitters"].first + zone) < 1e-6


def test_darcy_weisbach_heads_differ_by_the_engines_approximation_alone():
    """With Churchill's factor the heads differ by what the factors do, a third of the drop at the very most."""
    found = compare("factors")
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
