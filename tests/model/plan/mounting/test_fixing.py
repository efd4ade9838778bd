"""Clips, screws, tape and people, against the rules of the trade and a search for places."""

from decimal import Decimal
from itertools import pairwise
from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pelmet.model.job.allowances import Allowances
from pelmet.model.plan.mounting.fixing import (
    clip_places,
    people_for,
    screw_left,
    tape_area,
    tape_needed,
)


def places(length, end_distance=50, spacing=400, joints=(), keep_off=20):
    found = clip_places(
        Decimal(length),
        Decimal(end_distance),
        Decimal(spacing),
        [Decimal(joint) for joint in joints],
        Decimal(keep_off),
    )
    return [round(float(place), 1) for place in found]


@pytest.mark.published
@pytest.mark.parametrize(
    ("length", "end_distance", "spacing", "clips"),
    [
        (875, 50, 400, 3),
        (900, 50, 400, 3),
        (901, 50, 400, 4),
        (3000, 100, 400, 8),
        (2000, 75, 300, 8),
        (300, 50, 400, 2),
    ],
)
def test_as_many_clips_as_the_rule_says(length, end_distance, spacing, clips):
    # Common practice: max(2, ceil((length - 2 end distance) / spacing) + 1).
    found = places(length, end_distance, spacing)
    assert len(found) == clips == max(2, ceil((length - 2 * end_distance) / spacing) + 1)
    assert found[0] == end_distance
    assert found[-1] == length - end_distance
    steps = [right - left for left, right in pairwise(found)]
    assert max(steps) - min(steps) < 0.2


@pytest.mark.parametrize(
    ("length", "found"),
    [
        (200, [50, 150]),
        (120, [30, 90]),
        (50, [12.5, 37.5]),
        (49, [24.5]),
    ],
)
def test_short_bars_have_clips_at_their_quarters_or_one_in_the_middle(length, found):
    assert places(length) == found


@pytest.mark.parametrize(
    ("joints", "found"),
    [
        # Even: 50, 350, 650, 950.
        ([], [50, 350, 650, 950]),
        ([355], [50, 335, 650, 950]),
        ([345], [50, 365, 650, 950]),
        ([350], [50, 330, 650, 950]),  # as near to either side: the left one
        ([330], [50, 350, 650, 950]),  # just far enough
        ([60], [80, 350, 650, 950]),  # never nearer the end
        ([980, 645], [50, 350, 665, 950]),
        ([340, 360], [50, 320, 650, 950]),  # two joints that leave nothing between them
        ([330, 370], [50, 350, 650, 950]),  # two that leave just one place
    ],
)
def test_a_clip_on_a_joint_moves_to_the_nearer_free_side(joints, found):
    assert places(1000, joints=joints) == found


def test_a_clip_is_added_when_moving_one_leaves_too_much():
    assert places(900, joints=[450], keep_off=0) == [50, 450, 850]
    assert places(900, joints=[450]) == [50, 316.7, 583.3, 850]


def test_joints_at_the_ends_take_no_clip_from_the_rule():
    # 905 long: four clips by the rule, though three would do once the outer ones have moved in.
    assert places(905) == [50, 318.3, 586.7, 855]
    assert places(905, joints=[40, 865]) == [60, 318.3, 586.7, 845]


def test_a_joint_too_wide_to_bridge_has_a_clip_on_either_side():
    found = places(1000, spacing=100, joints=[500], keep_off=60)
    assert found == [50, 150, 250, 350, 440, 560, 650, 750, 850, 950]


def test_no_clip_stands_on_a_bar_that_is_all_joint():
    assert places(1000, joints=[500], keep_off=500) == []
    assert places(40, joints=[20]) == []


def lattice(highest):
    return st.integers(0, highest).map(Decimal)


@pytest.mark.property
@given(
    st.integers(40, 3000).map(Decimal),
    lattice(120),
    st.integers(60, 600).map(Decimal),
    st.lists(lattice(3000), max_size=6),
    lattice(60),
)
def test_clips_are_off_joints_off_ends_and_near_enough_to_each_other(
    length, end_distance, spacing, joints, keep_off
):
    found = clip_places(length, end_distance, spacing, joints, keep_off)
    inset = length / 2 if length < end_distance else min(end_distance, length / 4)
    assert list(found) == sorted(set(found))
    assert all(inset <= place <= length - inset for place in found)
    assert all(abs(place - joint) >= keep_off for place in found for joint in joints)

    def free(place):
        return all(abs(place - joint) >= keep_off for joint in joints)

    # Where a place may be: every edge of a joint's band, and points between.
    edges = [
        inset,
        length - inset,
        *(joint + side for joint in joints for side in (-keep_off, keep_off)),
    ]
    edges = sorted({edge for edge in edges if inset <= edge <= length - inset})
    between = [(left + right) / 2 for left, right in pairwise(edges)]
    if not found:
        assert not any(map(free, edges + between))
        return
    for left, right in pairwise(found):
        inner = [place for place in edges + between if left < place < right]
        assert right - left <= spacing or not any(map(free, inner))
    # Nothing but joints outside the first and the last clip.
    assert not any(map(free, [edge for edge in edges if edge < found[0]]))
    assert not any(map(free, [edge for edge in edges if edge > found[-1]]))
    # No more than twice the clips that an even spread would have.
    assert len(found) <= 2 * max(2, ceil((length - 2 * inset) / spacing) + 1)


@pytest.mark.published
def test_a_screw_leaves_three_millimetres_of_panel():
    # Common practice: no longer than the panel less 3 mm; the clip's base is on top of that.
    assert screw_left(Decimal(16), Decimal(13), Decimal(0)) == Allowances().panel_left == 3
    assert screw_left(Decimal(16), Decimal(15), Decimal("1.5")) == Decimal("2.5")
    assert screw_left(Decimal(16), Decimal(20), Decimal(1)) == -3


@pytest.mark.published
def test_a_two_metre_bar_needs_forty_four_square_centimetres_of_tape():
    # Common practice: 55 cm2 a kilogram, 2 m of 0.8 kg.
    assert tape_needed(Allowances().tape_per_kilogram, Decimal("0.8")) == 44
    assert tape_area(Decimal(2000), Decimal("2.2"), Decimal(100)) == 44


@pytest.mark.published
def test_two_people_over_two_metres():
    # Common practice.
    over = Allowances().two_people_over
    assert [people_for(Decimal(length), over) for length in (600, 2000, 2001, 3000)] == [1, 1, 2, 2]
    assert people_for(Decimal(1600), Decimal(1500)) == 2
