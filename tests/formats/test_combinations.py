"""Parameters of presentation in every pair, on every kind of answer: an answer or a plain refusal, never a surprise."""

import json
from itertools import combinations

import pytest

from service.api import examples
from tests.formats.questions import uniform

WORDS = [
    ("plot", "budget"), ("plot", "nonsense"), ("decimal", "comma"), ("format", "csv"), ("format", "png"),
    ("format", "nonsense"), ("table", "findings"), ("table", "nonsense"), ("pick", "flow"), ("pick", "nonsense"),
    ("errors", "text"), ("download", "true"), ("width", "400"), ("units", "metric"),
]  # fmt: skip

GET = [
    uniform(),
    "/v1/laterals/profile?inlet_pressure=25&pipe=dripline-17mm&length=20&spacing=1&emitter=compensating-1gph",
    "/v1/parts",
    "/v1/parts/pe-0.75in",
    "/v1/filters/advice?source=well&flow=5&emitter=compensating-1gph",
]
POST = ["/v1/zones/check", "/v1/regulators/advice"]


def asked_with(pair):
    return "&".join(f"{name}={value}" for name, value in pair)


@pytest.mark.parametrize("accept", ["", "*/*", "application/json"])
@pytest.mark.parametrize("address", [*GET, *POST])
def test_no_pair_of_parameters_is_a_surprise(ask, address, accept):
    headers = {"accept": accept}
    body = json.dumps(examples.request("rain-tank"))
    for pair in combinations(WORDS, 2):
        mark = "&" if "?" in address else "?"
        path = f"{address}{mark}{asked_with(pair)}"
        if address in POST:
            answer = ask("POST", path, content=body, headers={**headers, "content-type": "application/json"})
        else:
            answer = ask("GET", path, headers=headers)
        assert answer.status_code in {200, 406, 422}, (path, answer.status_code, answer.text[:200])
