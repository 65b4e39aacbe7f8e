"""Uniformity of outlets against flows whose figures are known."""

from __future__ import annotations

from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given, settings

from service.zones.uniformity import LOW_QUARTER, flow_variation, low_quarter
from tests import strategies
from tests.zones.flower_plot import STEADY, ask, bed, outlets, plot

FLOWS = np.array([1.02, 0.98, 1.0, 0.95, 1.05, 0.99, 0.91, 1.01, 0.97, 1.03, 0.88, 1.04, 0.96, 1.0, 0.93, 1.08])
"""du-derived-16: sixteen flows with their figures worked out elsewhere. [gph]"""


def fed_at(flows: np.ndarray):
    """Zone of compensating emitters that give just these flows, all of one kind but for their flow."""
    return plot(bed(outlets=[{"at": float(n + 1), "emitter": {**STEADY, "flow": q}} for n, q in enumerate(flows)]))


def test_the_low_quarter_of_sixteen_flows():
    one_each = np.ones_like(FLOWS)
    assert 100 * low_quarter(FLOWS, one_each) / FLOWS.mean() == pytest.approx(92.9114, rel=1e-5)
    twice = np.repeat(FLOWS, 2)
    assert low_quarter(FLOWS, 2 * one_each) == pytest.approx(low_quarter(twice, np.ones_like(twice)))


def test_flow_variation_is_of_the_largest():
    assert flow_variation(FLOWS) == pytest.approx((1.08 - 0.88) / 1.08)
    assert flow_variation(np.zeros(3)) == 1.0


@pytest.mark.parametrize(("exponent", "expected"), [(0.3, 0.0647516), (0.5, 0.105573), (0.7, 0.144612), (1.0, 0.2)])
def test_flow_varies_with_the_power_of_head(exponent, expected):
    """flow-vs-head-variation: 1 - (1 - hvar)^x for 20 % of head; Wu, Howell & Hiler 1979 (relation)."""
    assert flow_variation(np.array([1.0, 0.8]) ** exponent) == pytest.approx(expected, rel=1e-5)


def test_the_constant_of_emission_uniformity_is_that_of_the_normal_low_quarter():
    """eu-low-quarter-constant: φ(z25)/0.25 = 1.2711; printed as 1.27 by Keller & Karmeli 1974."""
    normal = NormalDist()
    exact = normal.pdf(normal.inv_cdf(0.25)) / 0.25
    assert exact == pytest.approx(1.2711, abs=2e-4)
    assert pytest.approx(exact, abs=2e-3) == LOW_QUARTER


@pytest.mark.parametrize(("per_place", "cv"), [(1, 0.05), (2, 0.06), (4, 0.03)])
def test_emission_uniformity_of_even_flows_is_what_manufacture_leaves(per_place, cv):
    """eu-formula: 100 (1 - 1.27 Cv / √n) qmin/qavg; Keller & Karmeli 1974."""
    spread = ask(plot(bed(outlets=outlets({**STEADY, "variation": cv}, per_place=per_place)))).uniformity
    assert spread.emission_uniformity == pytest.approx(100 * (1 - 1.27 * cv / per_place**0.5))
    assert spread.statistical_uniformity == pytest.approx(100 * (1 - cv))
    assert (spread.christiansen, spread.low_quarter, spread.flow_variation) == pytest.approx((100, 100, 0))


CLASSES = [(0.03, "excellent"), (0.07, "good"), (0.2, "fair"), (0.3, "poor"), (0.5, "unacceptable")]


@pytest.mark.parametrize(("cv", "word"), CLASSES)
def test_classes_are_those_of_the_field_evaluation_practice(cv, word):
    """us-classes: ASABE EP458 (from memory); a value in a gap between two classes belongs to the lower one."""
    assert ask(plot(bed(outlets=outlets({**STEADY, "variation": cv})))).uniformity.class_ == word


def test_unlike_outlets_are_judged_apart_and_the_worst_kind_is_told():
    loose = {"flow": 1, "at_pressure": 20, "exponent": 0.5, "pressure_range": [8, 50]}
    zone = plot(
        bed(outlets=outlets(STEADY)),
        bed(id="slope", rise=-20, outlets=outlets(loose)),
    )
    spread = ask(zone).uniformity
    assert [kind.count for kind in spread.by_kind] == [30, 30]
    assert spread.by_kind[0].flow_variation == pytest.approx(0, abs=1e-9)
    assert spread.flow_variation == spread.by_kind[1].flow_variation > 5
    assert spread.by_kind[0].hydraulic_only is False
    assert spread.by_kind[1].hydraulic_only is True


def test_outlets_that_differ_on_purpose_do_not_vary():
    spread = ask(fed_at(FLOWS)).uniformity
    assert len(spread.by_kind) == len(set(FLOWS))
    assert spread.flow_variation == pytest.approx(0, abs=1e-9)


@settings(max_examples=15)
@given(strategies.zones(supply=strategies.supplies(low=1, high=60)))
def test_shares_stay_shares(zone):
    spread = ask(zone).uniformity
    for kind in (spread, *spread.by_kind):
        assert 0 <= kind.flow_variation <= 100
        for share in (kind.emission_uniformity, kind.christiansen, kind.low_quarter, kind.statistical_uniformity):
            assert share <= 100
        assert kind.low_quarter >= 0
        assert kind.count > 0
