"""How long each cable is cut, by the ways it takes added up by hand: along, out and up.

Unless said otherwise there is nothing to spare and cables are cut to the millimetre, so that a
length is its way and two slacks.

A1 is flush, 883 wide from 500, 320 deep and 1400 up; its bar is 504 to 1379. Cables run at the
rear, 40 out; holes in a floor are 40 from the sides. Inside, cable lies on a floor panel of 16.
"""

from typing import Any

import pytest
from cables import FLOOR, SLACK, TO_BAR, WALL_B, corner_job, cut, exact, routes, ways
from jobs import built, obstacle, one_bar, row

from pelmet.model.job.job import Job
from pelmet.model.plan.figure import given

# In A1 from the middle of the cabinet, 160 out, to the hole 40 from either side, 40 out; down
# through the floor; on to the bar's end 4 from that side.
IN_A1 = (941.5 - 540) + (160 - 40)
LEAD = IN_A1 + FLOOR + (540 - 504) + TO_BAR


def lengths(job: Job) -> list[float | None]:
    return [lead.length and float(lead.length.value) for lead in routes(job).leads]


# --- From the supply to the first bar ------------------------------------------------------------


@pytest.mark.parametrize(
    ("how", "way"),
    [
        ({}, LEAD),
        ({"R1": {"feed_end": "right"}}, LEAD),  # the supply is in the middle
        # Rear line: 30 + 17 / 2 = 38.5 out, 1.5 from the rear ways.
        ({"R1": {"line": "back"}}, LEAD - TO_BAR + 1.5 + 8),
        # Let into the underside, the bar's face is level with it.
        ({"R1": {"fixing": "groove"}}, LEAD - 8),
        # On top the hole is 10 off the hanging rail of 60, so 70 out; from there down inside.
        ({"S1": {"place": "on top of cabinet"}}, LEAD - (160 - 40) + (160 - 70) + (70 - 40) + 704),
        ({"S1": {"place": "on top of cabinet"}, "A1": {"height": 900}},
         LEAD - (160 - 40) + (160 - 70) + (70 - 40) + 884),
        # Behind a back panel 20 from the wall the cable runs 60 out, with no hole from the top.
        ({"S1": {"place": "on top of cabinet"}, "A1": {"back_set_in": 20}},
         (941.5 - 540) + (160 - 90) + (90 - 60) + 720 + 36 + (TO_BAR - 20)),
        ({"allowances": {"hole_from_back": 60}}, LEAD - 2 * 20),
        ({"allowances": {"hole_from_side": 60}}, LEAD),
        ({"A1": {"bottom_panel": 25}}, LEAD - FLOOR + 25),
    ],
    ids=["in the cabinet", "the other end", "back line", "groove", "on top",
         "on top of a taller one", "behind a back that is set in", "holes farther from the back",
         "holes farther from the side", "a thick floor"],
)  # fmt: skip
def test_a_lead_goes_along_out_and_up_as_the_cabinet_lets_it(how, way):
    assert lengths(one_bar(**exact(**how))) == [cut(way)]


@pytest.mark.parametrize(
    ("allowances", "length"),
    [
        # 813 and two slacks of 150 are 1113; a tenth to spare makes 1224.3.
        ({}, 1300),
        ({"cable_spare": 0}, 1200),
        ({"cable_spare": 20}, 1400),  # 1335.6
        ({"cable_step": 250}, 1250),
        ({"cable_step": 1}, 1225),
        ({"termination_slack": 0}, 900),  # 894.3
        ({"termination_slack": 200}, 1400),  # 1334.3
        ({"termination_slack": "143.5", "cable_spare": 0}, 1100),  # whole hundreds already
        ({"termination_slack": "93.5"}, 1100),  # 1000 and a tenth: the same
        ({"termination_slack": "93.51"}, 1200),
    ],
    ids=str,
)
def test_a_cable_is_cut_to_its_way_and_slack_with_spare_up_to_whole_steps(allowances, length):
    assert LEAD == 813
    assert lengths(one_bar(allowances=allowances)) == [length]


@pytest.mark.parametrize("place", ["in cabinet", "elsewhere"])
def test_a_measured_lead_is_taken_as_it_is(place):
    assert lengths(one_bar(L1={"length": "2.4 m"}, S1={"place": place})) == [2400]


