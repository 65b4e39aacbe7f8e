"""Zones counted by hand, every fitting argued. The counting is plain topology; habits of the trade have no source."""

import pytest

from tests.takeoff.jobs import DRIPLINE, INLINE, answer, by_part, counts, job, needs, zone

ROW = {"id": "row", "pipe": "dripline-17mm", "length": 80, "outlets": INLINE}

THREE_DEVICES = (
    {"device": "valve", "loss": {"cv": 9}},
    {"device": "filter", "mesh": 120},
    {"device": "regulator", "set_pressure": 25},
)


def test_a_plain_row():
    assert needs(job(zone(ROW))) == {
        # 80 ft of dripline, its emitters inside it, so that there is no line for emitters.
        DRIPLINE: 80,
        # The row starts at a head that ends in pipe thread; 17 mm has no thread, the least head is 0.75 in.
        "adapter-threaded-barbed-0.75in-17mm": 1,
        # One dead end: a closure to flush by, and a tap punched in beside it.
        "flush-cap-barbed-17mm": 1,
        "pressure-tap-barbed": 1,
        # Stakes at 0, 3, 6, …, 78 ft: 27.
        "tubing-stake-17mm": 27,
        # One thread, of 25 to a roll of tape.
        "thread-tape": 0.04,
    }


def test_spares_of_a_plain_row():
    told = by_part(answer(job(zone(ROW))))
    # 80 ft, 1 % slack on it, 5 % waste on both: 80 × 1.01 × 1.05.
    assert told[DRIPLINE]["quantity"] == pytest.approx(84.84)
    assert told[DRIPLINE]["packages"] == [{"size": pytest.approx(100), "count": 1}]
    # One tap is one punched hole, and 5 % of it rounds up to one plug, which comes in bags of 10.
    assert told["hole-plug"]["quantity"] == 1
    assert told["hole-plug"]["packages"] == [{"size": 10, "count": 1}]
    # 27 stakes come in one bag of 50 (bags of 10, 50 and 100: one bag is the fewest).
    assert told["tubing-stake-17mm"]["packages"] == [{"size": 50, "count": 1}]
    assert told["thread-tape"]["quantity"] == 1


COPIES = zone(
    {"id": "feed", "pipe": "pvc-sch40-0.75in", "length": 45, "fittings": {"elbow_90": 3}},
    {"id": "header", "from": "feed", "pipe": "pe-0.75in", "length": 21},
    {**ROW, "from": "header", "from_at": 0, "copies": {"count": 8, "apart": 3}},
)


def test_copies_along_a_header():
    assert needs(job(COPIES)) == {
        "pvc-sch40-0.75in": 45,
        "pe-0.75in": 21,
        DRIPLINE: 8 * 80,
        # Head to feed.
        "adapter-solvent-weld-threaded-0.75in": 1,
        # 45 ft of feed are three sticks of 20 ft: two joints.
        "coupling-solvent-weld-0.75in": 2,
        "elbow-solvent-weld-0.75in": 3,  # listed
        # At the end of the feed meet feed, header and row 1. Two of the three are barbed, so the tee is barbed, in the
        # size of the header with a 17 mm branch; the feed comes to it by an adapter. Rows 2 to 7 leave the header
        # between its ends, at 3, 6, …, 18 ft: six more tees.
        "reducing-tee-barbed-0.75in-17mm": 1 + 6,
        "adapter-solvent-weld-barbed-0.75in": 1,
        # Row 8 leaves at 21 ft, the header's end, and stands across it as its copies do: an elbow, and a reducer.
        "elbow-barbed-0.75in": 1,
        "reducer-barbed-0.75in-17mm": 1,
        "flush-cap-barbed-17mm": 8,
        "pressure-tap-barbed": 8,
        "tubing-stake-17mm": 8 * 27,
        # Insert fittings in the header are clamped: two ends at each of six tees; at the feed's end the header's own
        # and two at the adapter (tee and adapter, joined by a stub of header pipe); both ends of the elbow, whose
        # second end holds a stub to the reducer; and the reducer's.
        "clamp-0.75in": 6 * 2 + 3 + 2 + 1,
        # Cemented ends: elbows 3 × 2, couplings 2 × 2, two adapters: 12 of 60 to a can, of 80 to a can of primer.
        "solvent-cement": 0.2,
        "primer": 0.15,
        "thread-tape": 0.04,
    }


