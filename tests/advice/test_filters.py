"""Which filter: fineness, types, bodies, cleaning, what stands there already."""

from __future__ import annotations

from typing import Any

import pytest

from service.schemas.advice_answers import FilterAdviceAnswer
from service.schemas.filtration import Filtration
from service.schemas.head_answers import FilterAnswer
from service.units.dimensions import System, from_si
from service.zones.advice import filter_advice
from service.zones.criteria import COMMON_PRACTICE
from service.zones.filter_train import FILTER_TYPE_SOURCE
from tests.advice.supplies import Json, ask
from tests.zones.flower_plot import FILTER, PREVENTER, REGULATOR, STEADY, VALVE, bed, plot, psi

MICROMETRE = 1e-6


def advice(*, flow: float = 2, passage: float | None = 0.04, emitter: Any = None, **water: Any) -> FilterAdviceAnswer:
    body = {"water": water, "flow": flow, **({"emitter": emitter} if emitter else {"passage": passage})}
    return filter_advice(Filtration.model_validate(body))


def of_head(*filters: Json, **changed: Any) -> FilterAnswer:
    return ask(plot(head=[PREVENTER, VALVE, *filters, REGULATOR], **changed)).filter


def reasons(answer: FilterAnswer) -> list[str]:
    return [reason.said(System.US) for reason in answer.reasons]


def um(opening: float | None) -> float:
    assert opening is not None
    return opening / MICROMETRE


# ---- how fine ----


def test_a_tenth_of_the_passage_is_taken_where_the_part_names_no_filter():
    """0.75 mm of passage: 75 µm, 200 mesh. Rule of the USDA National Engineering Handbook, from memory; arithmetic."""
    answer = advice(passage=0.75 / 25.4)
    assert um(answer.opening) == pytest.approx(75)
    assert answer.mesh == 200
    assert [one.what for one in answer.assumed if one.what == "opening"] == ["opening"]


def test_the_parts_own_filter_comes_first():
    answer = advice(emitter={**STEADY, "passage": 0.02, "filter_opening": 130})
    assert um(answer.opening) == pytest.approx(130)
    assert "asks for a filter of 130 µm or finer" in reasons(answer)[0]
    assert not [one for one in answer.assumed if one.what == "opening"]


def test_nothing_stated_is_150_mesh_and_said_to_be_assumed():
    """Smith, Clemson Cooperative Extension, Landscape Irrigation Equipment Part 5: 150 mesh is usual."""
    bare = {key: value for key, value in STEADY.items() if key != "passage"}
    answer = advice(emitter=bare)
    assert (answer.mesh, um(answer.opening)) == (150, pytest.approx(100))
    assert [one.what for one in answer.assumed if one.what == "emitter.passage"] == ["emitter.passage"]


def test_the_most_delicate_outlet_of_a_zone_decides():
    mixed = [{"at": 10, "emitter": STEADY}, {"at": 20, "emitter": {**STEADY, "passage": 0.031}}]
    assert um(ask(plot(bed(outlets=mixed))).filter.opening) == pytest.approx(0.1 * 0.031 * 25_400)


def test_an_outlet_that_says_nothing_counts_with_what_is_usual():
    """Smith, Clemson Cooperative Extension, Landscape Irrigation Equipment Part 5: 150 mesh, 100 µm, is usual."""
    silent = {**{key: value for key, value in STEADY.items() if key != "passage"}, "flow": 2}
    for beside, opening, assumed in ((0.05, 100, True), (0.031, 0.1 * 0.031 * 25_400, False)):
        mixed = [{"at": 10, "emitter": {**STEADY, "passage": beside}}, {"at": 20, "emitter": silent}]
        answer = ask(plot(bed(outlets=mixed)))
        assert um(answer.filter.opening) == pytest.approx(opening, rel=1e-6)
        assert any("An outlet states neither its passage" in one for one in reasons(answer.filter)) is assumed
        (listed,) = [one for one in answer.assumed if one.what == "emitter.passage"]
        assert "100 µm" in listed.value.said(System.US)
        assert "2 gph" in listed.why.said(System.US)
    assert not [one for one in ask(plot()).assumed if one.what == "emitter.passage"]


