"""How long each cable is, added up by hand along the walls, with rise, fall and slack."""

from decimal import Decimal

import pytest
from jobs import built, one_bar, row

from pelmet.model.plan.routes import Routes
from pelmet.model.plan.stages import plan_job

SLACK = 150
# Bar from 504 to 1379 at 1400 up; A1 is 883 wide from 500: its middle at 941.5.
MIDDLE = Decimal("941.5")
WALL_B = {"id": "B", "room": "K", "length": 2600}


def routes(job) -> Routes:
    return plan_job(job).worked.routes


def lead(**how) -> float | None:
    """Give the length of the one lead."""
    (only,) = routes(one_bar(**how)).leads
    return None if only.length is None else float(only.length.value)


def obstacle(own_id, at, width, crossing, wall="A", kind="stile"):
    return {
        "id": own_id, "wall": wall, "kind": kind, "at": at, "width": width, "crossing": crossing,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("how", "length"),
    [
        ({}, MIDDLE - 504 + 2 * SLACK),
        ({"R1": {"feed_end": "right"}}, 1379 - MIDDLE + 2 * SLACK),
        ({"S1": {"place": "on top of cabinet"}}, MIDDLE - 504 + 720 + 2 * SLACK),
        (
            {"S1": {"place": "on top of cabinet"}, "A1": {"height": 900}},
            MIDDLE - 504 + 900 + 2 * SLACK,
        ),
        ({"allowances": {"termination_slack": 0}}, MIDDLE - 504),
        ({"L1": {"length": 2400}}, 2400),
        ({"L1": {"length": "2.4 m"}, "S1": {"place": "elsewhere"}}, 2400),
    ],
    ids=["in the cabinet", "the other end", "on top", "on top of a taller one", "no slack",
         "measured", "measured from elsewhere"],
)  # fmt: skip
def test_a_lead_goes_along_the_wall_and_up_or_down(how, length):
    assert lead(**how) == pytest.approx(float(length))


def test_a_lead_from_the_plinth_rises_to_the_cabinet():
    # Common practice: a plinth is 100 to 150 mm high, so the rise is 1250 to 1300 mm.
    rise = lead(S1={"place": "in plinth"}) - float(MIDDLE - 504 + 2 * SLACK)
    assert 1250 <= rise <= 1300


@pytest.mark.parametrize(
    "how", [{"S1": {"place": "elsewhere"}}, {"S1": {"cabinet": None}}], ids=["elsewhere", "unsaid"]
)
def test_a_lead_from_an_unknown_place_is_not_guessed(how):
    assert lead(**how) is None


def corner_job(**how):
    """Cabinet B1 on the next wall, 700 from the corner, in a run of its own or in R1."""
    cabinet = {"id": "B1", "wall": "B", "at": 700, "width": 600, "depth": 320,
               "bottom_height": 1400}  # fmt: skip
    add = {"walls": [WALL_B], "cabinets": [cabinet]}
    add |= how.pop("add", {})
    return one_bar(add=add, **how)


def test_a_lead_goes_round_a_corner_along_both_walls():
    job = corner_job(S1={"cabinet": "B1"}, R1={"feed_end": "right"})
    (only,) = routes(job).leads
    assert only.length.value == pytest.approx(3000 - 1379 + 700 + 300 + 2 * SLACK)


def test_a_lead_to_another_room_is_not_guessed():
    rooms, walls = [{"id": "P", "name": "Invented pantry"}], [WALL_B | {"room": "P"}]
    job = corner_job(S1={"cabinet": "B1"}, add={"rooms": rooms, "walls": walls})
    assert [one.length for one in routes(job).leads] == [None]


@pytest.mark.parametrize(
    ("last_wall", "along"),
    [
        # 3 x 2 m, closed: from 900 up the last wall, round its corner, 4 along the first.
        (2000, 1100 + 4),
        # Half a metre open, as at a doorway: no way but back along all the walls.
        (1500, 8000 + 900 - 4),
    ],
    ids=["closed", "open"],
)
def test_a_lead_takes_the_shorter_way_round_a_closed_room(last_wall, along):
    walls = [
        {"id": wall, "room": "K", "length": length}
        for wall, length in zip("ABCD", (3000, 2000, 3000, last_wall), strict=True)
    ]
    cabinets = [
        {"id": f"{wall}1", "wall": wall, "at": at, "width": 600, "depth": 320,
         "bottom_height": 1400}
        for wall, at in (("D", 600), ("A", 0))
    ]  # fmt: skip
    tables = {
        "rooms": [{"id": "K", "name": "Invented room"}],
        "walls": walls,
        "cabinets": cabinets,
        "runs": [{"id": "R1", "cabinets": ["A1"], "leg": "L1"}],
        "supplies": [{"id": "S1", "cabinet": "D1"}],
        "legs": [{"id": "L1", "supply": "S1"}],
    }
    (only,) = routes(built(tables)).leads
    assert only.length.value == pytest.approx(along + 2 * SLACK)


