"""Laterals and a subunit worked out to many digits, computed by the source's own friction law and by ours.

None of these is a published example: no complete one could be read. They were solved for this project by two
independent methods, shooting on the end head and a simultaneous root find, which agree to twelve digits.
"""

from collections.abc import Callable
from functools import cache, partial

import numpy as np
import pytest

from service.hydraulics.arrays import Floats
from service.hydraulics.friction import Pipes, friction_law
from service.hydraulics.solve import FixedHead, Solution, solve
from tests.networks import Drawing, Kind, Sketch
from tests.published.laterals import Lateral, constant
from tests.published.pipes import PowerLaw
from tests.published.row import Row, agrees, each
from tests.published.sources import LATERAL_RULE, LATERALS
from tests.published.units import FOOT, GALLON_PER_HOUR, GALLON_PER_MINUTE, INCH, LITRE_PER_HOUR, MILLIMETRE

US_FORM = 0.002083 * 100**1.852 / GALLON_PER_MINUTE**1.852 * INCH**4.8655
"""hf = 0.002083 L (100/C)^1.852 Q^1.852 / d^4.8655 in gpm and inches, any unit of length, written in SI."""


def hazen_williams_us(drawing: Drawing, smoothness: float | Floats) -> PowerLaw:
    """The friction law that the US cases were worked with."""
    return PowerLaw(US_FORM * drawing.length / (smoothness**1.852 * drawing.bore**4.8655), 1.852)


def blasius(drawing: Drawing) -> PowerLaw:
    """f = 0.3164/Re^0.25 in every regime, at 1.0034e-6 m²/s."""
    area = np.pi / 4 * drawing.bore**2
    per_flow = 0.3164 * (1.0034e-6 * area / drawing.bore) ** 0.25 * drawing.length / drawing.bore
    return PowerLaw(per_flow / (2 * 9.80665 * area**2), 1.75)


TUBING = {"bore": 0.62 * INCH, "law": partial(hazen_williams_us, smoothness=140.0)}
GALLON_AN_HOUR = Kind(GALLON_PER_HOUR, at=34.65 * FOOT, exponent=0.5)
METRIC = {
    "inlet_head": 12.0,
    "outlets": 100,
    "spacing": 0.5,
    "first": 0.5,
    "bore": 14 * MILLIMETRE,
    "kind": Kind(0.6324555 * LITRE_PER_HOUR, at=1.0, exponent=0.5),
    "law": lambda drawing: drawing.network().friction,
}

CASES = {
    "constant flow, level": Lateral(
        inlet_head=57.75 * FOOT, outlets=100, spacing=FOOT, first=FOOT, kind=constant(0.9 * GALLON_PER_HOUR), **TUBING
    ),
    "constant flow, first outlet at half": Lateral(
        inlet_head=57.75 * FOOT,
        outlets=100,
        spacing=FOOT,
        first=0.5 * FOOT,
        kind=constant(0.9 * GALLON_PER_HOUR),
        **TUBING,
    ),
    "orifices, level": Lateral(
        inlet_head=46.2 * FOOT, outlets=100, spacing=1.5 * FOOT, first=1.5 * FOOT, kind=GALLON_AN_HOUR, **TUBING
    ),
    "orifices, 3 % downhill": Lateral(
        inlet_head=46.2 * FOOT,
        outlets=100,
        spacing=1.5 * FOOT,
        first=1.5 * FOOT,
        kind=GALLON_AN_HOUR,
        slope=-0.03,
        **TUBING,
    ),
    "orifices, 2 % uphill": Lateral(
        inlet_head=46.2 * FOOT,
        outlets=100,
        spacing=1.5 * FOOT,
        first=1.5 * FOOT,
        kind=GALLON_AN_HOUR,
        slope=0.02,
        **TUBING,
    ),
    "metric, Darcy-Weisbach": Lateral(**METRIC),
    "metric, Darcy-Weisbach, barbs of 0.136 m": Lateral(**METRIC, connection=0.136),
    "metric, Blasius, constant flow": Lateral(**(METRIC | {"kind": constant(2 * LITRE_PER_HOUR), "law": blasius})),
}


@cache
def solution(case: str) -> Solution:
    return CASES[case].solve()


def heads(case: str) -> Floats:
    """Pressure head at each outlet. (n,) [m]"""
    lateral = CASES[case]
    return solution(case).head[0, : lateral.outlets] - np.cumsum(lateral.lengths) * lateral.slope


