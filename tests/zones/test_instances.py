"""Runs with their copies made out, against addresses worked by hand and a plain second enumeration."""

from graphlib import CycleError, TopologicalSorter

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.schemas.zone import Zone
from service.units.dimensions import System
from service.zones.faults import FAULTS, ZoneFaults
from service.zones.instances import HEIGHT_TOLERANCE, LONGEST_ADDRESS, Limits, expand
from tests.strategies import grids, trees, zones

FOOT = 0.3048
LIMITS = Limits()
DRIPS = {"emitter": "compensating-1gph", "spacing": 1}


def run(name, length=20, **fields):
    return {"id": name, "pipe": "pe-0.75in", "length": length, **fields}


def read(runs):
    return Zone.model_validate({"supply": {"static_pressure": 60}, "runs": runs})


def plan_of(*runs, limits=LIMITS):
    return expand(read(list(runs)).runs, limits)


def by_address(plan):
    return {instance.address: instance for instance in plan.instances}


def faults_of(*runs, limits=LIMITS):
    """What is wrong with the runs: detail and accepted in US units, by pointer."""
    try:
        plan_of(*runs, limits=limits)
    except ZoneFaults as refused:
        return {
            fault.pointer: (fault.slug, fault.detail.said(System.US), fault.accepted.said(System.US))
            for fault in refused.faults
        }
    return {}


# Addresses, by hand from the rules: the ids of copied ancestors and the run's own, copy numbers from 1.

BEDS = (
    run("feed", 45),
    run("bed", 10, **{"from": "feed"}, from_at=5, copies={"count": 2, "apart": 20}),
    run("row", 15, **{"from": "bed"}, from_at=0, copies={"count": 3, "apart": 5}, outlets=DRIPS),
    run("drain", 3, **{"from": "bed"}),
    run("cap", 1, **{"from": "drain"}),
)


def test_addresses_name_the_copied_ancestors_and_the_run_itself():
    assert list(by_address(plan_of(*BEDS))) == [
        "feed", "bed:1", "bed:2", "bed:1/row:1", "bed:1/row:2", "bed:1/row:3", "bed:2/row:1", "bed:2/row:2",
        "bed:2/row:3", "bed:1/drain", "bed:2/drain", "bed:1/cap", "bed:2/cap",
    ]  # fmt: skip


def test_each_instance_leaves_from_its_own_parent():
    plan = plan_of(*BEDS)
    found = by_address(plan)

    def leaves(address):
        instance = found[address]
        return plan.instances[instance.parent].address, instance.from_at / FOOT

    assert leaves("bed:2") == ("feed", pytest.approx(25))
    assert leaves("bed:2/row:3") == ("bed:2", pytest.approx(10))
    assert leaves("bed:1/drain") == ("bed:1", pytest.approx(10))  # the far end, for want of from_at
    assert leaves("bed:2/cap") == ("bed:2/drain", pytest.approx(3))
    assert found["feed"].parent is None


def test_a_single_copy_is_a_copy():
    plan = plan_of(
        run("feed"), run("row", **{"from": "feed"}, from_at=1, copies={"count": 1, "apart": 3}, outlets=DRIPS)
    )
    assert [instance.address for instance in plan.instances] == ["feed", "row:1"]


def test_runs_may_be_declared_in_any_order():
    plan = plan_of(run("row", **{"from": "header"}, outlets=DRIPS), run("header", **{"from": "feed"}), run("feed"))
    assert [instance.address for instance in plan.instances] == ["feed", "header", "row"]
    assert [plan.run(index).id for index in range(3)] == ["feed", "header", "row"]
    assert [list(instances) for instances in plan.instances_of] == [[2], [1], [0]]


def test_heights_add_up_along_the_way():
    plan = plan_of(
        run("feed", 40, rise=4),
        run("bank", 40, **{"from": "feed"}, from_at=10, ground=[[0, 0], [20, 6], [40, 5]]),
        run("row", 10, **{"from": "bank"}, from_at=20, copies={"count": 2, "apart": 10}, rise=-1, outlets=DRIPS),
    )
    # By hand: 10 ft along the feed is 1 ft up; the bank climbs 6 ft in 20, then falls 1 ft in 20.
    found = by_address(plan)
    assert found["bank"].start_elevation == pytest.approx(1 * FOOT)
    assert found["row:1"].start_elevation == pytest.approx(7 * FOOT)
    assert found["row:2"].start_elevation == pytest.approx(6.5 * FOOT)
    end = plan.elevation(plan.instances.index(found["row:2"]), np.array([0, 10 * FOOT]))
    assert end == pytest.approx([6.5 * FOOT, 5.5 * FOOT])


