"""Bars that meet round a corner of the room, added up by hand, and facts that always hold."""

from decimal import Decimal

import pytest
from corners import LENGTH, MEETINGS, corner, kinds, pair, run_of
from draws import examples
from hypothesis import given
from hypothesis import strategies as st
from jobs import one_bar, part

from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.stages import plan_job

D = Decimal


# --- By hand: lines 271.5 out, channels 17 wide, A1 883 wide, B1 600 ------------------------------


def test_in_a_square_corner_the_first_bar_goes_on_and_the_other_butts_on_it():
    before, after = pair(corner())
    # A1's own 883 to the wall. B's line starts 271.5 + 8.5 + 3 from A's wall and ends at 920.
    assert (before.opening.left, before.opening.clear.value) == (2117, 883)
    assert (after.opening.left, after.opening.clear.value) == (283, 637)
    # Where it butts it has a cap and no clearance: that is in the gap.
    assert (before.length.value, after.length.value) == (883 - 2 * 4, 637 - 2 - 4)
    assert (before.right, after.left) == (2996, 285)
    assert (kinds(before), kinds(after)) == (["free", "face"], ["butt", "free"])
    assert (before.caps, after.caps) == (2, 2)


def test_in_a_square_corner_the_second_bar_can_go_on_instead():
    before, after = pair(corner(90, "second passes"))
    assert (before.opening.left, before.opening.right) == (2117, 3000 - 283)
    assert (after.opening.left, after.opening.right) == (0, 920)
    assert (before.length.value, after.length.value) == (600 - 4 - 2, 920 - 2 * 4)
    assert (kinds(before), kinds(after)) == (["free", "butt"], ["face", "free"])


def test_in_a_square_corner_mitred_bars_are_cut_at_45_degrees():
    before, after = pair(corner(90, "mitre"))
    # To where the middles cross, 271.5 from both walls; a cap and clearance at the square end.
    assert (before.length.value, after.length.value) == (D("611.5") - 4, D("648.5") - 4)
    assert [float(edge.value) for edge in before.points] == pytest.approx([607.5 + 8.5, 599])
    assert [float(edge.value) for edge in after.points] == pytest.approx([644.5 + 8.5, 636])
    assert [edge.name for edge in before.points] == ["wall edge", "room edge"]
    settings = [bar.opening.ends[side].setting.value for bar, side in ((before, 1), (after, 0))]
    assert settings == [45, 45]
    assert (before.caps, after.caps) == (1, 1)
    # The saw takes 5 more off one side of a strip 10 wide: 3 + 5 at its far end, 550 lit.
    assert (before.lit.value, before.dark_right.value) == (550, 3 + 5)
    # On B the feed's side is at the corner: 10 + 5 and what is left of 644.5 - 18 - 600.
    assert (after.lit.value, after.dark_left.value) == (600, 10 + 5 + D("26.5"))


def test_round_an_outside_corner_the_room_s_edge_is_the_longer():
    before, after = pair(corner(270, "mitre"))
    # A1 ends 320 past the corner; the middles cross 271.5 past it.
    assert (before.length.value, after.length.value) == (D("834.5") - 4, D("871.5") - 4)
    assert [float(edge.value) for edge in before.points] == pytest.approx([830.5 - 8.5, 839])
    assert (before.right, after.left) == (D("3271.5"), D("-271.5"))


def test_round_an_outside_corner_the_first_bar_goes_to_the_room_s_edge_of_the_other():
    before, after = pair(corner(270))
    # 271.5 + 8.5 past the corner; the other starts 3 short of the channel that passes it.
    assert (before.opening.right, after.opening.left) == (3280, -260)
    assert (before.right, after.left) == (3280 - 4, -260 + 2)


def between_two_corners(length: float) -> Bar:
    """Give the middle one of three mitred bars, under a cabinet that fills its wall."""
    wall = {"room": "K", "length": 2000}
    walls = [{**wall, "id": "B", "length": length}, {**wall, "id": "C"}]
    cabinets = [
        {"id": f"{own}1", "wall": own, "at": at, "width": width, "depth": 320,
         "bottom_height": 1400}
        for own, at, width in (("B", 0, length), ("C", 320, 600))
    ]  # fmt: skip
    run = {"cabinets": ["A1", "B1", "C1"], "corner": "mitre"}
    job = one_bar(A1={"at": 1797}, R1=run, add={"walls": walls, "cabinets": cabinets})
    return next(bar for bar in run_of(job).bars if bar.wall == "B")


def test_a_bar_between_two_corners_is_mitred_at_both_ends():
    bar = between_two_corners(2600)
    assert (bar.left, bar.right, bar.caps) == (D("271.5"), 2600 - D("271.5"), 0)
    assert [float(edge.value) for edge in bar.points] == pytest.approx([2057 + 17, 2057 - 17])
    assert kinds(bar) == ["mitre", "mitre"]


@pytest.mark.parametrize("wall", [3525, 3527, 3530, 3544, 3548, 3551, 3560])
def test_a_mitred_bar_is_no_longer_than_its_stock_by_its_longer_edge(wall):
    # Its middle is 543 shorter than the wall, its wall edge 526; the longest stock is 3000.
    bar = between_two_corners(wall)
    assert max(float(edge.value) for edge in (bar.length, *bar.points)) <= 3000


@pytest.mark.parametrize("width", [2968, 2969, 2970, 2972])
def test_a_butted_bar_is_no_longer_than_its_stock(width):
    # B's opening is 37 longer than B1; with a cap alone where it butts its bar is 6 shorter.
    *_, after = run_of(corner(90, B1={"width": width})).bars
    assert after.length.value <= 3000