def test_below_75_micrometres_is_said_to_clog_fast():
    """Common practice, no source."""
    fine, coarse = advice(passage=0.029), advice(passage=0.030)
    assert any("finer than 75 µm, which clogs fast" in one for one in reasons(fine))
    assert not any("clogs fast" in one for one in reasons(coarse))


# ---- which type ----

# Irrigation Filters (university course page 2.5); Smith, Clemson HGIC, Landscape Irrigation Equipment Part 5;
# Groundwater, University of California ANR: surface water wants media or disc, sandy wells a separator first, then a
# screen or disc. Municipal, clean well, rain, reclaimed and grey water: common practice, no source.
TYPES = [
    ("municipal", "screen or disc"),
    ("well", "screen or disc"),
    ("sandy_well", "separator, then screen or disc"),
    ("pond", "media or disc, then screen"),
    ("lake", "media or disc, then screen"),
    ("stream", "media or disc, then screen"),
    ("rainwater", "screen or disc"),
    ("reclaimed", "disc or media"),
    ("grey", "disc or media"),
]


@pytest.mark.parametrize(("source", "words"), TYPES)
def test_the_source_decides_the_type(source, words):
    assert advice(source=source).type == words


# Moderate for what is suspended, severe for what has yet to fall out or to grow: common practice, no source. Classes
# are those of the published tables, tests/published/test_water_quality.py.
HEAVY = [
    {"suspended_solids": 50},
    {"iron": 1.6},
    {"manganese": 1.6},
    {"hydrogen_sulfide": 2.1},
    {"bacteria": 50_100},
]
LIGHT = [
    {"suspended_solids": 49},
    {"iron": 0.1},
    {"manganese": 1.5},
    {"hydrogen_sulfide": 2},
    {"bacteria": 50_000},
    {"dissolved_solids": 3000},
]


@pytest.mark.parametrize("found", HEAVY)
def test_what_clogs_a_screen_fast_wants_media_or_disc_before_it(found):
    answer = advice(source="well", **found)
    assert answer.type == "media or disc, then screen"
    (what,) = found
    assert any(f"clogs fast on this water ({what.replace('_', ' ')})" in one for one in reasons(answer))
    assert advice(source="sandy_well", **found).type == "separator, then media or disc, then screen"


@pytest.mark.parametrize("found", LIGHT)
def test_a_little_of_it_is_left_to_a_screen(found):
    answer = advice(source="municipal", **found)
    assert answer.type == "screen or disc"
    assert not any("A plain screen" in one for one in reasons(answer))


# What lacks in the head, why, and who says so.
LACKING = [
    ({"source": "pond"}, "Water of this source (pond) wants media or disc, then screen.", FILTER_TYPE_SOURCE),
    ({"source": "grey"}, "Water of this source (grey) wants disc or media.", COMMON_PRACTICE),
    ({"source": "well", "iron": 3}, "A plain screen clogs fast on this water (iron)", COMMON_PRACTICE),
    (
        {"source": "sandy_well", "iron": 3},
        "Water of this source (sandy well) wants separator, then",
        FILTER_TYPE_SOURCE,
    ),
]


@pytest.mark.parametrize(("water", "told", "source"), LACKING)
def test_a_filter_that_lacks_is_told_with_its_own_reason_and_source(water, told, source):
    answer = ask(plot(water={"temperature": 68, **water}))
    (finding,) = [one for one in answer.findings if one.code == "filter-type-unsuited"]
    assert finding.message.said(System.US).startswith(told)
    assert finding.source == source
    assert sum(told in one for one in reasons(answer.filter)) == 1
    assert any(one.startswith("The head has no ") for one in reasons(answer.filter))


@pytest.mark.parametrize(
    ("source", "told"), [("reclaimed", "Reclaimed water needs leave"), ("grey", "Grey water needs leave")]
)
def test_grey_and_reclaimed_water_are_cautioned_before_all_else(source, told):
    answer = advice(source=source)
    assert reasons(answer)[0].startswith(told)
    assert answer.cautions[0].topic == "non-potable water"
    zone = ask(plot(water={"source": source, "temperature": 68}))
    assert zone.cautions[0].topic == "non-potable water"
    assert reasons(zone.filter)[0].startswith(told)