def flows(case: str) -> Floats:
    """(n,) [m³/s]"""
    return solution(case).discharge.outlet_flow[0]


FIGURES: dict[str, Callable[[str], float]] = {
    "inlet flow, gpm": lambda case: float(solution(case).inflow[0]) / GALLON_PER_MINUTE,
    "inlet flow, L/h": lambda case: float(solution(case).inflow[0]) / LITRE_PER_HOUR,
    "friction, ft": lambda case: (CASES[case].inlet_head - heads(case)[-1]) / FOOT,
    "friction, m": lambda case: CASES[case].inlet_head - heads(case)[-1],
    "end head, ft": lambda case: heads(case)[-1] / FOOT,
    "end head, m": lambda case: heads(case)[-1],
    "least head, ft": lambda case: heads(case).min() / FOOT,
    "outlet with the least head": lambda case: float(heads(case).argmin()) + 1,
    "first flow, gph": lambda case: flows(case)[0] / GALLON_PER_HOUR,
    "last flow, gph": lambda case: flows(case)[-1] / GALLON_PER_HOUR,
    "mean flow, gph": lambda case: flows(case).mean() / GALLON_PER_HOUR,
    "first flow, L/h": lambda case: flows(case)[0] / LITRE_PER_HOUR,
    "last flow, L/h": lambda case: flows(case)[-1] / LITRE_PER_HOUR,
    "flow variation": lambda case: 1 - flows(case).min() / flows(case).max(),
    "coefficient of variation": lambda case: flows(case).std() / flows(case).mean(),
    "low quarter over mean": lambda case: np.sort(flows(case))[:25].mean() / flows(case).mean(),
}

EXPECTED = {
    "constant flow, level": {"inlet flow, gpm": 1.5, "friction, ft": 0.8616244, "end head, ft": 56.888376},
    "constant flow, first outlet at half": {"friction, ft": 0.8495109, "end head, ft": 56.900489},
    "orifices, level": {
        "inlet flow, gpm": 1.89351392, "end head, ft": 44.2205208, "least head, ft": 44.2205208,
        "outlet with the least head": 100, "first flow, gph": 1.15400118, "last flow, gph": 1.12969266,
        "mean flow, gph": 1.13610835, "flow variation": 0.021064554, "coefficient of variation": 0.00621196728,
        "low quarter over mean": 0.994461446,
    },
    "orifices, 3 % downhill": {
        "inlet flow, gpm": 1.93932823, "end head, ft": 48.6074131, "least head, ft": 46.1053062,
        "outlet with the least head": 14, "first flow, gph": 1.15453208, "last flow, gph": 1.18440337,
        "mean flow, gph": 1.16359694, "flow variation": 0.0260779445, "coefficient of variation": 0.00834557634,
        "low quarter over mean": 0.991602328,
    },
    "orifices, 2 % uphill": {
        "inlet flow, gpm": 1.86213466, "end head, ft": 41.2964522, "least head, ft": 41.2964522,
        "outlet with the least head": 100, "first flow, gph": 1.15364731, "last flow, gph": 1.09170362,
        "mean flow, gph": 1.1172808, "flow variation": 0.0536937847, "coefficient of variation": 0.0158491309,
        "low quarter over mean": 0.981460984,
    },
    "metric, Darcy-Weisbach": {
        "inlet flow, L/h": 216.547079, "end head, m": 11.6288512, "first flow, L/h": 2.18994964,
        "last flow, L/h": 2.15674302, "flow variation": 0.0151631863,
    },
    "metric, Darcy-Weisbach, barbs of 0.136 m": {
        "inlet flow, L/h": 215.870664, "end head, m": 11.5310256, "first flow, L/h": 2.18970009,
        "last flow, L/h": 2.14765226, "flow variation": 0.0192025495,
    },
    "metric, Blasius, constant flow": {"friction, m": 0.3283956, "end head, m": 11.671604},
}  # fmt: skip

ROWS = [
    Row(f"{figure}: {case}", value, partial(FIGURES[figure], case), LATERALS, "eight digits computed", rel=1e-6)
    for case, figures in EXPECTED.items()
    for figure, value in figures.items()
]


@each(ROWS)
def test_laterals_agree_with_two_independent_solutions(row: Row):
    agrees(row)