CENTRE = zone(
    {
        "id": "hedge",
        "pipe": "tubing-0.5in-600-700",
        "length": 450,
        "outlets": {"emitter": "compensating-2gph", "spacing": 5, "count": 90},
        "copies": {"count": 2, "apart": 0},
    }
)


def test_a_line_fed_at_its_centre():
    assert needs(job(CENTRE)) == {
        "tubing-0.5in-600-700": 900,
        "compensating-2gph": 180,
        # Two lines and the head meet: a tee in the tubing's own way, and an adapter to the head's thread. Compression
        # fittings go by the outside of the tubing, 0.700 in.
        "tee-compression-0.7in": 1,
        "adapter-threaded-compression-0.75in-0.7in": 1,
        # No couplings: a coil holds up to 1000 ft, and 450 ft are less.
        "flush-cap-compression-0.7in": 2,
        "pressure-tap-barbed": 2,
        # 0, 5, …, 450 ft: 91 stakes on either side.
        "tubing-stake-0.7in": 182,
        "thread-tape": 0.04,
    }


def test_spares_of_that_line():
    told = answer(job(CENTRE))
    # 5 % of 180 emitters; 182 holes with the two taps, 5 % of them 9.1 and so 10 plugs.
    assert counts(told, "compensating-2gph") == {"outlet": 180, "spare": 9}
    assert by_part(told)["hole-plug"]["quantity"] == 10
    # 900 × 1.01 × 1.05 = 954.45 ft: one coil of 1000 ft, so that no coil ends within a line.
    assert by_part(told)["tubing-0.5in-600-700"]["packages"] == [{"size": pytest.approx(1000), "count": 1}]
    assert "coupling-compression-0.7in" not in by_part(told)


NESTED = zone(
    {"id": "feed", "pipe": "pvc-sch40-0.75in", "length": 60},
    {
        "id": "bed",
        "from": "feed",
        "from_at": 20,
        "pipe": "pe-0.75in",
        "length": 12,
        "copies": {"count": 3, "apart": 20},
    },
    {**ROW, "length": 40, "from": "bed", "from_at": 3, "copies": {"count": 4, "apart": 3}},
)


def test_copies_within_copies():
    assert needs(job(NESTED)) == {
        "pvc-sch40-0.75in": 60,
        "pe-0.75in": 3 * 12,
        DRIPLINE: 12 * 40,
        "adapter-solvent-weld-threaded-0.75in": 1,
        # Three sticks of 20 ft.
        "coupling-solvent-weld-0.75in": 2,
        # Beds 1 and 2 leave the feed at 20 and 40 ft: cemented tees, each with an adapter to the bed's insert end.
        "tee-solvent-weld-0.75in": 2,
        # Bed 3 leaves at 60 ft, the feed's end, and stands across it: an elbow and an adapter.
        "elbow-solvent-weld-0.75in": 1,
        "adapter-solvent-weld-barbed-0.75in": 3,
        # In each bed rows leave at 3, 6, 9 (tees) and 12 ft (its end: an elbow and a reducer).
        "reducing-tee-barbed-0.75in-17mm": 3 * 3,
        "elbow-barbed-0.75in": 3,
        "reducer-barbed-0.75in-17mm": 3,
        "flush-cap-barbed-17mm": 12,
        "pressure-tap-barbed": 12,
        # 0, 3, …, 39 ft: 14.
        "tubing-stake-17mm": 12 * 14,
        # Nine tees with two ends each, three elbows with two, three reducers with one, three adapters with one.
        "clamp-0.75in": 18 + 6 + 3 + 3,
        # Couplings 2 × 2; each tee two ends on the feed, its branch and the adapter in it: 2 × 4; the elbow 2 and the
        # adapter in it 1; the adapter at the head 1: 16.
        "solvent-cement": pytest.approx(16 / 60, abs=1e-6),
        "primer": 0.2,
        "thread-tape": 0.04,
    }


