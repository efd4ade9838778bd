"""Where a bar's line of light stands: out from the wall, up from the floor, and its throw."""

from decimal import Decimal
from typing import get_args

import pytest
from draws import examples
from hypothesis import given
from hypothesis import strategies as st
from jobs import one_bar, part, row

from pelmet.model.job.items import Facing
from pelmet.model.plan.mounting.mounts import Mount, throw_degrees
from pelmet.model.plan.stages import plan_job


def mounts(job) -> tuple[Mount, ...]:
    return plan_job(job).mounts


def place(**how) -> tuple[Decimal, Decimal]:
    """Give the one bar's distance from the wall and its height."""
    (mount,) = mounts(one_bar(**how))
    return mount.from_wall.value, mount.height.value


# A cabinet 320 deep and 1400 up; the channel is 17 wide and 8 deep. Set-backs go to its near edge.
@pytest.mark.parametrize(
    ("run", "allowances", "from_wall"),
    [
        ({"line": "front"}, {}, Decimal(320) - 40 - Decimal("8.5")),
        ({"line": "front"}, {"front_set_back": 0}, 320 - Decimal("8.5")),
        ({"line": "middle"}, {}, 160),
        ({"line": "middle"}, {"front_set_back": 90, "back_set_back": 90}, 160),
        ({"line": "back"}, {}, 30 + Decimal("8.5")),
        ({"line": "back"}, {"back_set_back": 50}, 50 + Decimal("8.5")),
        ({"line": "back", "channel": "corner-18"}, {}, 30 + 9),
    ],
)
def test_a_line_is_set_back_to_its_near_edge(run, allowances, from_wall):
    assert place(R1=run, allowances=allowances) == (
        from_wall,
        1400 - (18 if "channel" in run else 8),
    )


@pytest.mark.parametrize("line", ["front", "middle", "back"])
def test_let_into_the_underside_a_bar_is_level_with_it(line):
    out, _ = place(R1={"line": line})
    assert place(R1={"line": line, "fixing": "groove"}) == (out, 1400)


@pytest.mark.parametrize("face", [12, 17])
def test_on_a_shelfs_front_edge_a_bar_stands_before_it_level_with_its_underside(face):
    channel = {12: "slim-12", 17: "surface-17"}[face]
    run = {"line": "edge", "channel": channel}
    assert place(A1={"kind": "shelf", "height": 25}, R1=run) == (320 + Decimal(face) / 2, 1400)


def test_a_bar_hangs_with_its_middle_over_the_middle_of_its_opening():
    (mount,) = mounts(one_bar())
    assert mount.at == 500 + Decimal(883) / 2
    left, right = mounts(one_bar(R1={"pieces": 2}))
    assert (left.at, right.at) == (500 + Decimal(883) / 4, 500 + 3 * Decimal(883) / 4)


@pytest.mark.parametrize(
    ("line", "allowances"), [("front", {"front_set_back": 400}), ("back", {"back_set_back": 400})]
)
def test_a_set_back_deeper_than_the_cabinet_leaves_the_channel_under_it(line, allowances):
    out, _ = place(R1={"line": line}, allowances=allowances)
    assert Decimal("8.5") <= out <= 320 - Decimal("8.5")


def test_a_bar_under_two_cabinets_follows_the_shallower_and_the_lower_one():
    job = row(600, 600, underside="flush", A2={"depth": 300, "bottom_height": 1399})
    (mount,) = mounts(job)
    assert mount.from_wall.value == 300 - 40 - Decimal("8.5")
    assert mount.height.value == 1399 - 8


def test_framed_neighbours_of_two_depths_each_have_their_own_line():
    job = row(600, 600, A2={"depth": 300, "bottom_height": 1500})
    assert [(m.from_wall.value, m.height.value) for m in mounts(job)] == [
        (320 - 40 - Decimal("8.5"), 1392),
        (300 - 40 - Decimal("8.5"), 1492),
    ]


@pytest.mark.parametrize(
    ("facing", "degrees", "side"),
    [
        ("down", 90, 0),
        ("60 to wall", 60, -1),
        ("45 to wall", 45, -1),
        ("30 to wall", 30, -1),
        ("60 to room", 60, 1),
        ("45 to room", 45, 1),
        ("30 to room", 30, 1),
    ],
)
def test_a_facing_is_degrees_below_the_horizontal_and_a_side(facing, degrees, side):
    assert throw_degrees(facing) == (degrees, side)


def test_every_facing_that_can_be_said_is_tried_above():
    assert {throw_degrees(facing) for facing in get_args(Facing)} == {
        (90, 0),
        *((degrees, side) for degrees in (30, 45, 60) for side in (-1, 1)),
    }


@pytest.mark.property
@examples(50)
@given(
    st.sampled_from(["front", "middle", "back"]),
    st.integers(1, 1000),
    st.integers(0, 1000),
    st.integers(0, 1000),
    st.integers(1, 200),
)
def test_a_channel_stays_under_its_cabinet_when_it_is_no_wider(line, depth, front, back, face):
    out, _ = place(
        A1={"depth": max(depth, face)},
        R1={"line": line, "channel": "mine"},
        parts={"channels": [part("channels", "mine", face=face)]},
        allowances={"front_set_back": front, "back_set_back": back},
    )
    assert Decimal(face) / 2 <= out <= max(depth, face) - Decimal(face) / 2


def test_a_mark_of_assumed_depth_or_height_stays_with_the_figure():
    (mount,) = mounts(one_bar(A1={"assumed": ["depth", "bottom_height"]}))
    assert mount.from_wall.assumed
    assert mount.height.assumed
    (sure,) = mounts(one_bar())
    assert not sure.from_wall.assumed
    assert not sure.height.assumed
