"""Whether a bar goes in, against a rectangle that is turned step by step."""

import random
from math import cos, hypot, pi, sin, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pelmet.model.plan.bars.put_in import (
    can_tilt,
    passing_height,
    pieces_to_go_in,
    swing_width,
    tilt_room,
    way_in,
)

STEPS = 1000
# What the steps of the sweep may miss [mm].
GRAIN = 0.05


def turned(length, depth, angle):
    """Corners (x, y down) of a bar whose top left corner touches the underside."""
    end = (length * cos(angle), length * sin(angle))
    down = (-depth * sin(angle), depth * cos(angle))
    return [(0.0, 0.0), end, (end[0] + down[0], end[1] + down[1]), down]


def width_above(corners, faces):
    """Width of what is above the lower edges of the faces, cut off side by side."""
    xs = [x for x, y in corners if y <= faces]
    for (x1, y1), (x2, y2) in zip(corners, [*corners[1:], corners[0]], strict=True):
        if (y1 - faces) * (y2 - faces) < 0:
            xs.append(x1 + (x2 - x1) * (faces - y1) / (y2 - y1))
    return max(xs) - min(xs)


def span(corners, axis):
    along = [corner[axis] for corner in corners]
    return max(along) - min(along)


def swing_by_steps(length, depth, faces):
    angles = (pi / 2 * step / STEPS**2 * step for step in range(STEPS + 1))  # finest near level
    return max(width_above(turned(length, depth, angle), faces) for angle in angles)


def goes_in_tilted(length, depth, clear, faces, mouth, room_below):
    """Turn the bar up from level until it is as narrow as the mouth, or until it strikes."""
    for step in range(STEPS + 1):
        corners = turned(length, depth, pi / 2 * step / STEPS)
        if span(corners, 1) > room_below or width_above(corners, faces) > clear:
            return False
        if span(corners, 0) <= mouth:
            return True
    return False


def draws(count):
    draw = random.Random(11)
    for _ in range(count):
        length = draw.uniform(60, 1500)
        depth = draw.uniform(5, min(30, length / 2))
        yield draw, length, depth


@pytest.mark.cross_check
def test_the_swing_is_as_wide_as_the_widest_step_of_it():
    for draw, length, depth in draws(60):
        for faces in (0.0, draw.uniform(0, 2 * depth), depth, length, depth * 0.98):
            widest = swing_by_steps(length, depth, faces)
            assert widest - 1e-9 <= swing_width(length, depth, faces) <= widest + GRAIN


@pytest.mark.cross_check
def test_bars_go_through_a_mouth_just_when_turning_them_step_by_step_does():
    seen = set()
    for draw, length, depth in draws(400):
        mouth = length * draw.uniform(0.02, 1.1)
        clear = length + draw.choice([draw.uniform(-1, 4), draw.uniform(4, 400)])
        faces, height = draw.uniform(0, 2 * depth), length * draw.uniform(0.05, 1.2)
        found = way_in(length, depth, clear, faces, mouth, height)
        if abs(found.spare) < 2:  # the sweep is too coarse to tell
            continue
        seen.add((found.way, found.decided_by))
        if length <= min(clear, mouth):
            assert found.way == "straight"
        elif length > clear:
            assert found.way == "as two"
        else:
            by_steps = goes_in_tilted(length, depth, clear, faces, mouth, height)
            assert by_steps == (found.way == "tilted"), (length, depth, clear, faces, mouth, height)
    assert {way for way, _ in seen} == {"straight", "tilted", "as two"}
    assert {what for _, what in seen} == {"clear width", "mouth", "room below"}


@pytest.mark.cross_check
def test_the_height_through_a_mouth_is_the_highest_step_of_levelling():
    for draw, length, depth in draws(60):
        mouth = draw.uniform(depth + 1, length)
        highest = 0.0
        for step in range(STEPS + 1):
            corners = turned(length, depth, pi / 2 * step / STEPS)
            highest = max(highest, span(corners, 1))
            if span(corners, 0) <= mouth:
                break
        # The last step may be up to a step's angle too far.
        assert passing_height(length, depth, mouth) == pytest.approx(
            highest, abs=2 * length / STEPS
        )