def test_a_lead_from_the_plinth_rises_to_the_cabinet():
    # In the wall from 50 out to the rear of the bar's end, 437.5 along.
    (length,) = lengths(one_bar(**exact(S1={"place": "in plinth"})))
    rise = length - 2 * SLACK - ((941.5 - 504) + (50 - 40) + TO_BAR)
    # Common practice: a plinth is 100 to 150 mm high, so the rise is 1250 to 1300 mm.
    assert 1250 <= rise <= 1300


def test_a_supply_in_the_wall_is_at_the_underside():
    way = (941.5 - 504) + 40 + TO_BAR
    assert lengths(one_bar(**exact(S1={"place": "walled in"}))) == [cut(way)]


@pytest.mark.parametrize(
    "how", [{"S1": {"place": "elsewhere"}}, {"S1": {"cabinet": None}}], ids=["elsewhere", "unsaid"]
)
def test_a_lead_from_an_unknown_place_is_not_guessed(how):
    assert lengths(one_bar(**how)) == [None]


def test_a_lead_goes_round_a_corner_along_both_walls():
    # From the middle of B1, 1000 from the corner, to its hole at 740; in the wall to the end of
    # the bar at 1379 of 3000.
    way = 260 + 120 + FLOOR + (740 + 3000 - 1379) + TO_BAR
    job = corner_job(S1={"cabinet": "B1"}, R1={"feed_end": "right"})
    assert lengths(job) == [cut(way)]
    assert ways(routes(job).leads[0]) == ["inside", "through", "in wall", "under"]


def test_a_lead_to_another_room_is_not_guessed():
    rooms, walls = [{"id": "P", "name": "Invented pantry"}], [WALL_B | {"room": "P"}]
    job = corner_job(S1={"cabinet": "B1"}, add={"rooms": rooms, "walls": walls})
    assert lengths(job) == [None]


def four_walls(last_wall: int, **how: Any) -> Job:
    """D1 near the end of the last of four walls, A1 at the start of the first."""
    walls = [
        {"id": wall, "room": "K", "length": length}
        for wall, length in zip("ABCD", (3000, 2000, 3000, last_wall), strict=True)
    ]
    cabinets = [
        {"id": f"{wall}1", "wall": wall, "at": at, "width": 600, "depth": 320,
         "bottom_height": 1400}
        for wall, at in (("D", 600), ("A", 300))
    ]  # fmt: skip
    tables = {
        "rooms": [{"id": "K", "name": "Invented room"}],
        "walls": walls,
        "cabinets": cabinets,
        "obstacles": [],
        "runs": [{"id": "R1", "cabinets": ["A1"], "leg": "L1"}],
        "supplies": [{"id": "S1", "cabinet": "D1"}],
        "legs": [{"id": "L1", "supply": "S1"}],
    }
    return built(tables, **exact(**how))


@pytest.mark.parametrize(
    ("last_wall", "along"),
    [
        # 3 x 2 m, closed: from D1's hole at 1160 of 2000 round the corner to the bar at 304.
        (2000, (2000 - 1160) + 304),
        # Half a metre open, as at a doorway: no way but from D1's hole at 640 back along all the
        # walls to A1's bar, 304 to 896, and along under it.
        (1500, 8000 + 640 - 304),
    ],
    ids=["closed", "open"],
)
def test_a_lead_takes_the_shorter_way_round_a_closed_room(last_wall, along):
    way = 260 + 120 + FLOOR + along + TO_BAR
    assert lengths(four_walls(last_wall)) == [cut(way)]


def test_what_stands_in_the_way_round_a_closed_room_bars_it():
    # The window between D1 and A1 lets nothing past: the long way.
    window = obstacle("O1", 50, 200, "window", crossing="none")
    way = 260 + 120 + FLOOR + (8000 + 640 - 304) + TO_BAR
    assert lengths(four_walls(2000, add={"obstacles": [window]})) == [cut(way)]


# --- Several runs on one leg ---------------------------------------------------------------------

# Framed, 600 wide from 500: bars 522 to 1078 and 1122 to 1678, so 4 inside the openings; holes at
# 540, 1060 and 1140, 1660. The supply is in A1, at 800.
OUT_OF_A1 = (1060 - 800) + 120 + FLOOR


