"""What joins pipe of unlike kinds, small tubes to large ones, and coils end to end: counted by hand."""

import pytest

from service.takeoff.site import CONDUCTORS, SPLICES
from tests.takeoff.jobs import DRIPLINE, INLINE, answer, by_part, counts, job, needs, zone

ROW = {"id": "row", "pipe": "dripline-17mm", "length": 80, "outlets": INLINE}

VALVE = {"device": "valve", "loss": {"cv": 9}}

SMALL = {
    "id": "small", "from": "main", "pipe": "dripline-0.25in", "length": 10, "outlets": {**INLINE, "spacing": 0.5},
}  # fmt: skip


def bought(body, **packages):
    """The takeoff of a job whose parts come in these packages, at a price by their size."""
    parts = {part: {"packages": [{"size": size, "price": size} for size in sizes]} for part, sizes in packages.items()}
    return answer({**body, "prices": {"currency": "USD", "parts": parts}})


# small tubes


def test_small_tubes_hang_in_holes_of_larger_tubing():
    main = {"id": "main", "pipe": "tubing-0.5in-600-700", "length": 40}
    told = answer(job(zone(main, {**SMALL, "from_at": 8, "copies": {"count": 5, "apart": 8}})))
    found = {line["part"]: line["needed"] for line in told["lines"] if line["needed"]}
    assert found == {
        "tubing-0.5in-600-700": 40,
        "dripline-0.25in-with-inline-compensating-0.6gph-6in": 50,
        "adapter-threaded-compression-0.75in-0.7in": 1,  # at the head, and nowhere else
        # Tubes at 8, 16, …, 40 ft: the last beside the closure, which the end of the main keeps.
        "barbed-connector-0.25in": 5,
        "flush-cap-compression-0.7in": 1,
        "flush-cap-barbed-0.25in": 5,
        # One at the end of the main: a small tube has no room for a tap.
        "pressure-tap-barbed": 1,
        # 0, 3, 6, 9 ft along each tube; 0, 5, …, 40 ft along the main.
        "tubing-stake-0.25in": 5 * 4,
        "tubing-stake-0.7in": 9,
        "thread-tape": 0.04,
    }
    # Five tubes and the tap: six holes, of which 5 % round up to one plug.
    assert told["work"]["hole"] == 6
    assert by_part(told)["hole-plug"]["quantity"] == 1


def test_small_tubes_go_on_and_branch_by_fittings_of_their_own():
    first = {"id": "main", "pipe": "tubing-0.25in", "length": 10}
    told = needs(job(zone(first, {**SMALL, "from_at": 4}, {**SMALL, "id": "on"})))
    assert (told["tee-barbed-0.25in"], told["coupling-barbed-0.25in"]) == (1, 1)
    assert "barbed-connector-0.25in" not in told


def test_small_tubes_on_rigid_pipe_have_saddles_and_adapters():
    main = {"id": "main", "pipe": "pvc-sch40-0.75in", "length": 40}
    told = needs(job(zone(main, {**SMALL, "from_at": 8, "copies": {"count": 3, "apart": 8}})))
    # Three tubes, and the tap at the end of the main, which is a saddle and a tap screwed into it.
    assert told["outlet-saddle-0.75in"] == 3 + 1
    assert told["adapter-threaded-barbed-0.25in"] == 3
    assert not [part for part in told if part.startswith("tee-")]
    # Threads: the head, and one in each saddle.
    assert told["thread-tape"] == 5 / 25


def test_outlets_on_small_tubes_on_rigid_pipe_are_joined_to_their_saddles():
    outlets = {"emitter": "compensating-1gph", "spacing": 5, "tube": {"pipe": "tubing-0.25in", "length": 3}}
    told = answer(job(zone({"id": "line", "pipe": "pvc-sch40-0.75in", "length": 20, "outlets": outlets})))
    found = by_part(told)
    # Places at 2.5, 7.5, 12.5 and 17.5 ft, and a tap at the end.
    assert found["outlet-saddle-0.75in"]["needed"] == 4 + 1
    assert found["adapter-threaded-barbed-0.25in"]["needed"] == 4
    assert found["tubing-0.25in"]["needed"] == told["work"]["small_tubing_length"] == 4 * 3
    assert found["thread-tape"]["needed"] == 6 / 25
    assert told["work"]["hole"] == 0


# sizes and ways of joining


def test_the_size_changes_before_the_way_of_joining():
    main = {"id": "main", "pipe": "pvc-sch40-2in", "length": 20}
    told = needs(job(zone(main, {**ROW, "from": "main", "from_at": 2, "copies": {"count": 10, "apart": 2}})))
    # Nine tees with a branch of 0.5 in (0.622 in inside), the size next to the 0.57 in of the row; row 10 stands at
    # the end: an elbow and a reducer. Each then has an adapter.
    assert told["reducing-tee-solvent-weld-2in-0.5in"] == 9
    assert (told["elbow-solvent-weld-2in"], told["reducer-solvent-weld-2in-0.5in"]) == (1, 1)
    assert told["adapter-solvent-weld-barbed-0.5in-17mm"] == 10