def enumerated(runs):
    """Addresses with the height of each start, by plain recursion over the body as it was written."""
    found = {}

    def height(one, at):
        ground = one.get("ground") or [[0, 0], [one["length"], one.get("rise", 0)]]
        return float(np.interp(at, [x for x, _ in ground], [y for _, y in ground]))

    def follow(one, before, elevation):
        copies = one.get("copies", {"count": 1, "apart": 0})
        for copy in range(copies["count"]):
            own = f"{one['id']}:{copy + 1}" if "copies" in one else one["id"]
            yield own, before, elevation, copy * copies["apart"]

    def walk(parent, before, start):
        for one in runs:
            if one.get("from") != (parent["id"] if parent else None):
                continue
            for own, prefix, elevation, further in follow(one, before, start):
                at = one.get("from_at", parent["length"] if parent else 0) + further
                lies = elevation + (height(parent, at) if parent else 0)
                found["/".join([*prefix, own])] = lies
                walk(one, [*prefix, own] if "copies" in one else prefix, lies)

    walk(None, [], 0.0)
    return found


@given(trees() | grids())
def test_instances_are_those_of_a_plain_recursion(runs):
    plan = plan_of(*runs)
    expected = enumerated(runs)
    assert {instance.address: instance.start_elevation / FOOT for instance in plan.instances} == pytest.approx(expected)
    assert len(plan.instances) == len(expected)


@given(zones())
def test_a_plan_hangs_together(body):
    plan = expand(Zone.model_validate(body).runs)
    for number, instance in enumerate(plan.instances):
        assert instance.parent is None or instance.parent < number
        assert number in plan.instances_of[instance.run]
        if instance.parent is not None:
            assert 0 <= instance.from_at <= plan.run(instance.parent).length
        if instance.closes_to is not None:
            other, at = instance.closes_to
            end, there = plan.elevation(number, plan.run(number).length), plan.elevation(other, at)
            assert float(end) == pytest.approx(float(there), abs=HEIGHT_TOLERANCE)
    for places in plan.places:
        assert places.kinds == plan.kinds
        assert np.all(places.kind < len(plan.kinds))
    assert len(set(plan.kinds)) == len(plan.kinds)


# Loops


GRID = (
    run("bed", 30, copies={"count": 2, "apart": 0}),
    run("header", 10, **{"from": "bed"}),
    run("edge", 20, **{"from": "header"}, from_at=0),
    run("exhaust", 10, **{"from": "edge"}),
    run(
        "row",
        20,
        **{"from": "header"},
        from_at=2,
        copies={"count": 4, "apart": 2},
        closes_to={"run": "exhaust", "at": 2},
        outlets=DRIPS,
    ),
)


def joins(plan, address):
    instance = by_address(plan)[address]
    other, at = instance.closes_to
    return plan.instances[other].address, pytest.approx(at / FOOT)


def test_a_run_closes_to_the_target_in_its_own_copy():
    plan = plan_of(*GRID)
    assert joins(plan, "bed:1/row:1") == ("bed:1/exhaust", 2)
    assert joins(plan, "bed:2/row:4") == ("bed:2/exhaust", 8)


@pytest.mark.parametrize(
    ("closes_to", "places"), [({"at": 1, "apart": 3}, [1, 4, 7, 10]), ({"at": 10, "apart": -3}, [10, 7, 4, 1])]
)
def test_copies_may_close_at_distances_of_their_own(closes_to, places):
    plan = plan_of(*GRID[:-1], {**GRID[-1], "closes_to": {"run": "exhaust", **closes_to}})
    assert [joins(plan, f"bed:1/row:{n}")[1] for n in (1, 2, 3, 4)] == places


def test_a_run_outside_of_all_copies_closes_to_the_only_one():
    lone = run("tie", 30, closes_to={"run": "spur", "at": 5})
    spur = run("spur", 30, copies={"count": 1, "apart": 0}, outlets=DRIPS)
    assert joins(plan_of(spur, lone), "tie") == ("spur:1", 5)


def test_a_run_that_could_close_to_any_of_several_is_refused():
    spur = run("spur", 30, copies={"count": 4, "apart": 0}, outlets=DRIPS)
    found = faults_of(spur, run("tie", 30, closes_to={"run": "spur", "at": 5}))
    assert found == {
        "#/runs/1/closes_to/run": (
            "loop-unclear",
            "spur stands for several runs, and tie could close to any of spur:1, spur:2, spur:3, ….",
            "a run of which there is one, or one within the same copy",
        )
    }


@pytest.mark.parametrize(("rise", "meets"), [(0, True), (0.1, True), (-0.1, True), (0.11, False), (-0.5, False)])
def test_heights_must_meet_where_a_loop_closes(rise, meets):
    found = faults_of(*GRID[:-1], {**GRID[-1], "rise": rise})
    assert bool(found) != meets
    if not meets:
        slug, told, accepted = found["#/runs/4/closes_to"]
        assert slug == "loop-heights"
        assert f"{rise:g} ft" in told
        assert "0 ft where they join" in told
        assert accepted == "an end at 0 ft"


