"""The ways of a room that a cable may take, added up by hand, and how a leg chooses among them.

Framed cabinets 600 wide from 500 on, 320 deep, 1400 up and 720 high: A1's bar is 522 to 1078. A
metre takes 4 minutes, a hole 6, a level 3, through a wall 60, behind something 10.
"""

from typing import Any

import pytest
from cables import TO_BAR, cut, exact, routes, ways
from jobs import Fields, obstacle, row

from pelmet.model.job.job import Job
from pelmet.model.plan.ways.cable import Cable
from pelmet.model.plan.ways.place import Place, Way
from pelmet.model.plan.ways.room_ways import RoomWays

# One cabinet, by how far along its left side is: its ways and their lengths.
TOP = (70 - 40) + (2120 - 1416)  # from inside to the hole in the top, off the rail
ONE = [
    ("under", "rear 22", "rear 40", 18, 0),
    ("under", "rear 40", "rear 560", 520, 0),
    ("under", "rear 560", "rear 578", 18, 0),
    ("under", "bar 22", "rear 22", TO_BAR, 0),
    ("under", "bar 578", "rear 578", TO_BAR, 0),
    ("through", "rear 40", "inside 40", 16, 1),
    ("through", "rear 560", "inside 560", 16, 1),
    ("inside", "inside 40", "inside 560", 520, 0),
    ("through", "inside 40", "top 40", TOP, 1),
    ("through", "inside 560", "top 560", TOP, 1),
    ("over", "top 40", "top 560", 520, 0),
]
LEVEL = {("bar", 271.5, 1392): "bar", ("under", 40, 1400): "rear", ("inside", 40, 1416): "inside",
         ("top", 70, 2120): "top", ("supply", 160, 1416): "supply"}  # fmt: skip

Told = tuple[str, str, str, float, int]


def net_of(job: Job) -> RoomWays:
    return routes(job).networks["K"]


def name(place: Place) -> str:
    """Say a place by its level and how far it is from where A1 starts."""
    return f"{LEVEL[place.level, place.out, place.height]} {place.along - 500:g}"


def told(net: RoomWays, way: Way) -> Told:
    ends = sorted((name(net.places[way.start]), name(net.places[way.end])))
    return way.kind, ends[0], ends[1], way.length, len(way.drillings)


def moved(listed: list[Any], by: float) -> list[Told]:
    """Give ways with their ends in order, so many mm further along."""
    found = []
    for kind, start, end, length, holes in listed:
        ends = sorted(
            f"{level} {float(along) + by:g}" for level, along in map(str.split, (start, end))
        )
        found.append((kind, ends[0], ends[1], float(length), holes))
    return found


def test_two_cabinets_offer_all_these_ways_and_no_others():
    net = net_of(row(600, 600))
    between = [
        # Past both side panels under them, through both sides inside, and over the tops.
        ("under", "rear 578", "rear 622", 44, 2),
        ("inside", "inside 560", "inside 640", 80, 2),
        ("over", "top 560", "top 640", 80, 0),
        # Straight from bar to bar.
        ("under", "bar 578", "bar 622", 44, 2),
        # The supply in the middle of A1.
        ("inside", "inside 40", "supply 300", 260 + 120, 0),
        ("inside", "inside 560", "supply 300", 260 + 120, 0),
    ]
    wanted = [*moved(ONE, 0), *moved(ONE, 600), *moved(between, 0)]
    assert sorted(told(net, way) for way in net.ways) == sorted(wanted)


def test_each_way_costs_its_metres_holes_and_levels():
    net = net_of(row(600, 600))
    for way in net.ways:
        kind, _, _, length, holes = told(net, way)
        level = 3 if kind == "through" else 0
        assert way.minutes == pytest.approx(4 * length / 1000 + 6 * holes + level)


def test_bar_ends_and_supplies_are_at_their_places():
    net = net_of(row(600, 600))
    assert {end: name(net.places[place]) for end, place in net.ends.items()} == {
        ("R1.1", "left"): "bar 22",
        ("R1.1", "right"): "bar 578",
        ("R1.2", "left"): "bar 622",
        ("R1.2", "right"): "bar 1178",
    }
    assert {own: name(net.places[place]) for own, place in net.supplies.items()} == {
        "S1": "supply 300"
    }