def test_further_runs_of_a_leg_branch_off_at_the_feed_end_of_the_first():
    job = row(
        600, 600, R1={"cabinets": ["A2"]}, add={"runs": [{"id": "R2", "cabinets": ["A1"],
                                                          "feed_end": "right", "leg": "L1"}]}
    )  # fmt: skip
    first, branch = routes(job).leads
    assert (first.run, first.origin) == ("R1", "S1")
    assert (branch.run, branch.origin) == ("R2", "R1")
    # A1: 518-1082 clear, bar 522-1078; A2: 1118-1682 clear, bar 1122-1678; S1 at 800.
    assert first.length.value == pytest.approx(1122 - 800 + 2 * SLACK)
    assert branch.length.value == pytest.approx(1122 - 1078 + 2 * SLACK)


def test_a_measured_lead_length_is_of_the_first_run_only():
    extra = {"runs": [{"id": "R2", "cabinets": ["A2"], "leg": "L1"}]}
    job = row(600, 600, R1={"cabinets": ["A1"]}, L1={"length": 5000}, add=extra)
    first, branch = routes(job).leads
    assert first.length.value == 5000
    assert branch.length.value == pytest.approx(600 + 2 * SLACK)


def test_a_run_without_bars_or_without_a_leg_needs_no_lead():
    assert routes(one_bar(R1={"leg": None})).leads == ()
    assert routes(one_bar(R1={"strip": "no-such-strip"})).leads == ()


# --- Links between bars of one run --------------------------------------------------------------


def link(*obstacles, **how):
    """Give the one link of two framed cabinets, bars 522-1078 and 1122-1678."""
    (only,) = routes(row(600, 600, add={"obstacles": list(obstacles)}, **how)).links
    return only


@pytest.mark.parametrize(
    ("crossing", "length"),
    [
        ("hole", 44 + 2 * SLACK),
        ("behind", 44 + 2 * SLACK),
        ("in wall", 44 + 2 * SLACK),
        ("not chosen", 44 + 2 * SLACK),
        # Up and over, as fitters reckon it: 2 x height + gap + 2 x depth + slack.
        ("over", 44 + 2 * 720 + 2 * 320 + 2 * SLACK),
    ],
)
def test_a_link_passes_what_lies_between_in_the_chosen_way(crossing, length):
    found = link(obstacle("O1", 1090, 20, crossing))
    assert (found.crossing, found.obstacles) == (crossing, ("O1",))
    assert found.length.value == pytest.approx(length)


def test_no_cable_passes_an_obstacle_it_may_not_pass():
    found = link(obstacle("O1", 1090, 20, "none"))
    assert (found.crossing, found.length) == ("none", None)


def test_side_panels_alone_take_a_hole():
    found = link()
    assert (found.crossing, found.obstacles, found.length.value) == ("hole", (), 44 + 2 * SLACK)


def test_a_step_in_height_lengthens_a_link():
    assert link(A2={"bottom_height": 1520}).length.value == 44 + 120 + 2 * SLACK


@pytest.mark.parametrize(
    ("first", "second", "crossing"),
    [
        ("hole", "none", "none"),
        ("not chosen", "none", "none"),
        ("hole", "over", "over"),
        ("not chosen", "hole", "not chosen"),
        ("behind", "in wall", "in wall"),
    ],
)
def test_the_way_past_several_things_is_the_hardest_of_theirs(first, second, crossing):
    found = link(obstacle("O1", 1085, 10, first), obstacle("O2", 1100, 10, second))
    assert (found.crossing, found.obstacles) == (crossing, ("O1", "O2"))


def test_what_stands_elsewhere_is_not_passed():
    assert link(obstacle("O1", 100, 50, "none"), obstacle("O2", 2000, 50, "none")).obstacles == ()


def test_a_care_zone_is_not_crossed():
    assert link(obstacle("O1", 1090, 20, "none", kind="socket")).obstacles == ()


def test_a_link_goes_round_a_corner_along_both_walls():
    job = corner_job(R1={"cabinets": ["A1", "B1"]})
    (only,) = routes(job).links
    assert only.length.value == pytest.approx(3000 - 1379 + 704 + 2 * SLACK)


@pytest.mark.parametrize(
    ("wall", "at", "between"),
    [("A", 2000, True), ("B", 300, True), ("A", 100, False), ("B", 1500, False)],
)
def test_a_link_round_a_corner_meets_what_stands_on_either_wall(wall, at, between):
    window = obstacle("O1", at, 300, "none", wall=wall, kind="window")
    job = corner_job(R1={"cabinets": ["A1", "B1"]}, add={"obstacles": [window]})
    (only,) = routes(job).links
    assert (only.length is None) == between
    assert only.obstacles == (("O1",) if between else ())


def test_bars_in_two_rooms_are_not_linked():
    rooms, walls = [{"id": "P", "name": "Invented pantry"}], [WALL_B | {"room": "P"}]
    job = corner_job(R1={"cabinets": ["A1", "B1"]}, add={"rooms": rooms, "walls": walls})
    assert [one.length for one in routes(job).links] == [None]


@pytest.mark.parametrize("name", ["height", "depth"])
def test_a_way_over_a_cabinet_nobody_measured_is_assumed(name):
    over = obstacle("O1", 1090, 20, "over")
    assert not link(over).length.assumed
    assert link(over, A1={"assumed": [name]}).length.assumed