def test_where_each_stands_is_told():
    assert "after the valve and before the regulator" in advice().placement.said(System.US)
    assert (
        advice(source="sandy_well")
        .placement.said(System.US)
        .startswith("Put the separator at the well, before all else")
    )


# ---- which body ----

# The smallest body of the preferred type that is made for the flow and loses at most 3 psi: common practice, no source.
BODIES = [
    (2, ["screen-0.75in-150mesh"]),  # 0.4 psi
    (6, ["screen-0.75in-150mesh"]),  # 2.8 psi between its points 5, 1.9 and 8, 4.6
    (6.4, ["screen-1in-150mesh"]),  # 3.16 psi in the smaller one
    (14, ["screen-1in-150mesh"]),  # 2.9 psi between 10, 1.5 and 20, 5
    (15, ["screen-1.5in-150mesh"]),
    (60, []),
]


@pytest.mark.parametrize(("flow", "parts"), BODIES)
def test_flow_and_loss_decide_the_body(flow, parts):
    answer = advice(flow=flow)
    assert answer.suggested == parts
    if not parts:
        assert any(
            "The catalogue has no screen or disc filter for 60 gpm that is as fine as 102 µm, and loses 3 psi or less"
            in one
            for one in reasons(answer)
        )
        assert answer.clean_loss is None


def test_every_body_that_suits_is_fine_enough_and_made_for_the_flow():
    answer = advice(flow=6)
    assert len(answer.suits) > 1
    for one in answer.suits:
        assert um(one.opening) <= 102
        assert one.clean_loss is not None
        assert psi(one.clean_loss) <= 3


def test_the_last_of_a_train_is_fine_and_those_before_it_take_the_load():
    answer = advice(flow=12, source="sandy_well", iron=2)
    assert answer.suggested == ["separator-1in", "disc-1in-120mesh", "screen-1in-150mesh"]
    # Tables of the catalogue at 12 gpm: 6.2 psi from (10, 5) to (15, 8), 1.4 from (10, 1) to (20, 3), 2.2 from (10,
    # 1.5) to (20, 5).
    assert psi(answer.clean_loss or 0) == pytest.approx(6.2 + 1.4 + 2.2)
    assert psi(answer.dirty_loss or 0) == pytest.approx(6.2 + 1.4 + 2.2 + 5 + 3)


def test_a_body_rated_below_the_supply_does_not_suit_a_zone():
    weak, strong = (ask(plot(supply={"static_pressure": supply}, head=[])).filter for supply in (119, 121))
    assert weak.suggested
    assert strong.suggested == []
    assert any("bears 121 psi, and loses" in one for one in reasons(strong))


# ---- cleaning ----


def test_it_is_due_when_it_has_lost_its_allowance():
    """The flower plot's filter loses 4 (0.5/8)² = 0.0156 psi clean and 3 more when due."""
    answer = of_head(FILTER)
    assert psi(answer.clean_loss or 0) == pytest.approx(0.0156, abs=1e-4)
    assert psi(answer.dirty_loss or 0) == pytest.approx(3.0156, abs=1e-4)
    assert "differ by 3.02 psi" in answer.clean_when.said(System.US)


def test_without_an_allowance_five_psi_more_is_plugged():
    """Around the Vineyard, The Grapevine Magazine, May-June 2020, page 40: more than 5 psi means plugging."""
    answer = of_head({key: value for key, value in FILTER.items() if key != "dirty_allowance"})
    assert "has grown by 5 psi" in answer.clean_when.said(System.US)


DISC_FIRST = {"device": "filter", "type": "disc", "mesh": 140, "loss": {"fixed": 1}, "dirty_allowance": 5}
SEPARATOR = {"device": "filter", "type": "separator", "loss": {"fixed": 5}}


