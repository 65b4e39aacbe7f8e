"""Where the service rightly differs from the handbooks: by how much, why, and that their way gives their number.

Handbooks size laterals by formulas of turbulent flow, and by a factor that takes all outlets to give the same flow. The
service computes what the water does. Each row has the handbook's number, ours, and the handbook's again by its own law
in the service's solver, so that nothing but the law is between them.
"""

from collections.abc import Callable
from dataclasses import replace
from functools import partial

import numpy as np

from service.hydraulics.friction import FrictionLaw
from service.hydraulics.water import dynamic_viscosity
from tests.networks import Drawing, Kind
from tests.published.laterals import Lateral, constant
from tests.published.pipes import darcy_weisbach, hazen_williams
from tests.published.row import Provenance, Row, Source, Way, agrees, each
from tests.published.sources import LATERALS, PVC_FLOW_DERIVED, SUM_OF_POWERS
from tests.published.test_laterals import CASES, TUBING, US_FORM, blasius
from tests.published.units import FOOT, GALLON_PER_HOUR, GALLON_PER_MINUTE, INCH, LITRE_PER_HOUR, MILLIMETRE

HANDBOOK_LATERAL = Source(
    title="Friction of the full flow times the factor of Christiansen",
    author="J. E. Christiansen",
    year=1942,
    locator="method of all handbooks; numbers computed from it, with the exact sum for the factor",
    provenance=Provenance.DERIVED,
)

OLD_WATER = Source(
    title="Encyclopedia of Environmental Science and Engineering, after the International Critical Tables 1928-1929",
    author=None,
    year=None,
    locator="appendix table 2, page 1332, viscosity",
    provenance=Provenance.FOUND,
    address="issuhub.com/view/index/3879?pageIndex=1357",
)


def lost(lateral: Lateral) -> float:
    """From the inlet to the last outlet on level ground. [m]"""
    return lateral.inlet_head - float(lateral.solve().head[0, lateral.outlets - 1])


def own_law(drawing: Drawing) -> FrictionLaw:
    """Darcy-Weisbach in every regime, as the service takes it where nothing else is asked for."""
    return drawing.network().friction


def exact_factor(exponent: float, outlets: int) -> float:
    """Σ k^m / N^(m+1)."""
    return float((np.arange(1, outlets + 1) ** exponent).sum() / outlets ** (exponent + 1))


def by_blasius(lateral: Lateral, flow: float) -> float:
    """f = 0.3164/Re^0.25 of the full flow times the factor at m = 1.75. [m]"""
    full, bore = lateral.outlets * flow, lateral.bore
    velocity = full / (np.pi / 4 * bore**2)
    gradient = 0.3164 / (velocity * bore / 1.0034e-6) ** 0.25 / bore * velocity**2 / (2 * 9.80665)
    return exact_factor(1.75, lateral.outlets) * gradient * float(lateral.lengths.sum())


def by_hazen_williams(lateral: Lateral, flow: float, smoothness: float) -> float:
    """US form of the full flow times the factor at m = 1.852. [m]"""
    full, length = lateral.outlets * flow, float(lateral.lengths.sum())
    gradient = US_FORM * full**1.852 / (smoothness**1.852 * lateral.bore**4.8655)
    return exact_factor(1.852, lateral.outlets) * gradient * length


USUAL = replace(CASES["metric, Blasius, constant flow"], law=own_law)
"""100 outlets of 2 L/h, 0.5 m apart on 14 mm: Re 5040 at the inlet, laminar over its last two fifths."""

SLOW = Lateral(
    inlet_head=12.0,
    outlets=40,
    spacing=0.5,
    first=0.5,
    kind=constant(LITRE_PER_HOUR),
    bore=14 * MILLIMETRE,
    law=own_law,
)
"""40 outlets of 1 L/h: Re 1010 at the inlet, laminar all along."""


def square_root(outlets: int) -> Lateral:
    """Emitters of 1 gph at 20 psi, 1 ft apart on 0.62 in. tubing of C 140, 20 psi at the inlet."""
    kind = Kind(GALLON_PER_HOUR, at=46.2 * FOOT, exponent=0.5)
    return Lateral(inlet_head=46.2 * FOOT, outlets=outlets, spacing=FOOT, first=FOOT, kind=kind, **TUBING)


def of_equal_flow(lateral: Lateral) -> Lateral:
    """The same lateral with every outlet giving its nominal flow, on a supply that can feed it."""
    return replace(lateral, kind=constant(GALLON_PER_HOUR), inlet_head=200.0)


