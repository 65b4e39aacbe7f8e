"""What was filled in, and what is left out, is told with its reason."""

from __future__ import annotations

from typing import Any

import pytest

from service.schemas.answers import CheckAnswer
from service.units.dimensions import System
from tests.zones.flower_plot import Json, ask, bed, outlets, plot, psi

ADJUSTABLE = "adjustable-10gph"


def told(answer: CheckAnswer, what: str) -> list[tuple[str, str]]:
    return [(one.value.said(System.US), one.why.said(System.US)) for one in answer.assumed if one.what == what]


def test_an_adjustable_outlet_without_a_setting_is_told_at_the_flow_it_was_taken_for():
    answer = ask(plot(bed(outlets=outlets(ADJUSTABLE))))
    ((value, why),) = told(answer, "outlets.setting")
    assert value == "10 gph"
    assert ADJUSTABLE in why
    assert "0.5 gph to 10 gph" in why
    assert told(ask(plot(bed(outlets=outlets(ADJUSTABLE, setting=4)))), "outlets.setting") == []


def ring(*more: Json) -> Json:
    """A header whose end joins its own feed."""
    feed = {"id": "feed", "pipe": "pvc-sch40-0.75in", "length": 20}
    return plot(feed, bed(**{"from": "feed", "from_at": 5, "closes_to": {"run": "feed", "at": 20}}), *more)


def test_a_zone_in_which_every_line_closes_says_why_it_has_no_end_of_line_pressure():
    answer = ask(ring())
    assert answer.end_of_line_pressure is None
    ((_, why),) = told(answer, "end_of_line_pressure")
    assert "no line has an end" in why
    open_too = ask(ring({"id": "drain", "from": "bed", "from_at": 30, "pipe": "pe-0.5in", "length": 5}))
    assert open_too.end_of_line_pressure is not None
    assert told(open_too, "end_of_line_pressure") == []


@pytest.mark.parametrize(("bore", "exists"), [(0.35, False), (0.5, True)])
def test_a_lowest_supply_that_no_supply_has_is_left_out_with_the_reason(bore, exists):
    """A starved line would be fed at 600 psi and more, which tells a contractor nothing."""
    answer = ask(plot(bed(pipe={"inside_diameter": bore, "material": "pe"}, length=900)))
    found: Any = answer.regulator.thresholds
    reasons = " ".join(reason.said(System.US) for reason in answer.regulator.reasons)
    lowest = (found.lowest_without_regulator, found.works_with_regulator, found.lowest_with_regulator)
    assert (found.lowest_without_regulator is not None) == exists
    assert ("No supply of up to 290 psi gives every outlet its minimum" in reasons) == (not exists)
    assert all(one is None or psi(one.pressure) <= 290.1 for one in lowest)