def grid(rise):
    return zone(
        {"id": "header", "pipe": "pe-0.75in", "length": 6},
        {**ROW, "id": "edge", "length": 30, "rise": rise, "from": "header", "from_at": 0},
        {"id": "exhaust", "from": "edge", "pipe": "pe-0.75in", "length": 6},
        {
            **ROW,
            "length": 30,
            "rise": rise,
            "from": "header",
            "from_at": 2,
            "copies": {"count": 3, "apart": 2},
            "closes_to": {"run": "exhaust", "at": 2},
        },
    )


def test_a_closed_grid_down_a_slope():
    assert needs(job(grid(-3))) == {
        "pe-0.75in": 12,
        DRIPLINE: 4 * 30,
        # Head to header.
        "adapter-threaded-barbed-0.75in": 1,
        # Head, header and edge meet at the inlet: a tee. Rows 1 and 2 leave the header between its ends and join the
        # exhaust between its ends: four. Row 3 leaves at the header's end, where the relief valve stands too, as all
        # of the header is the highest place and its end lies farthest: a tee. Row 3 joins the exhaust at its end, the
        # lowest and farthest place, where the flush valve stands: a tee.
        "reducing-tee-barbed-0.75in-17mm": 1 + 4 + 1 + 1,
        "air-relief-valve-0.5in": 1,
        "flush-valve-0.5in": 1,
        # Each of these valves is threaded.
        "adapter-threaded-barbed-0.5in-0.75in": 2,
        # The edge goes on as the exhaust, which is wider.
        "reducer-barbed-0.75in-17mm": 1,
        # No dead end, so no caps; one tap at the flush valve.
        "pressure-tap-barbed": 1,
        # 0, 3, …, 30 ft: 11.
        "tubing-stake-17mm": 4 * 11,
        # Tees between ends 4 × 2; at the inlet the header's end and two at the adapter; likewise at the header's and
        # at the exhaust's end; the reducer's one: 8 + 3 + 3 + 3 + 1.
        "clamp-0.75in": 18,
        # Three threads.
        "thread-tape": 0.12,
    }


def test_a_level_grid_wants_no_relief_valve():
    told = needs(job(grid(0)))
    assert "air-relief-valve-0.5in" not in told
    assert told["flush-valve-0.5in"] == 1
    # Row 3 at the header's end is then an elbow, with a reducer, in place of the tee.
    assert told["elbow-barbed-0.75in"] == 1
    assert told["reducing-tee-barbed-0.75in-17mm"] == 6


def test_each_of_two_grids_is_flushed():
    # Both hang on one feed, which is no part of a loop, for cutting it parts the zone.
    feed = {"id": "feed", "pipe": "pvc-sch40-0.75in", "length": 40}
    runs = grid(-3)["runs"]
    beds = [{"id": "bed", "from": "feed", "from_at": 20, "pipe": "pe-0.75in", "length": 5}]
    beds[0]["copies"] = {"count": 2, "apart": 20}
    inner = [{**runs[0], "from": "bed"}, *runs[1:]]
    told = needs(job(zone(feed, *beds, *inner)))
    assert told["flush-valve-0.5in"] == 2
    assert told["air-relief-valve-0.5in"] == 2


