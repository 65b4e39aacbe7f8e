"""Where the loops of a grid are flushed and aired: by hand from how the ground lies."""

import pytest

from service.takeoff.crests import prominence, turning_points
from tests.takeoff.jobs import INLINE, answer, job, needs, zone

ROW = {"pipe": "dripline-17mm", "length": 30, "outlets": INLINE}


def grid(**lies):
    """An edge and three rows between a header and an exhaust, all lying alike."""
    return zone(
        {"id": "header", "pipe": "pe-0.75in", "length": 6},
        {**ROW, "id": "edge", "from": "header", "from_at": 0, **lies},
        {"id": "exhaust", "from": "edge", "pipe": "pe-0.75in", "length": 6},
        {
            **ROW,
            **lies,
            "id": "row",
            "from": "header",
            "from_at": 2,
            "copies": {"count": 3, "apart": 2},
            "closes_to": {"run": "exhaust", "at": 2},
        },
    )


def over(height):
    return grid(ground=[[0, 0], [15, height], [30, 0]])


def valves(body):
    told = needs(job(body))
    return told.get("air-relief-valve-0.5in", 0), told.get("flush-valve-0.5in", 0)


def where(body):
    return [(note["where"], note["message"]) for note in answer(job(body))["notes"]]


@pytest.mark.parametrize(("rise", "relieved"), [(0, 0), (-0.99, 0), (-1, 0), (-1.01, 1), (1.01, 1), (3, 1)])
def test_a_grid_is_aired_where_it_climbs_more_than_a_foot(rise, relieved):
    assert valves(grid(rise=rise)) == (relieved, 1)


def test_each_row_over_a_ridge_is_aired_at_its_crest():
    told = needs(job(over(5)))
    # Edge and three rows: four crests, each with a tee in the row and an adapter to its valve.
    assert valves(over(5)) == (4, 1)
    assert told["tee-barbed-17mm"] == 4
    assert told["adapter-threaded-barbed-0.5in-17mm"] == 4
    relief = "Air and vacuum relief valve, threaded, 0.5 in"
    assert where(over(5)) == [
        ("#/zones/0/runs/1", f"1 × {relief}: within edge, 15 ft from its start, on a crest or in a hollow."),
        ("#/zones/0/runs/3", f"3 × {relief}: within row, 15 ft from its start, on a crest or in a hollow."),
    ]


def test_a_grid_through_a_valley_is_flushed_at_its_lowest_place_and_aired_at_its_highest():
    told = needs(job(over(-5)))
    assert valves(over(-5)) == (1, 1)
    # The flush valve stands in a tee within the row laid last; relief where the header ends, as on an even slope.
    assert told["tee-barbed-17mm"] == told["adapter-threaded-barbed-0.5in-17mm"] == 1
    assert told["adapter-threaded-barbed-0.5in-0.75in"] == 1
    ((place, message),) = where(over(-5))
    assert place == "#/zones/0/runs/3"
    assert message.startswith("1 × Flush valve, threaded, 0.5 in: within row, 15 ft")
    # Its tap is punched in beside it.
    assert told["pressure-tap-barbed"] == 1


def test_a_ripple_wants_no_valve():
    assert valves(over(0.9)) == (0, 1)
    # A step on a slope that only climbs is no crest: the one relief valve stands at the top.
    assert valves(grid(ground=[[0, 0], [10, 4], [20, 4], [30, 6]])) == (1, 1)


PROFILE = [(0, 0), (4, 6), (6, 6), (9, 4), (12, 6), (20, 3), (25, 5), (30, 9)]


def test_turning_points_and_how_far_crests_stand_out():
    # Up to 6 (level for a while), down to 4, up to 6, down to 3, and up to the end.
    assert turning_points(PROFILE) == [1, 3, 4, 5]
    # Of two crests alike the first stands out by 3 (to 0 before it, to 3 behind the other), the other by 2 before.
    assert [prominence(PROFILE, row) for row in (1, 4)] == [3, 2]
    assert [prominence(PROFILE, row) for row in (3, 5)] == [0, 0]