def factor_where_laminar(outlets: int) -> float:
    """Loss of a lateral that is laminar all along over that of its full flow, by the service. [-]"""

    def friction(count: int) -> float:
        spacing, flow = 0.5 * outlets / count, 5e-6 / count
        return lost(
            Lateral(
                inlet_head=50.0,
                outlets=count,
                spacing=spacing,
                first=spacing,
                kind=constant(flow),
                bore=0.016,
                law=own_law,
            )
        )

    return friction(outlets) / friction(1)


def in_100_feet(law: Callable[..., float], bore: float, gpm: float, **more: float) -> float:
    """[ft]"""
    return law(length=100.0, bore=bore * INCH, flow=gpm * GALLON_PER_MINUTE, **more)


SMALL_TUBING = [
    # id in., gpm, ft per 100 ft by Hazen-Williams at C 140
    (0.52, 0.5, 0.745312), (0.52, 2, 9.713), (0.6, 0.5, 0.371499), (0.6, 2, 4.84142), (0.62, 0.5, 0.316717),
    (0.62, 2, 4.12749), (0.7, 0.5, 0.17548), (0.7, 2, 2.28688), (0.82, 0.5, 0.0812627), (0.82, 2, 1.05903),
]  # fmt: skip

OLD_VISCOSITIES = [(5, 1.5188), (10, 1.3097), (15, 1.1447), (20, 1.0087), (25, 0.8949), (30, 0.8004)]
"""°C, mPa s"""

TURBULENT_ONLY = "turbulent all along for the handbook; in truth Re falls to nothing, and the last outlets run laminar"
ALL_LAMINAR = "laminar all along, where a formula of turbulent flow asks for too little"
LAMINAR_FACTOR = "where flow is laminar friction goes with Q and not with Q^1.75, and the factor is (N + 1) / 2N"
EQUAL = "the handbook takes each outlet for its nominal flow; those far off have less head, give less, and so lose less"
LAW = "another law of friction: Hazen-Williams has no viscosity and is far from its range in half-inch tubing"

ROWS = [
    Row("friction of 100 outlets of 2 L/h on 14 mm, m", 0.3283956, partial(lost, USUAL), LATERALS, TURBULENT_ONLY,
        rel=0.025, way=Way("by Blasius all along", partial(lost, replace(USUAL, law=blasius)), rel=1e-6)),
    Row("friction of 40 outlets of 1 L/h on 14 mm, m", by_blasius(SLOW, LITRE_PER_HOUR), partial(lost, SLOW),
        HANDBOOK_LATERAL, ALL_LAMINAR, rel=0.55,
        way=Way("by Blasius all along", partial(lost, replace(SLOW, law=blasius)), rel=1e-6)),
    *(
        Row(f"factor of {n} outlets at m 1.75, all laminar", exact_factor(1.75, n), partial(factor_where_laminar, n),
            SUM_OF_POWERS, LAMINAR_FACTOR, rel=0.37,
            way=Way("as the sum of powers", partial(exact_factor, 1.75, n), rel=1e-9))
        for n in (5, 10, 50)
    ),
    *(
        Row(f"friction of {n} emitters of 1 gph on 0.62 in., ft",
            by_hazen_williams(square_root(n), GALLON_PER_HOUR, 140.0) / FOOT, lambda n=n: lost(square_root(n)) / FOOT,
            HANDBOOK_LATERAL, EQUAL, rel=rel,
            way=Way("with equal outflow", lambda n=n: lost(of_equal_flow(square_root(n))) / FOOT, rel=1e-6))
        for n, rel in ((50, 0.005), (150, 0.06), (300, 0.3))
    ),
    *(
        Row(f"{bore} in. tubing at {gpm} gpm by Hazen-Williams, C 140, ft", loss,
            lambda a=bore, b=gpm: in_100_feet(darcy_weisbach, a, b, roughness=1.5e-6, viscosity=1.0034e-6),
            PVC_FLOW_DERIVED, LAW, rel=0.21,
            way=Way("by the service's Hazen-Williams",
                    lambda a=bore, b=gpm: in_100_feet(hazen_williams, a, b, smoothness=140.0), rel=0.01))
        for bore, gpm, loss in SMALL_TUBING
    ),
    *(
        Row(f"viscosity at {celsius} °C as tabled in 1929, mPa s", printed,
            lambda t=celsius: dynamic_viscosity(t) * 1e3, OLD_WATER,
            "older measurements lie up to 0.7 % above those that IAPWS rests on", rel=0.008)
        for celsius, printed in OLD_VISCOSITIES
    ),
]  # fmt: skip


@each(ROWS)
def test_handbooks_differ_by_no_more_than_their_assumptions(row: Row):
    agrees(row)
