"""Every hole that cables need: how wide by the fill rule, where, and what it comes too near to."""

from decimal import Decimal
from math import pi, sqrt
from typing import Any

import pytest
from draws import examples
from hypothesis import given
from hypothesis import strategies as st
from jobs import Fields, built, obstacle, one_bar, part, row

from pelmet.model.job.catalogue import bundled_catalogue
from pelmet.model.job.job import Job
from pelmet.model.plan.figure import given as given_figure
from pelmet.model.plan.stages import plan_job
from pelmet.model.plan.ways.bores import BITS, bit_for_hole, hole_for, needed_diameter
from pelmet.model.plan.ways.cable import laying_minutes
from pelmet.model.plan.ways.holes import Hole

D = Decimal


def holes(job: Job) -> tuple[Hole, ...]:
    return plan_job(job).holes


def bore(*outsides: float) -> float:
    """Give the bit for cables of these widths."""
    widths = [given_figure("cable", width, "mm", "part", "mine") for width in outsides]
    return float(bit_for_hole("H1", widths).value)


def in_grommet(*outsides: float) -> float:
    """Give the hole of the bundled grommet for cables of these widths."""
    widths = [given_figure("cable", width, "mm", "part", "mine") for width in outsides]
    grommets = [one for one in bundled_catalogue().sundries if one.serves == "grommet"]
    return float(hole_for("H1", widths, grommets).diameter.value)


# --- How wide -------------------------------------------------------------------------------------


@pytest.mark.published
@pytest.mark.parametrize(("outside", "bits"), [(5, {7, 8}), (D("8.5"), {12}), (D("4.4"), {7})])
def test_one_cable_gets_the_hole_that_fitters_drill_for_it(outside, bits):
    # Common practice: 7 or 8 for a flat flex of 5 mm, 12 for a round one of 8.5.
    assert bore(outside) in bits


@pytest.mark.published
@pytest.mark.parametrize(
    ("outsides", "needed", "bit"),
    [
        # Common practice. One cable: 2 mm wider, or 1.3 times it.
        ((3,), 5, 6),
        ((5,), 7, 7),
        ((6,), 8, 8),
        ((7,), 9.1, 10),
        ((10,), 13, 14),
        ((20,), 26, 28),
        # Several fill 45 % of their hole: D^2 = (sum of d^2) / 0.45.
        ((5, 5), sqrt(50 / 0.45), 12),  # 10.54
        ((5, 5, 5), sqrt(75 / 0.45), 14),  # 12.91: three flat ones
        ((8.5, 8.5), sqrt(144.5 / 0.45), 18),  # 17.92
        ((5, 8.5), sqrt(97.25 / 0.45), 16),  # 14.70
        # A thin one beside a thick one: what the thick one needs alone.
        ((20, 1), sqrt(401 / 0.45), 30),  # 29.85
        ((5,) * 8, sqrt(200 / 0.45), 22),  # 21.08
    ],
)
def test_the_fill_rule(outsides, needed, bit):
    assert needed_diameter(outsides) == pytest.approx(needed)
    assert bore(*outsides) == bit


@pytest.mark.property
@given(st.lists(st.floats(2, 12), min_size=2, max_size=6))
def test_several_cables_fill_no_more_than_45_percent_and_a_bit_less_would_not_do(outsides):
    copper = sum(pi / 4 * width**2 for width in outsides)
    bit = bore(*outsides)
    fill = copper / (pi / 4 * bit**2)
    if bit < BITS[-1]:
        assert fill <= 0.45 + 1e-9
    smaller = [float(size) for size in BITS if size < bit]
    if smaller:
        narrow = smaller[-1]
        widest = max(outsides)
        assert copper / (pi / 4 * narrow**2) > 0.45 or narrow < max(widest + 2, 1.3 * widest)


@pytest.mark.property
@given(st.lists(st.floats(1, 15), min_size=1, max_size=5), st.floats(1, 15))
def test_one_cable_more_never_makes_a_hole_smaller(outsides, more):
    assert bore(*outsides) <= bore(*outsides, more)