# What joins the pipes that meet at one place, by hand from what meets there. The run `main` is 20 ft of 0.75 in insert
# pipe; `side` leaves it as the columns say. Only fittings that differ from a main without any side are listed.
MEETINGS = [
    # from_at, copies, apart, pipe of the side, fittings
    (10, 1, 0, "pe-0.75in", {"tee-barbed-0.75in": 1}),
    (10, 1, 0, "pe-0.5in", {"reducing-tee-barbed-0.75in-0.5in": 1}),
    (10, 1, 0, "pvc-sch40-0.75in", {"tee-barbed-0.75in": 1, "adapter-solvent-weld-barbed-0.75in": 1}),
    # Two at one place: a cross; in another size a reducing cross, which takes both.
    (10, 2, 0, "pe-0.75in", {"cross-barbed-0.75in": 1}),
    (10, 2, 0, "pe-0.5in", {"reducing-cross-barbed-0.75in-0.5in": 1}),
    # Three at one place, so five ends: a cross and a tee in a row; four: two crosses.
    (10, 3, 0, "pe-0.75in", {"cross-barbed-0.75in": 1, "tee-barbed-0.75in": 1}),
    (10, 4, 0, "pe-0.75in", {"cross-barbed-0.75in": 2}),
    # In a row of fittings all are in the size of the main, so each side in another size has a reducer.
    (10, 4, 0, "pe-0.5in", {"cross-barbed-0.75in": 2, "reducer-barbed-0.75in-0.5in": 4}),
    # One run alone at the end goes straight on.
    (20, 1, 0, "pe-0.75in", {"coupling-barbed-0.75in": 1}),
    (20, 1, 0, "pe-0.5in", {"reducer-barbed-0.75in-0.5in": 1}),
    (20, 1, 0, "pvc-sch40-0.75in", {"adapter-solvent-weld-barbed-0.75in": 1}),
    # Two of three copies leave between the ends, at 0 (the head is there too: head, main, side) and 10; the third at
    # the end, across.
    (0, 3, 10, "pe-0.75in", {"tee-barbed-0.75in": 2, "elbow-barbed-0.75in": 1}),
]


@pytest.mark.parametrize(("from_at", "copies", "apart", "pipe", "expected"), MEETINGS)
def test_what_joins_pipes_that_meet(from_at, copies, apart, pipe, expected):
    main = {"id": "main", "pipe": "pe-0.75in", "length": 20}
    side = {"id": "side", "from": "main", "from_at": from_at, "pipe": pipe, "length": 10}
    side |= {"copies": {"count": copies, "apart": apart}, "outlets": {"emitter": "compensating-1gph", "spacing": 5}}
    told = answer(job(zone(main, side)))
    dead_ends = copies if from_at == 20 or apart else copies + 1
    rules = {"line_end", "insert_clamp", "length_joint"}
    found = {
        line["part"]: line["needed"]
        for line in told["lines"]
        if line["section"] == "fittings" and not {reason["rule"] for reason in line["reasons"]} & rules
    }
    assert found.pop("adapter-threaded-barbed-0.75in") == 1  # the head
    assert found == expected
    assert told["work"]["end"] == dead_ends


def test_a_ring_of_one_run():
    ring = (
        {"id": "feed", "pipe": "pe-0.75in", "length": 10},
        {"id": "ring", "from": "feed", "pipe": "pe-0.75in", "length": 60, "closes_to": {"run": "feed", "at": 4}},
    )
    outlets = {"emitter": "compensating-1gph", "spacing": 5}
    told = needs(job(zone(ring[0], {**ring[1], "outlets": outlets})))
    # The ring leaves the feed's end straight on and comes back at 4 ft, between the feed's ends: a tee. All is level,
    # so the flush valve stands where fewer ends meet, at the feed's end, and makes a tee of the coupling there.
    assert told["tee-barbed-0.75in"] == 2
    assert told["adapter-threaded-barbed-0.5in-0.75in"] == 1
    assert told["flush-valve-0.5in"] == 1
    assert "flush-cap-barbed-0.75in" not in told


HEAD = zone(ROW, head=({"device": "backflow_preventer", "kind": "reduced_pressure"}, *THREE_DEVICES))


def test_the_pieces_of_a_head():
    told = needs(job(HEAD))
    expected = {
        # Isolation valve, union, four devices, union, tee with a tap: eight pieces, so seven nipples between them.
        "ball-valve-threaded-0.75in": 1,
        "union-threaded-0.75in": 2,
        "backflow-preventer-reduced-pressure-0.75in": 1,
        "control-valve-0.75in": 1,
        "described-filter-120mesh-0.75in": 1,
        "described-regulator-25psi-0.75in": 1,
        "reducing-tee-threaded-0.75in-0.25in": 1,
        "pressure-tap-0.25in": 1,
        "nipple-0.75in": 7,
        "valve-box": 1,
        "gravel": 2,
        "backflow-enclosure": 1,
        # Threads: two to a nipple, the supply side of the valve, the tap, and the adapter to the row: 17, 25 to a roll.
        "thread-tape": 0.68,
    }
    assert {part: told.get(part) for part in expected} == expected
    assert not [part for part in told if part.startswith(("drain", "blow-out", "valve-wire", "wire"))]