# Faults


FEED = run("feed", 12)
ROW = run("row", **{"from": "feed"}, from_at=0, copies={"count": 6, "apart": 3}, outlets=DRIPS)

FAULTY = [
    # runs, pointer, slug, what the detail says, what is accepted
    (
        [FEED, ROW],
        "#/runs/1/copies",
        "run-past-parent",
        "The last copy would leave at 15 ft, but the parent ends at 12 ft; it would have to be 15 ft long.",
        "at most 5 copies so far apart",
    ),
    (
        [FEED, {**ROW, "from_at": 13}],
        "#/runs/1/from_at",
        "run-past-parent",
        "The run would leave at 13 ft, but the parent ends at 12 ft; it would have to be 28 ft long.",
        "0 to 12 ft",
    ),
    (
        [FEED, {name: value for name, value in ROW.items() if name != "from_at"}],
        "#/runs/1/from_at",
        "copies-without-place",
        "Copies need from_at, the place on the parent where the first one leaves.",
        "a place on the parent",
    ),
    (
        [FEED, run("row", **{"from": "fed"}, outlets=DRIPS)],
        "#/runs/1/from",
        "unknown-run",
        "No run has the id fed.",
        "feed",
    ),
    (
        [FEED, run("row", outlets=DRIPS, closes_to={"run": "fede", "at": 1})],
        "#/runs/1/closes_to/run",
        "unknown-run",
        "No run has the id fede.",
        "feed",
    ),
    (
        [FEED, run("feed", outlets=DRIPS)],
        "#/runs/1/id",
        "duplicate-run",
        "Another run before it has the id feed.",
        "an id that no other run has",
    ),
    (
        [run("a", **{"from": "b"}, outlets=DRIPS), run("b", **{"from": "a"})],
        "#/runs/0/from",
        "run-circle",
        "These runs leave from one another in a circle: a from b from a.",
        "a run that is reached from the zone inlet, or no from",
    ),
    (
        [run("a", **{"from": "a"}, outlets=DRIPS)],
        "#/runs/0/from",
        "run-circle",
        "These runs leave from one another in a circle: a from a.",
        "a run that is reached from the zone inlet, or no from",
    ),
    (
        [run("row", outlets={**DRIPS, "count": 21})],
        "#/runs/0/outlets/count",
        "outlet-past-end",
        "An outlet would stand at 20.5 ft, but the run ends at 20 ft.",
        "at most 20 places so far apart",
    ),
    (
        [run("row", outlets={**DRIPS, "spacing": 41})],
        "#/runs/0/outlets/spacing",
        "outlet-past-end",
        "An outlet would stand at 20.5 ft, but the run ends at 20 ft.",
        "above 0, at most 40 ft",
    ),
    (
        [run("row", outlets={**DRIPS, "first_at": 21})],
        "#/runs/0/outlets/first_at",
        "outlet-past-end",
        "An outlet would stand at 21 ft, but the run ends at 20 ft.",
        "above 0, at most 20 ft",
    ),
    (
        [run("row", outlets=[{"at": 5, "emitter": "compensating-1gph"}, {"at": 21, "emitter": "compensating-1gph"}])],
        "#/runs/0/outlets/1/at",
        "outlet-past-end",
        "An outlet would stand at 21 ft, but the run ends at 20 ft.",
        "above 0, at most 20 ft",
    ),
    (
        [FEED, run("row", outlets=DRIPS, closes_to={"run": "row", "at": 1})],
        "#/runs/1/closes_to/run",
        "loop-onto-itself",
        "The run closes to itself.",
        "the id of another run",
    ),
    (
        [FEED, run("row", outlets=DRIPS, closes_to={"run": "feed", "at": 13})],
        "#/runs/1/closes_to/at",
        "loop-past-end",
        "The far end would join at 13 ft, but the other run reaches from 0 to 12 ft.",
        "0 to 12 ft",
    ),
    (
        [
            FEED,
            run("row", copies={"count": 3, "apart": 0}, outlets=DRIPS, closes_to={"run": "feed", "at": 3, "apart": -2}),
        ],
        "#/runs/1/closes_to/at",
        "loop-past-end",
        "The far end of a copy would join at -1 ft, but the other run reaches from 0 to 12 ft.",
        "places from 0 to 12 ft for all copies",
    ),
    ([FEED, run("header")], "#/runs", "no-outlets", "No run has outlets.", "outlets on at least one run"),
]


@pytest.mark.parametrize(("runs", "pointer", "slug", "told", "accepted"), FAULTY)
def test_a_fault_of_the_whole_zone_points_at_what_to_mend(runs, pointer, slug, told, accepted):
    found = faults_of(*runs)
    assert list(found) == [pointer]
    assert found[pointer] == (slug, told, accepted)