def test_beyond_the_largest_bit_there_is_none():
    assert bore(20, 20, 20) == bore(39) == BITS[-1]


# --- Which holes a job needs, by hand -------------------------------------------------------------


def told(hole: Hole) -> tuple[str, str, str, float, float, float]:
    """Give a hole's id, its panel, and where it is."""
    return (
        hole.id, hole.owner, hole.panel, float(hole.across.value), float(hole.out.value),
        float(hole.height.value),
    )  # fmt: skip


def test_a_lead_out_of_its_cabinet_takes_one_hole_in_the_floor():
    (hole,) = holes(one_bar())
    # 40 from A1's left side, which is 500 along, and 40 from the wall; flat cable 5 across.
    assert told(hole) == ("H1", "A1", "floor", 40, 40, 1400)
    assert (hole.wall, hole.along, hole.datum) == ("A", 540, "left side of A1")
    assert (hole.diameter.value, hole.grommet.value) == (7, 5)
    assert (hole.cables, hole.drilled, hole.flags) == (("L1.1",), "from below", ())


def test_holes_are_numbered_along_the_wall():
    found = holes(row(600, 600, 600, R1={"feed_end": "right"}, S1={"place": "on top of cabinet"}))
    assert [hole.id for hole in found] == [f"H{number}" for number in range(1, len(found) + 1)]
    assert [hole.along for hole in found] == sorted(hole.along for hole in found)


def test_a_link_takes_the_sides_of_both_frames():
    found = [told(hole) for hole in holes(row(600, 600)) if hole.panel == "stile"]
    # At the joint, 600 from the left side of A1 and at A2's own, where the bars are.
    assert [hole[1:] for hole in found] == [
        ("A1", "stile", 600, 271.5, 1392),
        ("A2", "stile", 0, 271.5, 1392),
    ]


def test_a_stile_is_measured_from_the_start_of_its_wall():
    stile = obstacle("O1", 900, 40, crossing="hole")
    (hole,) = [one for one in holes(one_bar(add={"obstacles": [stile]})) if one.owner == "O1"]
    # Half way between the bars' ends at 896 and 944.
    assert told(hole)[1:] == ("O1", "obstacle", 920, 271.5, 1392)
    assert (hole.datum, hole.drilled) == ("start of wall A", "from the side that shows")


def test_a_hole_that_cables_share_stands_once_and_passes_them_all():
    second = {"id": "R2", "cabinets": ["A2"], "leg": "L1"}
    run = {"cabinets": ["A1"], "feed_end": "right"}
    job = row(600, 600, R1=run, L1={"wiring": "home run"}, add={"runs": [second]})
    (floor,) = [hole for hole in holes(job) if hole.panel == "floor"]
    assert (floor.cables, floor.diameter.value) == (("L1.1", "L1.2"), 12)
    # Of two legs of different cable just the same.
    legs = {"legs": [{"id": "L2", "supply": "S1", "cable": "round-2x1.5"}],
            "runs": [second | {"leg": "L2"}]}  # fmt: skip
    (floor,) = [hole for hole in holes(row(600, 600, R1=run, add=legs)) if hole.panel == "floor"]
    assert (floor.cables, floor.diameter.value) == (("L1.1", "L2.1"), 16)


def test_a_hole_that_cables_share_is_drilled_once():
    second = {"id": "R2", "cabinets": ["A2"], "leg": "L1"}
    run = {"cabinets": ["A1"], "feed_end": "right"}
    plan = plan_job(row(600, 600, R1=run, L1={"wiring": "home run"}, add={"runs": [second]}))
    ways = [way for cable in plan.routes.cables for way in cable.ways]
    each = float(plan.job.allowances.minutes_per_hole)
    laid = sum(way.minutes - each * len(way.drillings) for way in ways)
    assert sum(len(way.drillings) for way in ways) > len(plan.holes)
    found = laying_minutes(plan.routes.cables, plan.job.allowances)
    assert found == pytest.approx(laid + each * len(plan.holes))