def test_each_of_several_filters_has_gauges_of_its_own():
    """A preventer and a valve stand between them, whose losses gauges around the whole row would show as well."""
    pond = plot(head=[DISC_FIRST, PREVENTER, VALVE, FILTER, REGULATOR], water=POND)
    assert ask(pond).filter.clean_when.said(System.US) == (
        "Clean the disc filter when gauges before and after it differ by 6 psi at this flow, 5 psi more than clean. "
        "Clean the filter when gauges before and after it differ by 3.02 psi at this flow, 3 psi more than clean."
    )


def test_a_clean_loss_of_next_to_nothing_is_not_told_to_six_digits():
    """Two outlets of 1 gph: 4 (0.033/8)² = 0.00007 psi, and 3 when due."""
    few = [{"at": 10, "emitter": STEADY}, {"at": 20, "emitter": STEADY}]
    told = ask(plot(bed(outlets=few))).filter.clean_when.said(System.US)
    assert "differ by 3 psi at this flow, 3 psi more than clean" in told


def test_two_filters_of_one_name_are_told_apart():
    told = of_head(FILTER, FILTER).clean_when.said(System.US)
    assert "Clean the filter (1 of 2) when" in told
    assert "Clean the filter (2 of 2) when" in told


def test_gauges_of_a_filter_stand_at_the_flow_through_it():
    """Another zone's 7.5 gpm leave the head before the second filter: 4 psi at 8 gpm, and 4 (0.5/8)² = 0.0156 psi."""
    told = of_head({**FILTER, "shared_flow": 7.5}, {**FILTER, "name": "fine filter"}).clean_when.said(System.US)
    assert "Clean the filter when gauges before and after it differ by 7 psi" in told
    assert "Clean the fine filter when gauges before and after it differ by 3.02 psi" in told


def test_a_separator_is_drained_whatever_gauges_say():
    """Common practice, no source: the sand gathers beside the way of the water."""
    told = of_head(SEPARATOR, FILTER, water={"source": "sandy_well", "temperature": 68}).clean_when.said(System.US)
    assert told.startswith("Drain the separator of its sand from time to time")
    assert "Clean the filter when gauges before and after it differ by 3.02 psi" in told


def test_a_rough_time_between_cleanings_is_said_to_be_rough():
    """A screen made for 8 gpm is taken to hold 8 g (our own estimate, no source): 5 mg/L fill it after 1600 L."""
    answer = advice(flow=2, suspended_solids=5)
    assert answer.between_cleanings is not None
    assert answer.between_cleanings.volume == pytest.approx(1.6)
    assert from_si(answer.between_cleanings.volume, "volume", System.US) == pytest.approx(422.7, abs=0.1)
    assert answer.between_cleanings.duration / 60 == pytest.approx(422.7 / 2, abs=0.1)
    why = answer.between_cleanings.why.said(System.US)
    assert why.startswith("A rough guess of our own, no source")
    assert "a screen filter made for 8 gpm is taken to hold 8 g of dirt" in why


# Type of the head's filter, and grams of dirt for each gpm that it is made for: our own estimate, no source.
HELD = [("screen", 1), ("disc", 3), ("media", 30), (None, 1)]


@pytest.mark.parametrize(("kind", "grams"), HELD)
def test_the_kind_and_the_size_of_a_filter_say_how_much_dirt_it_holds(kind, grams):
    """10 mg/L bring 0.0379 g a gallon: so many grams for each of 6 gpm last grams x 6 / 0.0379 gallons."""
    kept = {key: value for key, value in {**FILTER, "type": kind, "flow_range": [0, 6]}.items() if value is not None}
    water = {"source": "grey", "temperature": 68, "suspended_solids": 10}
    answer = of_head(kept, water=water).between_cleanings
    assert answer is not None
    assert from_si(answer.volume, "volume", System.US) == pytest.approx(grams * 6 / (0.01 * 3.785411784))
    assert from_si(answer.duration, "duration", System.US) == pytest.approx(
        from_si(answer.volume, "volume", System.US) / 0.5
    )