def test_holes_are_where_their_way_goes_through_the_panel():
    drilled = {
        (hole.owner, hole.panel, hole.along - 500, hole.out, hole.height)
        for way in net_of(row(600, 600)).ways
        for hole in way.drillings
    }
    assert drilled == {
        *(
            (own, panel, along, out, height)
            for own, start in (("A1", 0), ("A2", 600))
            for panel, out, height in (("floor", 40, 1400), ("top", 70, 2120))
            for along in (start + 40, start + 560)
        ),
        # At the joint: the sides of the frames under the rear and the bars, and up inside.
        *((own, "stile", 600, 40, 1394) for own in ("A1", "A2")),
        *((own, "stile", 600, 271.5, 1392) for own in ("A1", "A2")),
        ("A1", "right side", 600, 40, 1456),
        ("A2", "left side", 600, 40, 1456),
    }


@pytest.mark.parametrize(
    ("kind", "levels"),
    [
        ("wall cabinet", {"under", "inside", "top"}),
        ("open unit", {"under", "inside", "top"}),
        ("shelf", {"under", "inside"}),  # what is up through a shelf lies on it
        ("movable shelf", {"under"}),  # it is not drilled
    ],
)
def test_what_a_cabinet_is_says_where_cable_goes(kind, levels):
    net = net_of(row(600, A1={"kind": kind, "height": 25}, drop=["S1", "L1"], R1={"leg": None}))
    assert {place.level for place in net.places} - {"bar"} == levels


def test_behind_a_back_that_is_set_in_cable_goes_up_without_a_hole():
    for void, found in ((12, 2), (11, 0)):
        net = net_of(row(600, A1={"back_set_in": void}))
        up = [way for way in net.ways if way.kind == "behind"]
        assert len(up) == found
        assert all(way.drillings == () for way in up)


# --- Past what stands between two cabinets 600 apart ----------------------------------------------


def apart(*things: Fields, gap: float = 600, **how: Any) -> Job:
    return row(600, 600, gap=gap, add={"obstacles": list(things)}, **how)


def past(*things: Fields, **how: Any) -> list[Way]:
    """Give the ways from A1 to A2."""
    net = net_of(apart(*things, **how))
    found = []
    for way in net.ways:
        ends = net.places[way.start], net.places[way.end]
        if {place.owner for place in ends} == {"A1", "A2"}:
            found.append(way)
    return found


# Along the rear from bar end to bar end, 578 to 1222; from top's hole to top's hole, 560 to 1240.
UNDER, OVER = 600 + 2 * 22, 600 + 2 * 40


@pytest.mark.parametrize(
    ("kind", "crossing", "way", "length", "minutes"),
    [
        ("hood", "over", "over", OVER, 4 * 0.680),
        ("hood", "behind", "behind", UNDER, 4 * 0.644 + 10),
        ("hood", "in wall", "in wall", UNDER, 4 * 0.644 + 60),
        ("window", "not chosen", "over", OVER, 4 * 0.680),
        ("fridge gap", "not chosen", "over", OVER, 4 * 0.680),
        ("fridge gap", "hole", "under", UNDER, 4 * 0.644 + 6),
        ("pipe", "not chosen", "under", UNDER, 4 * 0.644),
        ("corner", "not chosen", "under", UNDER, 4 * 0.644),
        ("partition", "not chosen", "under", UNDER, 4 * 0.644 + 6),
    ],
)
def test_what_is_between_is_passed_by_its_crossing_alone(kind, crossing, way, length, minutes):
    (only,) = past(obstacle("O1", 1100, 600, kind, crossing=crossing))
    assert (only.kind, only.length, only.passes) == (way, length, ("O1",))
    assert only.minutes == pytest.approx(minutes)
    assert not only.bare


def test_a_bare_wall_is_passed_in_the_wall():
    (only,) = past()
    assert (only.kind, only.length, only.passes, only.bare) == ("in wall", UNDER, (), True)