def test_a_branch_larger_than_its_main_has_the_tee():
    main = {"id": "main", "pipe": "pe-0.5in", "length": 20}
    side = {"id": "side", "from": "main", "from_at": 10, "pipe": "pe-1in", "length": 10}
    told = needs(job(zone(main, {**side, "outlets": {"emitter": "spray-8gph", "spacing": 5}})))
    # A tee of 1 in: one end of the main is its branch, the other comes to it by a reducer.
    assert (told["reducing-tee-barbed-1in-0.5in"], told["reducer-barbed-1in-0.5in"]) == (1, 1)


# coils and sticks


def test_couplings_between_coils_bring_their_clamps():
    outlets = {"emitter": "spray-8gph", "spacing": 50}
    body = job(zone({"id": "line", "pipe": "pe-0.75in", "length": 1100, "outlets": outlets}))
    told = bought(body, **{"pe-0.75in": [250]})
    assert by_part(told)["pe-0.75in"]["packages"][0]["count"] == 5  # 1155 ft
    # 1100 ft are more than the longest coil that is sold; what is bought is cut oftener still: four joints in all.
    joints = counts(told, "coupling-barbed-0.75in")
    within = joints["length_joint"]
    assert joints == {"length_joint": within, "coil_ends": 4 - within}
    # Head and closure one clamp each, every coupling two.
    assert counts(told, "clamp-0.75in") == {"insert_clamp": 2 + 2 * within, "coil_end_clamps": 2 * (4 - within)}


def test_couplings_between_sticks_bring_their_cement():
    outlets = {"emitter": "spray-8gph", "spacing": 50}
    body = job(zone({"id": "line", "pipe": "pvc-sch40-0.75in", "length": 78, "outlets": outlets}))
    told = bought(body, **{"pvc-sch40-0.75in": [12]})
    # 81.9 ft are seven sticks of 12 ft, and six joints; four sticks of 20 ft would have three.
    assert counts(told, "coupling-solvent-weld-0.75in") == {"length_joint": 3, "coil_ends": 3}
    # Adapter at the head and closure, and three couplings; three more.
    for part in ("solvent-cement", "primer"):
        assert counts(told, part) == {"joints": 2 + 6, "coil_end_joints": 6}
        assert "For 6 more joints at the couplings" in by_part(told)[part]["basis"]


def test_two_kinds_of_dripline_share_their_couplings():
    rows = [{**ROW, "id": f"row-{apart}", "length": 300, "outlets": {**INLINE, "spacing": apart}} for apart in (1, 2)]
    wide = DRIPLINE.replace("12in", "24in")
    told = bought(job(zone(*rows)), **{DRIPLINE: [100], wide: [100]})
    # 318.15 ft of each: four coils and three couplings.
    assert counts(told, "coupling-barbed-17mm") == {"coil_ends": 3 + 3}


def test_splices_follow_the_coils_of_wire_that_are_bought():
    body = job(zone(ROW, head=[VALVE], installation={"controller_distance": 900}))
    told = bought(body, **{"valve-wire": [250]})
    # 1800 ft and 10 % are 1980 ft, eight coils: seven ends within, and two splices at the valve.
    assert by_part(told)["valve-wire"]["packages"][0]["count"] == 8
    assert counts(told, "wire-splice") == {"valve_splice": 2, "coil_ends": 7}
    none = {**body, "allowances": {"coil_couplings": False}}
    assert counts(bought(none, **{"valve-wire": [250]}), "wire-splice") == {"valve_splice": 2}


@pytest.mark.parametrize("valves", [1, 2, 3])
def test_each_valve_has_wires_and_splices_of_its_own(valves):
    told = answer(job(zone(ROW, head=[VALVE] * valves, installation={"controller_distance": 6000})))
    assert (CONDUCTORS, SPLICES) == (2, 2)
    assert by_part(told)["valve-wire"]["needed"] == pytest.approx(valves * 2 * 6000)
    found = counts(told, "wire-splice")
    # 6000 ft are three coils of 2500 ft: two joints in either conductor.
    assert (found["valve_splice"], found["wire_joint"]) == (valves * 2, valves * 2 * 2)


def test_a_valve_that_zones_share_is_wired_once_over_the_longest_way():
    zones = [
        zone(ROW, head=[VALVE], name="beds"),
        zone(ROW, head=[VALVE], name="bank", installation={"controller_distance": 50}),
        zone(ROW, head=[VALVE], name="wall", installation={"controller_distance": 30}),
    ]
    told = by_part(answer(job(*zones, shared=["valve"])))
    assert told["valve-wire"]["by_zone"] == [{"zone": "beds", "quantity": pytest.approx(100)}]
    assert told["wire-splice"]["needed"] == 2
    each = by_part(answer(job(*zones)))
    assert each["valve-wire"]["needed"] == pytest.approx(2 * (50 + 30))
