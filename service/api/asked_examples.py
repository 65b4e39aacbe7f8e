"""Example values of parameters: those of a whole question for each operation, and a usual value of every other."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

Asked = Mapping[str, Any]

_ROWS: Asked = MappingProxyType(
    {
        "static_pressure": 64,
        "laterals": 8,
        "apart": 3,
        "lateral_pipe": "dripline-17mm",
        "lateral_length": 80,
        "emitter": "inline-compensating-0.6gph",
        "spacing": 1,
    }
)
"""The dahlia rows: eight lines of dripline along one header."""

QUESTIONS: Mapping[str, Asked] = MappingProxyType(
    {
        "askUniformZone": _ROWS,
        "askRegulatorAdvice": _ROWS,
        "askLateralProfile": {
            "inlet_pressure": 25,
            "pipe": "tubing-0.5in-600-700",
            "length": 80,
            "emitter": "inline-compensating-0.6gph",
            "spacing": 1,
        },
        "askFilterAdvice": {"source": "pond", "flow": 5, "emitter": "inline-compensating-0.6gph"},
        "listParts": {"kind": "pipe"},
        "getPart": {"id": "pe-0.75in"},
    }
)
"""By operation the parameters of a question that makes sense together."""

BESIDE: Asked = MappingProxyType(
    {
        "name": "Dahlia rows",
        "pick": "end_of_line_pressure",
        "table": "summary",
        "dpi": 96,
        # of the supply and the head
        "test_flow": 8,
        "residual_pressure": 51,
        "meter_size": "0.75in",
        "temperature": 60,
        "backflow_loss": 9,
        "valve_cv": 9,
        "filter_mesh": 150,
        "filter_loss": 2,
        "dirty_allowance": 3,
        "regulator": 25,
        # of the pipes
        "feed_pipe": "pvc-sch40-0.75in",
        "feed_length": 45,
        "feed_rise": 2,
        "header_pipe": "pe-0.75in",
        "lateral_rise": 1.5,
        "inside_diameter": 0.6,
        "rise": 1.5,
        # of the outlets
        "first_at": 0.5,
        "count": 40,
        "per_place": 2,
        "outlet_flow": 0.6,
        "at_pressure": 15,
        "exponent": 0.5,
        "min_pressure": 8,
        "max_pressure": 50,
        # of a laboratory
        "passage": 0.03,
        "water_temperature": 80,
        "suspended_solids": 60,
        "ph": 7.7,
        "dissolved_solids": 450,
        "manganese": 0.1,
        "iron": 0.3,
        "hydrogen_sulfide": 0.1,
        "bacteria": 12_000,
        "calcium_hardness": 180,
        "alkalinity": 150,
    }
)
"""A usual value of each parameter that a question may have besides, in US units."""