@pytest.mark.published
def test_right_triangles_of_whole_numbers():
    # Euclid, Elements I.47, in the triples 3-4-5, 8-15-17 and 20-21-29.
    assert tilt_room(40, 30) == pytest.approx(10)
    assert tilt_room(150, 80) == pytest.approx(20)
    assert swing_width(210, 200, 200) == pytest.approx(290)


@pytest.mark.property
@given(st.floats(60, 3000), st.floats(1, 30), st.floats(0, 60), st.floats(0, 60))
def test_deeper_faces_never_make_the_swing_easier_and_tilt_room_is_the_most(
    length, depth, faces, more
):
    shallow, deep = (swing_width(length, depth, at) for at in (faces, faces + more))
    assert length <= shallow <= deep + 1e-9
    assert deep <= length + tilt_room(length, depth) + 1e-9
    assert swing_width(length, depth, depth) == pytest.approx(hypot(length, depth))


def test_a_long_bar_swings_up_in_its_end_clearance_and_a_short_one_does_not():
    # 879 + 4 mm of air, 16 mm deep: 0.15 mm to swing. 100 mm, 21 mm deep: 2.2 mm.
    assert can_tilt(879, 16, 883, 20)
    assert can_tilt(100, 21, 102.2, 25)
    assert not can_tilt(100, 21, 102, 25)
    # The same short bar under faces that hardly come down: 10000 / sqrt(10000 - 144) = 100.73.
    assert can_tilt(100, 21, 100.74, 12)
    assert not can_tilt(100, 21, 100.72, 12)


def test_without_a_mouth_a_bar_goes_in_level_or_not_at_all():
    assert way_in(879, 16, 883, 20) == ("straight", 879, 4, "clear width")
    assert way_in(879, 16, 879, 20) == ("straight", 879, 0, "clear width")
    assert way_in(884, 16, 883, 20) == ("as two", 884, -1, "clear width")
    assert pieces_to_go_in(884, 16, 883, 20) is None


def test_a_bar_longer_than_the_mouth_goes_in_tilted_when_there_is_height():
    # At 60 degrees 1000 x 20 is 500 + 10 sqrt(3) wide and 500 sqrt(3) + 10 high.
    mouth, height = 500 + 10 * sqrt(3), 500 * sqrt(3) + 10
    bar = (1000, 20, 1004, 600, mouth)
    assert passing_height(1000, 20, mouth) == pytest.approx(height)
    assert way_in(*bar).way == "tilted"
    assert way_in(*bar, height + 0.01).way == "tilted"
    low = way_in(*bar, height - 10)
    assert (low.way, low.decided_by) == ("as two", "room below")
    assert (low.needed, low.spare) == (pytest.approx(height), pytest.approx(-10))
    assert pieces_to_go_in(*bar, height + 0.01) == 1
    assert pieces_to_go_in(*bar, height - 10) == 2


def test_a_bar_too_tight_to_swing_is_named_with_what_it_lacks():
    found = way_in(100, 21, 101, 50, 90)
    assert (found.way, found.decided_by) == ("as two", "clear width")
    assert found.needed == pytest.approx(sqrt(10441))
    assert found.spare == pytest.approx(101 - sqrt(10441))
    assert way_in(100, 21, 150, 50, 20) == ("as two", 21, -1, "mouth")


def test_as_few_pieces_as_go_through_the_mouth():
    # With no height to tilt in, each piece is to be no longer than the mouth.
    assert [
        pieces_to_go_in(900, 16, 904, 20, mouth, 20)
        for mouth in (900, 899, 450, 449, 299, 150, 149)
    ] == [1, 2, 2, 3, 4, 6, None]


def test_the_last_piece_has_only_the_clearance_to_swing_in():
    # Halves of 150 mm, 30 deep: 152.97 wide on the diagonal, and 2 mm of air is all there is.
    assert way_in(150, 30, 304, 40, 140).way == "tilted"
    assert pieces_to_go_in(300, 30, 302, 40, 140, 200) == 3
    assert pieces_to_go_in(300, 30, 303, 40, 140, 200) == 2
    # Shallow faces do not help it: the end of the piece beside it is as deep as itself.
    assert pieces_to_go_in(300, 30, 302, 10, 140, 200) == 3