def test_a_cable_that_comes_back_needs_its_hole_for_both_ways():
    # By way of T1, which stands on A1: up through A1's top and T1's floor, and down again.
    upper = {"id": "T1", "wall": "A", "at": 500, "width": 600, "depth": 320,
             "bottom_height": 2120, "height": 400}  # fmt: skip
    found = holes(row(600, add={"cabinets": [upper]}, L1={"via": ["T1"]}))
    assert sorted((hole.owner, hole.panel, float(hole.diameter.value)) for hole in found) == [
        ("A1", "floor", 7), ("A1", "top", 12), ("T1", "floor", 12),
    ]  # fmt: skip


@pytest.mark.parametrize(("unit", "bit"), [("mm", 12), ("cm", 12), ("in", 1 / 2)])
def test_who_measures_in_inches_drills_with_bits_in_sixteenths(unit, bit):
    # A cable of 8.5 mm takes a grommet of 10 in a hole of 12; the next bit in sixteenths is 1/2.
    job = one_bar(L1={"cable": "round-2x1.5"})
    job = job.model_copy(update={"site": job.site.model_copy(update={"length_unit": unit})})
    wide = bit * 25.4 if bit < 1 else bit
    assert float(holes(job)[0].diameter.value) == pytest.approx(wide)


@pytest.mark.parametrize(
    ("cable", "bit"), [("flat-2x0.5", 7), ("round-2x1.5", 12), ("no-such-cable", 8)]
)
def test_a_hole_is_as_wide_as_its_cable_asks(cable, bit):
    # A cable that nobody knows is taken to be 6 across.
    assert holes(one_bar(L1={"cable": cable}))[0].diameter.value == bit


def test_a_measured_way_says_nothing_of_holes():
    assert holes(one_bar(L1={"length": 2000})) == ()


# --- What a hole keeps off, and what is said when it cannot ---------------------------------------


def through_sides(**how: Any) -> dict[str, Hole]:
    """Give the holes in the sides of two frames: under A2 a stile lets nothing past."""
    stile = obstacle("O1", 1300, 20, crossing="over")
    run = {"cabinets": ["A2"], "feed_end": "right"}
    found = holes(row(600, 600, add={"obstacles": [stile]}, R1=run, **how))
    return {hole.owner: hole for hole in found if hole.panel in ("left side", "right side")}


def test_a_hole_through_sides_is_up_where_the_cable_lies_on_the_floor():
    sides = through_sides()
    assert told(sides["A1"])[2:] == ("right side", 600, 40, 1416 + 40)
    assert told(sides["A2"])[2:] == ("left side", 0, 40, 1416 + 40)
    assert sides["A1"].drilled == "from inside"


@pytest.mark.parametrize(
    ("rows", "out"),
    [
        # The hole is 7 wide: its middle keeps 13.5 off a row; it moves by fives.
        ([280], 55),  # the row 40 out
        ([270], 40 + 25),  # 50 out, so past 63.5
        ([293, 280], 55),  # 27 and 40 out
        ([294], 40),  # 26 out: 14 away
        ([266], 40),  # 54 out: 14 away
        ([267], 70),  # 53 out, so past 66.5
        ([280, 255], 80),  # 40 and 65 out
    ],
)
def test_a_hole_moves_forward_off_the_rows_of_shelf_pins(rows, out):
    sides = through_sides(A2={"pin_rows": rows})
    assert (float(sides["A2"].out.value), sides["A2"].flags) == (out, ())
    assert float(sides["A1"].out.value) == 40  # it has none


def test_a_row_that_cannot_be_cleared_is_told():
    # 160 deep: plates begin at 60 and pins are 40 out.
    sides = through_sides(A1={"depth": 160}, A2={"depth": 160, "pin_rows": [110]})
    assert "on a row of shelf pins" in sides["A2"].flags