SUBUNIT = {
    "inlet flow, gpm": 4.770327,
    "head at lateral 1, ft": 45.744702,
    "head at lateral 2, ft": 45.654403,
    "head at lateral 3, ft": 45.601419,
    "head at lateral 4, ft": 45.57642,
    "head at lateral 5, ft": 45.569495,
    "farthest emitter, ft": 45.286537,
    "least flow, gph": 1.14322823,
    "largest flow, gph": 1.1487988,
    "mean flow, gph": 1.14487848,
    "emission uniformity, %": 93.5150108,
}


@cache
def subunit() -> dict[str, float]:
    """Five laterals of 50 emitters on a manifold: 10 ft to the first, 3 ft between them."""
    sketch = Sketch()
    before = 0
    for length in (10, 3, 3, 3, 3):
        tee = sketch.junction()
        sketch.chain(before, tee, length=[length * FOOT], bore=0.824 * INCH, smoothness=150.0)
        before = tee
    for tee in range(1, 6):
        lateral = sketch.chain(tee, length=np.full(50, 1.5 * FOOT), bore=0.62 * INCH, smoothness=140.0)
        for at in range(50):
            sketch.outlet(GALLON_AN_HOUR, chain=lateral, at=at)
    drawing = sketch.drawing()
    network = drawing.network(friction=hazen_williams_us(drawing, drawing.smoothness))
    solved = solve(network, FixedHead(np.array([46.2 * FOOT])))
    flow = solved.discharge.outlet_flow[0] / GALLON_PER_HOUR
    return {
        "inlet flow, gpm": float(solved.inflow[0]) / GALLON_PER_MINUTE,
        **{f"head at lateral {tee}, ft": solved.head[0, drawing.inner + tee] / FOOT for tee in range(1, 6)},
        "farthest emitter, ft": solved.head[0, drawing.inner - 1] / FOOT,
        "least flow, gph": flow.min(),
        "largest flow, gph": flow.max(),
        "mean flow, gph": flow.mean(),
        "emission uniformity, %": 100 * (1 - 1.27 * 0.05) * flow.min() / flow.mean(),
    }


SUBUNIT_ROWS = [
    Row(f"{figure} of the subunit", value, lambda figure=figure: subunit()[figure], LATERALS, "eight digits", rel=1e-7)
    for figure, value in SUBUNIT.items()
]


@each(SUBUNIT_ROWS)
def test_a_subunit_agrees_with_two_independent_solutions(row: Row):
    agrees(row)


def mean_head(case: str) -> float:
    """Head at which an outlet gives the mean flow. [m]"""
    return 34.65 * FOOT * (flows(case).mean() / GALLON_PER_HOUR) ** 2


RULE = "a rule of thumb for one pipe size on level ground"


RULE_ROWS = [
    Row("inlet head by the three quarters rule, ft", 46.2,
        lambda: (0.75 * solution_drop() + mean_head("orifices, level")) / FOOT, LATERAL_RULE, RULE, abs=0.02),
    Row("end head by the three quarters rule, ft", 44.2205,
        lambda: (mean_head("orifices, level") - 0.25 * solution_drop()) / FOOT, LATERAL_RULE, RULE, abs=0.02),
]  # fmt: skip


@each(RULE_ROWS)
def test_the_three_quarters_rule_holds(row: Row):
    agrees(row)


def solution_drop() -> float:
    return CASES["orifices, level"].inlet_head - heads("orifices, level")[-1]


def test_our_hazen_williams_differs_from_the_us_form_by_its_constants_alone():
    """10.67 and 4.8704 against 0.2083 and 4.8655: 0.7 % of the friction of this tubing."""

    def ours(drawing: Drawing) -> object:
        smoothness = np.full_like(drawing.bore, 140.0)
        pipes = Pipes(drawing.length, drawing.bore, drawing.roughness, smoothness, drawing.local)
        return friction_law(pipes, law="hazen_williams", viscosity=1e-6)

    lateral = CASES["orifices, level"]
    changed = Lateral(**{name: getattr(lateral, name) for name in lateral.__slots__} | {"law": ours})
    drop = lateral.inlet_head - float(changed.solve().head[0, -2])
    assert drop == pytest.approx(solution_drop(), rel=0.01)
    assert drop != pytest.approx(solution_drop(), rel=0.001)
