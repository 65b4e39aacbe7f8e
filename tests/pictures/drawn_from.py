"""Documents that pictures are drawn from, of the example zones and of zones made to be hard to draw."""

from functools import cache

from service.api import examples
from service.schemas.wire import to_wire
from service.schemas.zone import Zone
from service.zones.check import check
from service.zones.response import supply_response
from service.zones.trace import trace

POT = {
    "name": "One pot",
    "supply": {"static_pressure": 40},
    "runs": [
        {"id": "line", "pipe": "pe-0.5in", "length": 3, "outlets": [{"at": 3, "emitter": "compensating-2gph"}]},
    ],
}

MANIFOLD = {
    "name": "Eight lines from one place",
    "supply": {"static_pressure": 50},
    "runs": [
        {"id": "feed", "pipe": "pe-0.75in", "length": 30},
        {
            "id": "line",
            "from": "feed",
            "from_at": 30,
            "pipe": "pe-0.5in",
            "length": 60,
            "outlets": {"emitter": "compensating-1gph", "spacing": 4},
            "copies": {"count": 8, "apart": 0},
        },
    ],
}

MIXED = {
    "name": "Pots and a row",
    "units": "us",
    "supply": {"static_pressure": 45},
    "runs": [
        {"id": "feed", "pipe": "pe-0.75in", "length": 30},
        {
            "id": "pots",
            "from": "feed",
            "pipe": "pe-0.5in",
            "length": 60,
            "outlets": {"emitter": "compensating-1gph", "spacing": 4},
        },
        {
            "id": "row",
            "from": "feed",
            "from_at": 10,
            "pipe": "dripline-17mm",
            "length": 70,
            "outlets": {"emitter": "inline-compensating-0.6gph", "spacing": 2},
        },
    ],
}

MANY = {
    "name": "Sixty rows",
    "supply": {"static_pressure": 60},
    "runs": [
        {"id": "header", "pipe": {"inside_diameter": 4, "material": "pvc"}, "length": 600},
        {
            "id": "row",
            "from": "header",
            "from_at": 1,
            "pipe": "dripline-17mm",
            "length": 30,
            "outlets": {"emitter": "inline-compensating-0.6gph", "spacing": 3},
            "copies": {"count": 60, "apart": 10},
        },
    ],
}

OUTLETS = {"emitter": "inline-compensating-0.6gph", "spacing": 2}

GRIDS = {
    "name": "Two closed grids side by side",
    "supply": {"static_pressure": 50},
    "runs": [
        {"id": "feed", "pipe": "pe-0.75in", "length": 40},
        {
            "id": "head",
            "from": "feed",
            "from_at": 10,
            "pipe": "pe-0.75in",
            "length": 9,
            "copies": {"count": 2, "apart": 5},
        },
        {"id": "edge", "from": "head", "from_at": 0, "pipe": "dripline-17mm", "length": 20, "outlets": OUTLETS},
        {"id": "exhaust", "from": "edge", "pipe": "pe-0.75in", "length": 9},
        {
            "id": "row",
            "from": "head",
            "from_at": 3,
            "pipe": "dripline-17mm",
            "length": 20,
            "outlets": OUTLETS,
            "copies": {"count": 3, "apart": 3},
            "closes_to": {"run": "exhaust", "at": 3},
        },
    ],
}

UPHILL = {
    "name": "More hill than pressure",
    "supply": {"static_pressure": 10},
    "runs": [{"id": "bank", "pipe": "pe-0.75in", "length": 100, "rise": 30, "outlets": OUTLETS}],
}

RING = {
    "name": "Ring around a bed",
    "supply": {"static_pressure": 20},
    "runs": [
        {"id": "feed", "pipe": "pe-0.5in", "length": 2},
        {
            "id": "ring",
            "from": "feed",
            "from_at": 2,
            "pipe": "pe-0.5in",
            "length": 90,
            "outlets": {"emitter": "turbulent-1gph", "spacing": 2},
            "closes_to": {"run": "feed", "at": 2},
        },
    ],
}

COMB = {
    "name": "Long main with rows at its start",
    "supply": {"static_pressure": 12},
    "runs": [
        {"id": "main", "pipe": "pe-0.5in", "length": 200},
        {
            "id": "row",
            "from": "main",
            "from_at": 10,
            "pipe": "pe-0.5in",
            "length": 150,
            "rise": 5,
            "outlets": {"emitter": "turbulent-1gph", "spacing": 1},
            "copies": {"count": 6, "apart": 5},
        },
    ],
}

ARMS = {
    "name": "Two arms, one down the slope",
    "supply": {"static_pressure": 45},
    "runs": [
        {"id": "feed", "pipe": "pe-0.75in", "length": 60},
        {"id": "up", "from": "feed", "pipe": "pe-0.5in", "length": 80, "rise": 20, "outlets": OUTLETS},
        {"id": "down", "from": "feed", "pipe": "pe-0.5in", "length": 80, "rise": -25, "outlets": OUTLETS},
    ],
}

MADE = {
    "pot": POT,
    "manifold": MANIFOLD,
    "mixed": MIXED,
    "many": MANY,
    "grids": GRIDS,
    "uphill": UPHILL,
    "ring": RING,
    "comb": COMB,
    "arms": ARMS,
}

NAMES = (*examples.names(), *MADE)

MAKERS = {"profile": trace, "budget": check, "response": supply_response, "plan": trace}


def written(name):
    """A zone as a caller writes it."""
    return MADE[name] if name in MADE else examples.request(name)


def made_for(plot, zone):
    """What a plot of a zone, as a caller writes it, is drawn from."""
    read = Zone.model_validate(zone)
    return to_wire(MAKERS[plot](read), read.units)


@cache
def document(plot, name):
    """The same of a zone by name."""
    return made_for(plot, written(name))


@cache
def answer(name):
    """The check of a zone by name, with pressures along its runs."""
    zone = Zone.model_validate(written(name)).in_detail()
    return to_wire(check(zone), zone.units)