def test_frost_adds_a_drain_and_a_place_to_blow_out():
    told = needs(job(HEAD, frost=True))
    assert (told["drain-valve-0.75in"], told["blow-out-fitting-0.75in"], told["tee-threaded-0.75in"]) == (1, 1, 2)
    assert told["nipple-0.75in"] == 9  # ten pieces
    assert told["thread-tape"] == 23 / 25  # two more nipples, a thread each on drain valve and blow-out fitting


def test_a_device_with_the_figures_of_a_catalogue_part_is_that_part():
    regulator = {
        "device": "regulator", "set_pressure": 25, "flow_range": [0.5, 7],
        "loss": {"point": {"flow": 7, "loss": 5}},
    }  # fmt: skip
    valve = {"device": "valve", "loss": {"cv": 9}, "flow_range": [0.25, 12]}
    told = needs(job(zone(ROW, head=[valve, regulator])))
    assert told["regulator-medium-25psi"] == 1
    # The valve is a 1 in one, on a head of 0.75 in: a bushing on either side.
    assert (told["valve-low-flow-1in"], told["bushing-1in-0.75in"]) == (1, 2)


def test_wire_trench_and_sleeve_as_stated():
    installation = {"controller_distance": 120, "trench_length": 45, "sleeve_length": 8}
    told = needs(job({**HEAD, "installation": installation}))
    assert told["valve-wire"] == 2 * 120  # two conductors
    assert told["wire-splice"] == 2
    assert told["trench"] == 45
    # Twice the bore of 17 mm dripline (0.57 in) is 1.14 in: the next pipe is 1.25 in (1.38 in inside).
    assert told["sleeve-1.25in"] == 8


def test_wire_longer_than_its_coils_is_spliced():
    told = answer(job({**HEAD, "installation": {"controller_distance": 6000}}))
    # 6000 ft are three coils of 2500 ft: two joints in each of two conductors, beside two splices at the valve.
    # With 10 % for waste 13 200 ft are bought, in six coils: one of them may end where no joint is counted yet.
    assert counts(told, "wire-splice") == {"valve_splice": 2, "wire_joint": 4, "coil_ends": 1}


def test_outlets_on_small_tubes():
    outlets = {
        "emitter": "compensating-2gph", "spacing": 10, "per_place": 4,
        "tube": {"pipe": "tubing-0.25in", "length": 3},
    }  # fmt: skip
    told = needs(job(zone({"id": "wall", "pipe": "tubing-0.5in-600-700", "length": 50, "outlets": outlets})))
    # Places at 5, 15, …, 45 ft: five, with four outlets each, each with a hole, a connector, 3 ft of tube, a stake.
    assert told["compensating-2gph"] == 20
    assert told["barbed-connector-0.25in"] == 20
    assert told["tubing-0.25in"] == 60
    assert told["outlet-stake-0.25in"] == 20


def test_outlets_on_rigid_pipe_have_saddles():
    outlets = [{"at": at, "emitter": "spray-8gph"} for at in (5, 10)]
    told = needs(job(zone({"id": "line", "pipe": "pvc-sch40-0.75in", "length": 15, "outlets": outlets})))
    # Two outlets and the tap at the line's end.
    assert told["outlet-saddle-0.75in"] == 3
    assert "pressure-tap-barbed" not in told
    assert "barbed-connector-0.25in" not in told


def test_emitters_set_into_dripline_are_counted():
    mixed = [{"at": 5, "emitter": "inline-compensating-0.6gph"}, {"at": 7, "emitter": "compensating-1gph"}]
    told = needs(job(zone({"id": "line", "pipe": "dripline-17mm", "length": 10, "outlets": mixed})))
    # Placed one by one they are no even dripline: both are bought singly, and so is plain tubing.
    assert told["dripline-17mm"] == 10
    assert (told["inline-compensating-0.6gph"], told["compensating-1gph"]) == (1, 1)


