"""The flower plot behind the village hall, as a body to change one thing in."""

from copy import deepcopy
from typing import Any

from pydantic import ValidationError

GONE = object()
"""In place of a value: the field is left out."""

DAHLIAS: dict[str, Any] = {
    "name": "Flower plot, dahlia rows",
    "units": "us",
    "water": {"source": "municipal", "temperature": 60},
    "supply": {
        "static_pressure": 64,
        "flow_test": {"flow": 8, "residual_pressure": 51},
        "meter_size": "0.75in",
    },
    "head": [
        {"device": "backflow_preventer", "kind": "reduced_pressure", "height": 1, "loss": {"table": [[2, 9], [8, 10]]}},
        {"device": "valve", "loss": {"cv": 9}, "flow_range": [0.25, 12]},
        {"device": "filter", "mesh": 150, "loss": {"table": [[2, 0.4], [5, 1.9], [8, 4.6]]}, "dirty_allowance": 3},
        {
            "device": "regulator",
            "set_pressure": 25,
            "flow_range": [0.5, 7],
            "loss": {"point": {"flow": 7, "loss": 5}},
        },
    ],
    "runs": [
        {"id": "feed", "pipe": "pvc-sch40-0.75in", "length": 45, "rise": 2, "fittings": {"elbow_90": 3}},
        {"id": "header", "from": "feed", "pipe": "pe-0.75in", "length": 21},
        {
            "id": "row",
            "from": "header",
            "from_at": 0,
            "pipe": "dripline-17mm",
            "length": 80,
            "outlets": {"emitter": "inline-compensating-0.6gph", "spacing": 1, "first_at": 0.5},
            "copies": {"count": 8, "apart": 3},
        },
    ],
    "options": {"friction": "darcy_weisbach", "detail": "runs", "filter_state": "due"},
}

QUINCE: dict[str, Any] = {
    "id": "quince",
    "from": "feed",
    "from_at": 30,
    "pipe": "pe-0.5in",
    "length": 40,
    "ground": [[0, 0], [25, 3], [40, 3.5]],
    "outlets": [
        {"at": 10, "emitter": "compensating-2gph", "per_place": 2},
        {
            "at": 22,
            "emitter": {"flow": 2, "pressure_range": [8, 50], "variation": 0.05},
            "per_place": 2,
            "tube": {"pipe": "tubing-0.25in", "length": 3, "rise": 0.5},
        },
    ],
}


def changed(path: str, value: Any, body: Any = DAHLIAS) -> Any:
    """The body with a value put at a path such as `runs/2/length`, or taken away from there."""
    body = deepcopy(body)
    *way, last = [int(step) if step.isdigit() else step for step in path.split("/")]
    here = body
    for step in way:
        here = here[step]
    if value is GONE:
        del here[last]
    elif isinstance(here, list) and last == len(here):
        here.append(value)
    else:
        here[last] = value
    return body


def faults_of(model: Any, body: Any) -> dict[str, tuple[str, str]]:
    """What a model refuses in a body: detail and accepted, by path."""
    try:
        model.model_validate(body)
    except ValidationError as refused:
        return {
            "/".join(map(str, fault["loc"])): (fault["msg"], fault.get("ctx", {}).get("accepted", ""))
            for fault in refused.errors()
        }
    return {}