@pytest.mark.parametrize(
    ("bottom", "height", "more"),
    [
        # Along at 1400: 400 down to the sill and 800 up to the head, so under it and up again.
        (1000, 1200, 2 * 400),
        (700, 800, 2 * 100),
        (1400, 600, 0),
        (900, 500, 0),
    ],
)
def test_in_the_wall_a_cable_goes_round_a_window(bottom, height, more):
    window = obstacle("O1", 1100, 600, "window", crossing="in wall", bottom_height=bottom,
                      height=height)  # fmt: skip
    (only,) = past(window)
    assert (only.kind, only.length) == ("in wall", UNDER + more)


@pytest.mark.parametrize(
    ("measured", "worktop", "more"),
    [
        # Nobody measured it: from 150 to 1150 above the worktop, as windows are; along at 1400.
        ({}, 910, 2 * (1400 - 1060)),
        ({}, 1000, 2 * (1400 - 1150)),
        ({"bottom_height": 1300}, 910, 2 * 100),
        ({"height": 500}, 910, 2 * (1560 - 1400)),
    ],
)
def test_a_window_that_nobody_measured_stands_where_windows_do(measured, worktop, more):
    window = obstacle("O1", 1100, 600, "window", crossing="in wall", **measured)
    (only,) = past(window, K={"worktop_height": worktop})
    assert only.length == UNDER + more


@pytest.mark.parametrize(("gap", "bare"), [(50, False), (51, True)])
def test_a_narrow_gap_hides_a_cable(gap, bare):
    assert any(way.bare for way in past(gap=gap)) == bare


@pytest.mark.parametrize(
    "thing",
    [
        obstacle("O1", 1100, 600, "window", crossing="none"),
        obstacle("O1", 1100, 600, "hood"),
        obstacle("O1", 1100, 600, "hood", cover="open"),
    ],
    ids=["none", "a hood", "an open hood"],
)
def test_there_is_no_way_where_none_is_chosen_or_none_can_be_expected(thing):
    assert past(thing) == []
    second = {"runs": [{"id": "R2", "cabinets": ["A2"], "leg": "L1"}], "obstacles": [thing]}
    job = row(600, 600, gap=600, R1={"cabinets": ["A1"]}, add=second)
    assert [(lead.run, lead.length is None) for lead in routes(job).leads] == [
        ("R1", False),
        ("R2", True),
    ]


@pytest.mark.parametrize("choice", [{"crossing": "over"}, {"cover": "covered"}])
def test_an_open_hood_has_a_way_once_one_is_chosen(choice):
    assert len(past(obstacle("O1", 1100, 600, "hood", **choice))) == 1


def test_a_partition_under_a_shelf_is_passed_over_the_shelf():
    shelf = {"kind": "shelf", "height": 25, "underside": "flush", "opening": ()}
    wall = obstacle("O1", 900, 20, "partition", crossing="over")
    (only,) = routes(row(600, add={"obstacles": [wall]}, A1=shelf)).links
    assert only.cable is not None


def test_a_supply_at_a_partition_is_no_way_past_it():
    wall = obstacle("O1", 790, 20, "partition", crossing="none")
    second = {"runs": [{"id": "R2", "cabinets": ["A2"], "leg": "L1"}], "obstacles": [wall]}
    job = row(600, 600, R1={"cabinets": ["A1"]}, L1={"length": 2000}, add=second)
    # R1 is fed on the left of the partition; from there nothing gets to R2.
    assert [lead.length is None for lead in routes(job).leads] == [False, True]


# --- By way of, and out of ------------------------------------------------------------------------


def owners(cable: Cable) -> list[str]:
    """Give the cabinets a cable touches, in order."""
    found = [place.owner for place in cable.places]
    return [own for at, own in enumerate(found) if at == 0 or found[at - 1] != own]


def two_floors(**leg: Any) -> Job:
    """Three cabinets with three more on them, a run under A3, the supply in A1."""
    upper = [
        {"id": f"T{number}", "wall": "A", "at": 500 + 600 * (number - 1), "width": 600,
         "depth": 320, "bottom_height": 2120, "height": 400}
        for number in (1, 2, 3)
    ]  # fmt: skip
    return row(600, 600, 600, add={"cabinets": upper}, R1={"cabinets": ["A3"]}, L1=leg)


