"""Questions by GET that the tests of formats ask."""

from urllib.parse import urlencode

UNIFORM = "/v1/zones/uniform"
PROFILE = "/v1/laterals/profile"

ROWS = {
    "static_pressure": 64,
    "regulator": 25,
    "feed_length": 45,
    "laterals": 4,
    "apart": 3,
    "lateral_pipe": "dripline-17mm",
    "lateral_length": 80,
    "spacing": 2,
    "emitter": "inline-compensating-0.6gph",
}

LINE = {
    "inlet_pressure": 25,
    "pipe": "tubing-0.5in-600-700",
    "length": 60,
    "spacing": 2,
    "emitter": "turbulent-1gph",
}


def uniform(**how):
    return f"{UNIFORM}?{urlencode({**ROWS, **how})}"


def profile(**how):
    return f"{PROFILE}?{urlencode({**LINE, **how})}"
