"""The limits at which a check speaks up, against what they are said to be."""

from service.zones import criteria
from service.zones.filter_needs import USUAL_MESH, opening_for_passage
from service.zones.findings.outlets import LINE_CV, POINT_CV
from tests.published.practice_sources import (
    CLEMSON,
    EP405,
    EP458,
    FILTER_ARITHMETIC,
    FILTER_RULE,
    LANDSCAPE_RULE,
    NRCS_430,
    VINEYARD,
    WU_GITLIN,
)
from tests.published.row import Row, agrees, each
from tests.published.sources import FLUSHING_PAGE
from tests.published.test_parts import meter
from tests.published.units import FOOT, MILLIMETRE, POUND_PER_SQUARE_INCH

LIMITS = criteria.Limits()

RULE = "the rule as the service applies it"

TARGETS = [
    # layout, ground, least EU in %
    ("point", "uniform", 90), ("point", "steep", 85), ("line", "uniform", 80), ("line", "steep", 70),
]  # fmt: skip

USABLE = [("0.625in", 15.0), ("0.75in", 22.5), ("1in", 37.5), ("1.5in", 75.0), ("2in", 120.0)]


def least_statistical(word: str) -> float:
    """Least statistical uniformity of a class. [%]"""
    return 100 * next(least for least, called in criteria.STATISTICAL_CLASSES if called == word)


ROWS = [
    Row("velocity in plastic pipe, ft/s", 5.0, lambda: LIMITS.velocity / FOOT, NRCS_430, RULE, rel=1e-9),
    Row("velocity that flushes, ft/s", 1.0, lambda: LIMITS.flushing_velocity / FOOT, FLUSHING_PAGE, RULE, rel=1e-9),
    Row("flow variation that is good, %", 10, lambda: 100 * LIMITS.flow_variation, WU_GITLIN, RULE, rel=1e-9),
    Row("flow variation that fails, %", 20, lambda: 100 * LIMITS.flow_variation_limit, WU_GITLIN, RULE, rel=1e-9),
    *(
        Row(f"emission uniformity asked of {layout} sources on {ground} ground, %", least,
            lambda key=(layout, ground): 100 * criteria.EMISSION_UNIFORMITY[key], EP405,
            "lower end of the range", rel=1e-9)
        for layout, ground, least in TARGETS
    ),
    Row("manufacturing variation of point sources above average", 0.07, lambda: POINT_CV, EP405, RULE, rel=1e-9),
    Row("manufacturing variation of line sources above good", 0.10, lambda: LINE_CV, EP405, RULE, rel=1e-9),
    *(
        Row(f"statistical uniformity that is {word}, %", least, lambda word=word: least_statistical(word), EP458, RULE,
            rel=1e-9)
        for word, least in [("excellent", 95), ("good", 85), ("fair", 75), ("poor", 65)]
    ),
    *(
        Row(f"usable flow of a {size} meter, gpm", gpm,
            lambda size=size: LIMITS.meter_flow_share * meter(size, "safe_max_flow"), LANDSCAPE_RULE, RULE, rel=1e-9)
        for size, gpm in USABLE
    ),
    Row("loss of a meter at 60 psi, psi", 6.0, lambda: 60 * LIMITS.meter_loss_share, LANDSCAPE_RULE, RULE, rel=1e-9),
    Row("supply that wants a regulator, psi", 60.0,
        lambda: criteria.RULE_OF_THUMB_PRESSURE / POUND_PER_SQUARE_INCH, LANDSCAPE_RULE, RULE, rel=1e-9),
    Row("lateral with separate emitters, ft", 100.0, lambda: criteria.SEPARATE_EMITTER_LENGTH / FOOT, LANDSCAPE_RULE,
        RULE, rel=1e-9),
    Row("lateral of compensating dripline, ft", 300.0, lambda: criteria.COMPENSATING_DRIPLINE_LENGTH / FOOT,
        LANDSCAPE_RULE, RULE, rel=1e-9),
    Row("filter opening over passage", 0.1, lambda: LIMITS.filter_opening_share, FILTER_RULE, RULE, rel=1e-9),
    Row("filter for a passage of 0.75 mm, µm", 75.0,
        lambda: opening_for_passage(0.75 * MILLIMETRE, LIMITS.filter_opening_share).opening * 1e6, FILTER_ARITHMETIC,
        "exact arithmetic", rel=1e-9),
    Row("usual screen of drip emitters, mesh", 150, lambda: float(USUAL_MESH), CLEMSON, RULE, rel=1e-9),
    Row("rise of loss that means plugging, psi", 5.0, lambda: criteria.CLEAN_AT_LOSS / POUND_PER_SQUARE_INCH, VINEYARD,
        RULE, rel=1e-9),
]  # fmt: skip


@each(ROWS)
def test_limits_are_those_of_the_rules(row: Row):
    agrees(row)