def test_fittings_that_a_run_lists_as_losses_are_not_counted_twice():
    plain, listed = zone(ROW), zone({**ROW, "fittings": {"tee_run": 5, "coupling": 2, "reducer": 1, "entrance": 1}})
    assert needs(job(plain)) == needs(job(listed))


def test_pipe_written_out_has_a_part_too():
    pipe = {"inside_diameter": 1.0, "material": "pvc"}
    told = needs(
        job(zone({"id": "line", "pipe": pipe, "length": 15, "outlets": {"emitter": "spray-8gph", "spacing": 5}}))
    )
    assert told["described-pipe-pvc-25.4mm"] == 15  # 1 in is 25.4 mm
    assert told["flush-cap-solvent-weld-25.4mm"] == 1


def test_a_device_that_zones_share_is_counted_once():
    backflow = {"device": "backflow_preventer", "kind": "double_check"}
    zones = [zone(ROW, name=name, head=[backflow, *THREE_DEVICES]) for name in ("beds", "bank")]
    each, once = answer(job(*zones)), answer(job(*zones, shared=["backflow_preventer"]))
    part = "backflow-preventer-double-check-0.75in"
    assert by_part(each)[part]["needed"] == 2
    assert [note["code"] for note in each["notes"]] == ["backflow-each"]
    assert by_part(once)[part]["by_zone"] == [{"zone": "beds", "quantity": 1}]
    assert once["notes"] == []
    # One device fewer is one nipple fewer.
    assert by_part(each)["nipple-0.75in"]["needed"] - by_part(once)["nipple-0.75in"]["needed"] == 1


def test_taps_stakes_and_slack_are_the_callers_to_choose():
    allowances = {
        "pressure_taps": "none", "dripline_stake_spacing": 0, "slack": 0, "dripline_waste": 0, "hole_plugs": 0,
    }  # fmt: skip
    told = answer(job(HEAD, allowances=allowances))
    assert not [part for part in by_part(told) if part.startswith(("pressure-tap", "tubing-stake", "hole-plug"))]
    assert by_part(told)[DRIPLINE]["quantity"] == 80
    overridden = {each["what"] for each in told["allowances"] if each["overridden"]}
    assert overridden == set(allowances)
    assert {each["source"] for each in told["allowances"] if not each["overridden"]} == {"common practice, no source"}


def test_taps_at_the_head_alone():
    told = by_part(answer(job(HEAD, allowances={"pressure_taps": "head"})))
    assert "pressure-tap-0.25in" in told
    assert "pressure-tap-barbed" not in told


def test_a_head_may_be_larger_than_its_pipe_wants():
    told = needs(job(HEAD, head_size="1in"))
    assert told["union-threaded-1in"] == 2
    # Adapters span one step of sizes: 1 in is reduced to 0.5 in, which comes next to the 0.57 in of the row.
    assert (told["reducer-threaded-1in-0.5in"], told["adapter-threaded-barbed-0.5in-17mm"]) == (1, 1)


DEVICES = [
    ({"device": "filter", "type": "disc", "opening": 130}, "described-filter-disc-130um-0.75in"),
    ({"device": "filter"}, "described-filter-0.75in"),
    ({"device": "valve", "anti_siphon": True}, "anti-siphon-control-valve-0.75in"),
    ({"device": "injector"}, "injector-0.75in"),
    ({"device": "other", "name": "Flow sensor"}, "other-device-0.75in-called-flow-sensor"),
    ({"device": "regulator", "set_pressure": 27.5}, "described-regulator-27.5psi-0.75in"),
]


@pytest.mark.parametrize(("device", "part"), DEVICES)
def test_devices_as_described(device, part):
    assert needs(job(zone(ROW, head=[device])))[part] == 1


def test_injection_is_for_the_authority_to_say():
    told = answer(job(zone(ROW, head=[{"device": "injector"}])))
    assert "injection" in {caution["topic"] for caution in told["cautions"]}


def test_a_zone_without_a_head_is_told_so():
    assumed = {each["what"]: each["value"] for each in answer(job(zone(ROW), HEAD))["assumed"]}
    assert assumed["zones.head"] == "none in 1 of 2"