def test_one_copy_fewer_fits():
    assert not faults_of(FEED, {**ROW, "copies": {"count": 5, "apart": 3}})


def test_all_faults_are_told_at_once():
    found = faults_of(
        FEED,
        ROW,
        run("feed", 30),
        run("lost", **{"from": "nowhere"}),
        run("chicken", **{"from": "egg"}),
        run("egg", **{"from": "chicken"}),
        run("long", 5, outlets=[{"at": 6, "emitter": "compensating-1gph"}]),
        run("ring", closes_to={"run": "ring", "at": 1}),
        run("up", rise=3, closes_to={"run": "level", "at": 20}),
        run("level", copies={"count": 1, "apart": 0}),
    )
    assert {pointer: slug for pointer, (slug, *_) in found.items()} == {
        "#/runs/1/copies": "run-past-parent",
        "#/runs/2/id": "duplicate-run",
        "#/runs/3/from": "unknown-run",
        "#/runs/4/from": "run-circle",
        "#/runs/6/outlets/0/at": "outlet-past-end",
        "#/runs/7/closes_to/run": "loop-onto-itself",
        "#/runs/8/closes_to": "loop-heights",
    }


def test_heights_are_not_compared_where_a_place_is_wrong_already():
    found = faults_of(
        run("a", rise=2, outlets=DRIPS), run("b", **{"from": "a"}, from_at=30, closes_to={"run": "a", "at": 0})
    )
    assert list(found) == ["#/runs/1/from_at"]


def test_a_zone_has_only_so_many_runs_and_outlets():
    limits = Limits(run_instances=10, outlets=100)
    ten = [run("feed"), run("row", 10, **{"from": "feed"}, from_at=1, copies={"count": 9, "apart": 1}, outlets=DRIPS)]
    assert not faults_of(*ten, limits=limits)
    found = faults_of(*ten, run("spur"), run("spray", outlets={**DRIPS, "per_place": 3}), limits=limits)
    assert found["#/runs/1"] == (
        "too-many-runs",
        "With all copies the zone has 12 runs, 9 of them this one's.",
        "at most 10 runs in a zone, copies counted",
    )
    assert found["#/runs/1/outlets"] == (
        "too-many-outlets",
        "With all copies the zone has 150 outlets, 90 of them along this run.",
        "at most 100 outlets in a zone",
    )


def test_copies_of_copies_are_counted_before_any_is_made():
    copies = {"count": 1000, "apart": 0}
    nest = [run(f"r{n}", **{"from": f"r{n - 1}"}, from_at=0, copies=copies, outlets=DRIPS) for n in range(1, 30)]
    slugs = [slug for slug, *_ in faults_of(run("r0"), *nest).values()]
    assert "too-many-runs" in slugs
    assert "too-many-outlets" in slugs


def test_addresses_stay_short_enough_to_be_told():
    one = {"count": 1, "apart": 0}
    deep = [run("r0", outlets=DRIPS)]
    deep += [run(f"r{n}", **{"from": f"r{n - 1}"}, from_at=0, copies=one) for n in range(1, 60)]
    ((pointer, found),) = faults_of(*deep).items()
    assert found[0] == "copies-too-deep"
    index = int(pointer.split("/")[-1])
    assert max(len(address) for address in by_address(plan_of(*deep[:index]))) <= LONGEST_ADDRESS
    assert f"{LONGEST_ADDRESS} characters" in found[2]


@given(st.lists(st.sampled_from("abcdef") | st.none(), min_size=6, max_size=6))
def test_circles_are_found_where_a_topological_order_does_not_exist(parents):
    """Against graphlib of the standard library."""
    runs = [
        run(name, outlets=DRIPS, **({} if parent is None else {"from": parent}))
        for name, parent in zip("abcdef", parents, strict=True)
    ]
    try:
        TopologicalSorter(
            {name: [] if parent is None else [parent] for name, parent in zip("abcdef", parents, strict=True)}
        ).prepare()
        circular = False
    except CycleError:
        circular = True
    slugs = {slug for slug, *_ in faults_of(*runs).values()}
    assert slugs == ({"run-circle"} if circular else set())


def test_a_hundred_thousand_outlets_are_laid_out_by_the_run():
    header = run("header", 2000)
    rows = run("row", 50, **{"from": "header"}, from_at=1, copies={"count": 1999, "apart": 1}, outlets=DRIPS)
    plan = plan_of(header, rows)
    assert len(plan.instances) == 2000
    assert len(plan.places[1].at) == 50
    assert len(plan.kinds) == 1


def test_every_kind_of_fault_says_how_to_mend_it():
    assert len({fault.slug for fault in FAULTS}) == len(FAULTS)
    for fault in FAULTS:
        assert fault.__doc__
        assert fault.title
        assert fault.mend.endswith(".")