@pytest.mark.parametrize(("limit", "told_so"), [(7, False), (D("6.9"), True)])
def test_a_hole_too_wide_for_a_side_is_told(limit, told_so):
    flags = through_sides(allowances={"side_hole": limit})["A1"].flags
    assert any("drill two" in flag for flag in flags) == told_so


# A hole of 7 in the floor: its rim is 3.5 nearer to an edge than its middle.
@pytest.mark.parametrize(
    ("how", "told_so"),
    [
        ({"allowances": {"hole_from_back": D("28.5")}}, False),
        ({"allowances": {"hole_from_back": 28}}, True),
        ({"allowances": {"hole_from_side": D("28.5")}}, False),
        ({"allowances": {"hole_from_side": 28}}, True),
        ({"allowances": {"hole_edge": D("36.5")}}, False),
        ({"allowances": {"hole_edge": D("36.6")}}, True),
        # Before a back that is set in, the panel begins at the back.
        ({"A1": {"back_set_in": 20}, "allowances": {"hole_edge": D("36.5")}}, False),
        ({"A1": {"back_set_in": 20}, "allowances": {"hole_edge": D("36.6")}}, True),
    ],
)
def test_a_rim_too_near_to_an_edge_is_told(how, told_so):
    (hole,) = holes(one_bar(**how))
    assert any("from an edge" in flag for flag in hole.flags) == told_so


# Floor and top alike, at whichever side of its cabinet the cable goes up.
@pytest.mark.parametrize(("feed_end", "across"), [("left", 28), ("right", 883 - 28)])
@pytest.mark.parametrize(("near", "told_so"), [(28, True), (D("28.5"), False)])
def test_a_rim_too_near_to_either_side_is_told_of_floor_and_top(feed_end, across, near, told_so):
    job = one_bar(
        R1={"feed_end": feed_end},
        S1={"place": "on top of cabinet"},
        allowances={"hole_from_side": near},
    )
    found = {hole.panel: hole for hole in holes(job)}
    assert found.keys() == {"floor", "top"}
    for hole in found.values():
        assert float(hole.across.value) == pytest.approx(across, abs=0.5)
        assert (hole.flags == ("its rim 24.5 mm from an edge",)) == told_so


@pytest.mark.parametrize(("depth", "told_so"), [(140, False), (139, True)])
def test_a_hole_where_hinge_plates_sit_is_told(depth, told_so):
    (hole,) = holes(one_bar(A1={"depth": depth}))
    assert ("where hinge plates or runners sit" in hole.flags) == told_so


@pytest.mark.parametrize(("depth", "told_so"), [(127, False), (126, True)])
def test_a_hole_in_the_top_keeps_off_the_hanging_rail(depth, told_so):
    # Half way out at most: 63.5 less half of 7 is the rail's 60.
    found = holes(one_bar(A1={"depth": depth}, S1={"place": "on top of cabinet"}))
    (top,) = [hole for hole in found if hole.panel == "top"]
    assert float(top.out.value) == depth / 2
    assert ("in the hanging rail" in top.flags) == told_so
    (deep,) = [hole for hole in holes(one_bar(S1={"place": "on top of cabinet"}))
               if hole.panel == "top"]  # fmt: skip
    assert (float(deep.out.value), deep.flags) == (60 + 10, ())


# --- Facts that hold for every job ----------------------------------------------------------------