def test_a_cable_keeps_out_of_cabinets():
    (plain,) = routes(two_floors()).leads
    assert owners(plain) == ["S1", "A1", "A2", "A3", "R1.1"]
    (round_it,) = routes(two_floors(avoid=["A2"])).leads
    assert owners(round_it) == ["S1", "A1", "T1", "T2", "T3", "A3", "R1.1"]
    (none,) = routes(two_floors(avoid=["A2", "T2"])).leads
    assert (none.length, none.run) == (None, "R1")


def test_a_cable_from_bar_to_bar_keeps_out_of_what_its_leg_does():
    # R1 has bars under A1 and A3; the way from one to the other is under A2, or round it above.
    (plain,) = routes(row(600, 600, 600, R1={"cabinets": ["A1", "A3"]})).links
    assert "A2" in owners(plain.cable)
    kept = row(600, 600, 600, R1={"cabinets": ["A1", "A3"]}, L1={"avoid": ["A2"]})
    (only,) = routes(kept).links
    assert only.cable is None or "A2" not in owners(only.cable)


def test_a_cable_goes_by_way_of_cabinets_in_their_order():
    (there,) = routes(two_floors(via=["T2"])).leads
    assert owners(there)[-1] == "R1.1"
    assert "T2" in owners(there)
    (up_and_back,) = routes(two_floors(via=["T3", "A1"])).leads
    touched = owners(up_and_back)
    assert touched.index("T3") < len(touched) - 1 - touched[::-1].index("A1")
    (plain,) = routes(two_floors()).leads
    minutes = [sum(way.minutes for way in each.ways) for each in (plain, there, up_and_back)]
    assert minutes == sorted(minutes)


def test_all_runs_of_a_leg_are_come_to_by_way_of_the_cabinets_first():
    second = {"runs": [{"id": "R2", "cabinets": ["A1"], "leg": "L1"}]}
    job = row(600, 600, 600, R1={"cabinets": ["A2"]}, L1={"via": ["A3"]}, add=second)
    leads = {lead.id: lead for lead in routes(job).leads}
    (first,) = [lead for lead in leads.values() if lead.before is None]
    assert "A3" in owners(first)
    assert {lead.run for lead in leads.values()} >= {"R1", "R2"}


# --- How a leg is wired ---------------------------------------------------------------------------


def three_runs(wiring: str) -> list[Cable]:
    """Three cabinets with a run under each, fed at their left ends; the supply in A1."""
    more = [{"id": f"R{each}", "cabinets": [f"A{each}"], "leg": "L1"} for each in (2, 3)]
    how = exact(R1={"cabinets": ["A1"]}, add={"runs": more}, L1={"wiring": wiring})
    return list(routes(row(600, 600, 600, **how)).leads)


# From the supply at 800 to the hole at 540 and down, to the rear of R1's end 18 back.
DOWN = (800 - 540) + 120 + 16


def test_home_runs_go_each_its_own_way():
    lengths = [float(lead.length.value) for lead in three_runs("home run")]
    # R2's and R3's ends, 1122 and 1722, are reached by the hole at 1060.
    assert lengths == [cut(DOWN + 18 + TO_BAR), cut(DOWN + 62 + TO_BAR), cut(DOWN + 662 + TO_BAR)]


def test_a_chain_goes_from_end_to_end():
    leads = three_runs("chained")
    assert [(lead.run, lead.before) for lead in leads] == [
        ("R1", None), ("R2", "L1.1"), ("R3", "L1.2"),
    ]  # fmt: skip
    assert [float(lead.length.value) for lead in leads] == [
        cut(DOWN + 18 + TO_BAR), *[cut(TO_BAR + 600 + TO_BAR)] * 2,
    ]  # fmt: skip
    assert [ways(lead) for lead in leads[1:]] == [["under"]] * 2


def test_a_tree_has_no_cable_twice_along_a_way():
    leads = three_runs("branched")
    assert sum(lead.run is None for lead in leads) == 2  # two tees
    taken = [(way.start, way.end, way.kind) for lead in leads for way in lead.ways]
    assert len(taken) == len(set(taken))
    # Along the rear from 522 to 1722 once, out of A1 once, and out to each bar.
    whole = sum(way.length for lead in leads for way in lead.ways)
    assert whole == DOWN + (1722 - 522) + 3 * TO_BAR