def test_a_filter_of_unstated_size_is_said_to_be_taken_for_the_flow_of_the_zone():
    answer = of_head(FILTER, water={"source": "municipal", "temperature": 68, "suspended_solids": 10})
    assert answer.between_cleanings is not None
    told = answer.between_cleanings.why.said(System.US)
    assert "made for 0.5 gpm (it states no flow range) is taken to hold 0.5 g" in told


NO_GUESS = [
    ({}, "without the suspended solids"),
    ({"suspended_solids": 0}, "without the suspended solids"),
    ({"source": "grey", "suspended_solids": 80, "passage": 0.03}, "without a filter that holds dirt"),
]


@pytest.mark.parametrize(("asked", "told"), NO_GUESS)
def test_where_no_time_can_be_guessed_a_reason_says_why(asked, told):
    answer = advice(flow=6, **asked)
    assert answer.between_cleanings is None
    assert f"How long it lasts between cleanings cannot even be guessed {told}." in reasons(answer)


def test_dirtier_water_and_smaller_bodies_are_cleaned_sooner():
    clear, dirty = (advice(source="pond", flow=6, passage=0.05, suspended_solids=found) for found in (10, 40))
    assert clear.between_cleanings is not None
    assert dirty.between_cleanings is not None
    assert clear.between_cleanings.volume == pytest.approx(4 * dirty.between_cleanings.volume)


# ---- what stands there already ----

DISC = {**FILTER, "type": "disc", "mesh": 140}
COARSE = {**FILTER, "mesh": 100}
UNKNOWN = {key: value for key, value in FILTER.items() if key != "mesh"}
POND = {"source": "pond", "temperature": 68}

STANDING = [
    ((), {}, "fit"),
    ((FILTER,), {}, "keep"),
    ((COARSE,), {}, "replace"),
    ((UNKNOWN,), {}, "replace"),
    ((COARSE, FILTER), {}, "keep"),
    ((FILTER,), {"water": POND}, "add"),
    ((DISC, FILTER), {"water": POND}, "keep"),
]


@pytest.mark.parametrize(("filters", "changed", "word"), STANDING)
def test_the_heads_filters_are_kept_replaced_or_added_to(filters, changed, word):
    assert of_head(*filters, **changed).advice == word


def test_only_what_the_head_wants_yet_is_suggested():
    assert of_head(FILTER).suggested == []
    assert of_head(FILTER, water=POND).suggested == ["disc-0.75in-140mesh"]
    assert of_head(COARSE).suggested == ["screen-0.75in-150mesh"]


def test_a_filter_that_loses_much_when_clean_is_told_to_be_small():
    small = {**FILTER, "loss": {"fixed": 3.1}}
    assert any("loses 3.1 psi when clean, more than 3 psi" in one for one in reasons(of_head(small)))
    assert not any("a larger body" in one for one in reasons(of_head(FILTER)))


def test_a_shared_filter_is_judged_at_all_the_flow_through_it():
    shared = of_head({**FILTER, "shared_flow": 7.5})
    assert psi(shared.clean_loss or 0) == pytest.approx(4, abs=1e-3)  # its point is 8 gpm, 4 psi
    assert from_si(shared.flow, "flow", System.US) == pytest.approx(8)


# ---- by itself ----


def test_the_advice_by_itself_is_the_block_of_the_check():
    """The same water, flow and outlets, asked for without the zone."""
    zone = ask(plot(head=[PREVENTER, VALVE, REGULATOR]))
    alone = advice(flow=from_si(zone.flow, "flow", System.US), emitter=STEADY, source="municipal", temperature=68)
    for field in FilterAnswer.model_fields:
        one, other = getattr(alone, field), getattr(zone.filter, field)
        assert one == (pytest.approx(other) if isinstance(other, float) else other), field


def test_filters_that_are_suggested_one_behind_the_other_are_told_by_their_types():
    pond = plot(head=[VALVE, REGULATOR], water=POND)
    told = ask(pond).filter
    assert len(told.suggested) == 2
    for kind in told.type.split(", then "):
        assert f"Clean the {kind.split(' or ')[-1]} filter when" in told.clean_when.said(System.US)