@st.composite
def legs(draw: st.DrawFn) -> Job:
    """Up to four cabinets in a row, a run under each, on one or two legs."""
    tables: dict[str, list[Fields]] = {
        "rooms": [{"id": "K", "name": "Invented room"}],
        "walls": [{"id": "A", "room": "K", "length": 9000}],
        "cabinets": [], "runs": [],
        "supplies": [{"id": "S1", "cabinet": "A1"}],
        "legs": [{"id": leg, "supply": "S1", "cable": draw(st.sampled_from(["mine", "thin"])),
                  "wiring": draw(st.sampled_from(["branched", "chained", "home run"]))}
                 for leg in ("L1", "L2")],
    }  # fmt: skip
    for number in range(1, draw(st.integers(1, 4)) + 1):
        tables["cabinets"].append(
            {"id": f"A{number}", "wall": "A", "at": 600 * number, "width": 600, "depth": 320,
             "bottom_height": 1400, "underside": draw(st.sampled_from(["flush", "framed"])),
             "pin_rows": draw(st.lists(st.integers(200, 319), max_size=2))}
        )  # fmt: skip
        tables["runs"].append(
            {"id": f"R{number}", "cabinets": [f"A{number}"],
             "leg": draw(st.sampled_from(["L1", "L2"]))}
        )  # fmt: skip
    widths = st.integers(4, 12)
    cables = [part("cables", own, outside=draw(widths)) for own in ("mine", "thin")]
    return built(tables, parts={"cables": cables})


@pytest.mark.property
@examples(50)
@given(legs())
def test_every_drilled_way_of_every_cable_has_its_hole(job):
    plan = plan_job(job)
    wanted: dict[tuple[str, str, float, float], set[str]] = {}
    for cable in plan.routes.cables:
        for way in cable.ways:
            for hole in way.drillings:
                key = (hole.owner, hole.panel, hole.along, hole.height)
                wanted.setdefault(key, set()).add(cable.id)
    found = {
        (hole.owner, hole.panel, hole.along, float(hole.height.value)): set(hole.cables)
        for hole in plan.holes
    }
    assert len(found) == len(plan.holes)
    outside = {leg.id: next(float(one.outside) for one in job.catalogue.cables
                            if one.id == leg.cable) for leg in job.legs}  # fmt: skip
    owner = {cable.id: cable.leg for cable in plan.routes.cables}
    floors = {cabinet.id: float(cabinet.bottom_height) for cabinet in job.cabinets}

    def drilled(name: str, panel: str, height: float, cables: set[str]) -> float:
        """Through a stile, no higher than leaves the floor above whole."""
        if panel != "stile":
            return height
        return min(height, floors[name] - in_grommet(*(outside[owner[one]] for one in cables)) / 2)

    assert found == {
        (name, panel, along, drilled(name, panel, height, cables)): cables
        for (name, panel, along, height), cables in wanted.items()
    }
    for hole in plan.holes:
        assert hole.diameter.value == in_grommet(*(outside[owner[each]] for each in hole.cables))


# --- Through stiles -------------------------------------------------------------------------------


def stiles(**how: Any) -> list[Hole]:
    """Give the holes through the two stiles between a supply in A1 and a run under A2."""
    found = holes(row(600, 600, R1={"cabinets": ["A2"]}, **how))
    return [hole for hole in found if hole.panel == "stile"]


# Common practice: a cable is clipped to the underside; its hole leaves the cabinet's floor whole.
@pytest.mark.parametrize(("cable", "below"), [("flat-2x0.75", 6), ("round-2x1.5", 6), ("thick", 7)])
def test_a_hole_through_a_stile_is_below_the_floor_of_its_cabinet(cable, below):
    thick = part("cables", "thick", outside=12)  # a grommet of 12, in a hole of 14
    found = stiles(L1={"cable": cable}, parts={"cables": [thick]})
    assert [(hole.owner, hole.height.value, hole.drilled) for hole in found] == [
        ("A1", 1400 - below, "from the side that shows"),
        ("A2", 1400 - below, "from the side that shows"),
    ]
    for hole in found:
        assert float(hole.height.value) + float(hole.diameter.value) / 2 <= 1400


def test_a_stile_must_hang_down_as_far_as_its_hole_does():
    # A bit of 7, its middle 6 below: 9.5.
    deep, shallow = stiles(A1={"lip": D("9.5")}, A2={"lip": D("9.4")})
    assert deep.flags == ()
    assert len(shallow.flags) == 1
    assert "hangs down, 9.4 mm" in shallow.flags[0]