def test_bars_that_are_mitred_take_two_caps_less():
    caps = {
        meeting: next(
            need.amount.value
            for need in plan_job(corner(90, meeting)).needs
            if need.part == "cap-17"
        )
        for meeting in MEETINGS
    }
    assert caps == {"first passes": 4, "second passes": 4, "mitre": 2}


def test_a_bar_that_reaches_under_the_other_wall_s_cabinet_knows_it():
    before, after = pair(corner(90, "second passes"))
    assert before.opening.cabinets == ("A1",)
    assert after.opening.cabinets == ("A1", "B1")


@pytest.mark.parametrize("meeting", MEETINGS)
@pytest.mark.parametrize("depths", [(320, 320), (320, 280), (280, 350)])
@pytest.mark.parametrize("first_in_corner", [True, False])
def test_each_line_runs_under_its_own_wall_s_cabinet(meeting, depths, first_in_corner):
    at = {"A1": {}, "B1": {}} if first_in_corner else {
        "A1": {"at": LENGTH - depths[1] - 883}, "B1": {"at": 0}
    }  # fmt: skip
    cabinets = {own: {"depth": depth} | at[own] for own, depth in zip(at, depths, strict=True)}
    mounts = plan_job(corner(90, meeting, **cabinets)).mounts
    assert [float(mount.from_wall.value) for mount in mounts] == [depth - 48.5 for depth in depths]


def test_beside_a_shallower_neighbour_a_corner_is_reckoned_from_the_line_the_bar_keeps():
    # One bar under A0 and A1 follows A0's front: 300 - 48.5 = 251.5 out. B's channel starts
    # 251.5 + 8.5 + 3 from A's wall.
    neighbour = {"id": "A0", "wall": "A", "at": 2117 - 600, "width": 600, "depth": 300,
                 "bottom_height": 1400}  # fmt: skip
    job = corner(add={"cabinets": [neighbour]}, R1={"cabinets": ["A0", "A1", "B1"]})
    assert [float(mount.from_wall.value) for mount in plan_job(job).mounts] == [251.5, 271.5]
    assert pair(job)[1].opening.left == 263


# --- When bars do not meet ------------------------------------------------------------------------


@pytest.mark.parametrize(
    "how",
    [
        {"B1": {"underside": "framed"}},
        {"A1": {"underside": "framed"}},
        {"B1": {"bottom_height": 1402}},
        {"B1": {"at": 324}},
        {"A1": {"at": 2113}, "B1": {"at": 320}},
        {"A": {"corner_degrees": 180}},
        {"B1": {"kind": "upright"}},
    ],
    ids=["framed on", "framed before", "a step", "too far on", "too far back", "straight",
         "an upright"],
)  # fmt: skip
def test_cabinets_that_do_not_meet_keep_their_own_openings(how):
    changes = dict(how)
    degrees = changes.pop("A", {}).get("corner_degrees", 90)
    job = corner(90, **changes)
    if degrees != 90:
        walls = (job.walls[0].model_copy(update={"corner_degrees": D(degrees)}), job.walls[1])
        job = job.model_copy(update={"walls": walls})
    for bar in run_of(job).bars:
        assert set(kinds(bar)) <= {"free", "face"}
        assert bar.opening.ends[0].crossing is None
        assert bar.opening.cabinets in (("A1",), ("B1",))


@pytest.mark.parametrize("at", [320, 323])
def test_a_cabinet_that_stands_against_the_other_s_side_meets_it(at):
    assert "butt" in kinds(pair(corner(90, B1={"at": at}))[1])


def test_the_other_cabinet_may_be_the_one_in_the_corner():
    # B1 goes into the corner, A1 stands against its side: A's bar goes on under B1.
    before, after = pair(corner(90, A1={"at": 2117 - 320}, B1={"at": 0}))
    assert before.opening.cabinets == ("A1", "B1")
    assert (before.opening.left, before.opening.right) == (1797, 3000)
    assert (after.opening.left, after.opening.right) == (283, 600)


# --- Facts that hold round every corner -----------------------------------------------------------

DEPTHS = st.integers(200, 600)


@pytest.mark.property
@examples(50)
@given(
    st.integers(60, 170) | st.integers(190, 300),
    st.sampled_from(MEETINGS),
    DEPTHS,
    DEPTHS,
    st.sampled_from(["front", "middle", "back"]),
    st.sampled_from(["left", "right"]),
    st.integers(8, 40),
)
def test_light_lies_in_bars_and_bars_in_openings(
    degrees, meeting, depth, other, line, feed_end, face
):
    job = corner(
        degrees, meeting, A1={"depth": depth}, B1={"depth": other},
        R1={"line": line, "feed_end": feed_end, "channel": "mine"},
        parts={"channels": [part("channels", "mine", face=face)]},
    )  # fmt: skip
    fit = run_of(job)
    for bar in fit.bars:
        assert bar.opening.left <= bar.left < bar.right <= bar.opening.right
        assert bar.left <= bar.lit_left < bar.lit_right <= bar.right
        assert bar.lit.value <= bar.length.value <= bar.opening.clear.value
        assert bar.dark_left.value + bar.lit.value + bar.dark_right.value == bar.length.value
        assert sum(edge.kind == "mitre" for edge in bar.opening.ends) == 2 - bar.caps


@pytest.mark.parametrize("meeting", MEETINGS)
@pytest.mark.parametrize("degrees", [90, 135, 270])
def test_the_feed_end_changes_no_bar_round_a_corner(degrees, meeting):
    sides = [pair(corner(degrees, meeting, R1={"feed_end": end})) for end in ("left", "right")]
    told = [[(bar.left, bar.length, bar.units.value, bar.points) for bar in bars] for bars in sides]
    assert told[0] == told[1]