def two_runs(**leg: Any) -> Job:
    """R1 under A2 and R2, fed at its right, under A1: the ends are near each other."""
    second = {"id": "R2", "cabinets": ["A1"], "feed_end": "right", "leg": "L1"}
    return row(600, 600, **exact(R1={"cabinets": ["A2"]}, add={"runs": [second]}, L1=leg))


def told(job: Job) -> list[tuple[str, str | None, str, str, str | None, float | None]]:
    """Give each lead: its id, run, where from, where to, what it goes on from, its length."""
    return [
        (lead.id, lead.run, lead.origin, lead.end, lead.before,
         lead.length and float(lead.length.value))
        for lead in routes(job).leads
    ]  # fmt: skip


def test_runs_of_a_leg_branch_where_their_cables_part():
    # Out of A1 and on to the rear of R2's end at 1078; from there out to R2, and over to R1.
    trunk, *others = told(two_runs())
    assert trunk == ("L1.1", None, "S1", "L1 tee 1", None, cut(OUT_OF_A1 + 18))
    assert sorted(each[1:] for each in others) == [
        ("R1", "L1 tee 1", "R1 left", "L1.1", cut(1122 - 1078 + TO_BAR)),
        ("R2", "L1 tee 1", "R2 right", "L1.1", cut(TO_BAR)),
    ]
    assert sorted(each[0] for each in others) == ["L1.2", "L1.3"]


def test_a_chained_leg_goes_on_from_feed_end_to_feed_end():
    # R2 is the nearer one, though R1 was said first.
    assert told(two_runs(wiring="chained")) == [
        ("L1.1", "R2", "S1", "R2 right", None, cut(OUT_OF_A1 + 18 + TO_BAR)),
        ("L1.2", "R1", "R2 right", "R1 left", "L1.1", cut(TO_BAR + 44 + TO_BAR)),
    ]


def test_home_runs_all_come_from_the_supply():
    assert told(two_runs(wiring="home run")) == [
        ("L1.1", "R1", "S1", "R1 left", None, cut(OUT_OF_A1 + 18 + 44 + TO_BAR)),
        ("L1.2", "R2", "S1", "R2 right", None, cut(OUT_OF_A1 + 18 + TO_BAR)),
    ]


def test_a_measured_lead_length_is_of_the_first_run_only():
    extra = {"runs": [{"id": "R2", "cabinets": ["A2"], "leg": "L1"}]}
    job = row(600, 600, **exact(R1={"cabinets": ["A1"]}, L1={"length": 5000}, add=extra))
    # The other goes on from R1's feed end, 522, to R2's, 1122, along the rear.
    assert told(job) == [
        ("L1.1", "R1", "S1", "R1 left", None, 5000),
        ("L1.2", "R2", "R1 left", "R2 left", "L1.1", cut(TO_BAR + 600 + TO_BAR)),
    ]


def test_both_ends_of_a_cable_are_marked_with_its_id_and_where_it_goes():
    assert [lead.label for lead in routes(two_runs(wiring="chained")).leads] == [
        "L1.1 S1 > R2 right",
        "L1.2 R2 right > R1 left",
    ]


def test_a_run_without_bars_or_without_a_leg_needs_no_lead():
    assert routes(one_bar(R1={"leg": None})).leads == ()
    assert routes(one_bar(R1={"strip": "no-such-strip"})).leads == ()


# --- What is told of a length ---------------------------------------------------------------------


def test_a_lead_along_a_wall_nobody_measured_is_assumed():
    job = corner_job(S1={"cabinet": "B1"}, A={"assumed": ["length"]})
    assert routes(job).leads[0].length.assumed
    assert not routes(corner_job(S1={"cabinet": "B1"})).leads[0].length.assumed


def test_a_length_says_its_ways_and_what_was_added():
    figure = routes(one_bar()).leads[0].length
    assert figure.formula_id == "cable"
    assert {(one.name, float(one.value), one.unit) for one in figure.inputs} == {
        ("way inside", IN_A1, "mm"),
        ("way through", FLOOR, "mm"),
        ("way under", 36 + TO_BAR, "mm"),
        ("slack", 150, "mm"),
        ("cable spare", 10, "%"),
        ("cable step", 100, "mm"),
    }


def test_a_measured_length_stands_on_nothing():
    (lead,) = routes(one_bar(L1={"length": 2400})).leads
    assert lead.length == given("lead", 2400, "mm", "reading", "L1")
