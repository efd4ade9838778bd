"""Bars at a corner of walls, against vectors on the plan and rectangles cut out of it."""

import cmath
from decimal import Decimal
from itertools import pairwise
from math import inf, radians

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from pelmet.model.plan.bars.corner import (
    AtCorner,
    butt_end,
    butt_start,
    crossing_point,
    dark_corner,
    is_inside,
    mitre_setting,
    mitred_edge,
)

# The corner is 0 and y runs down the page: wall A comes to it along +1, the room lies at +1j of
# a wall, and wall B turns clockwise by what the corner is short of 180 degrees.
ALONG_A = 1 + 0j
FAR = 50_000

corners = st.floats(60, 300).filter(lambda corner: abs(corner - 180) > 1)
outs = st.floats(20, 600)
faces = st.floats(5, 40)
gaps = st.floats(0.5, 10)


def along_b(corner):
    return cmath.exp(1j * radians(180 - corner))


def on_a(back, out):
    return -back * ALONG_A + out * 1j


def on_b(corner, on, out):
    return along_b(corner) * (on + out * 1j)


def bar_a(end, out, face, length=FAR):
    """Corners of a square-cut bar on A, end first and its wall side first."""
    return [
        on_a(end, out - face / 2),
        on_a(end, out + face / 2),
        on_a(end + length, out + face / 2),
        on_a(end + length, out - face / 2),
    ]


def bar_b(corner, start, out, face, length=FAR):
    return [
        on_b(corner, start, out - face / 2),
        on_b(corner, start, out + face / 2),
        on_b(corner, start + length, out + face / 2),
        on_b(corner, start + length, out - face / 2),
    ]


def mitred(length, face, corners):
    """Both edges of a bar mitred at corners of these degrees: at the wall, and at the room."""
    settings = [mitre_setting(corner) for corner in corners]
    inside = [is_inside(corner) for corner in corners]
    outside = [not each for each in inside]
    edges = (mitred_edge(length, face, *settings, longer=each) for each in (inside, outside))
    return tuple(map(float, edges))


def sides(polygon):
    return list(pairwise([*polygon, polygon[0]]))


def apart_on_an_axis(one, other):
    """Greatest gap between two convex shapes on the normals of their sides; below 0: overlap."""
    found = -inf
    for start, end in sides(one) + sides(other):
        normal = (end - start) * 1j / abs(end - start)
        shadows = [[(point / normal).real for point in shape] for shape in (one, other)]
        found = max(found, min(shadows[0]) - max(shadows[1]), min(shadows[1]) - max(shadows[0]))
    return found


def distance(one, other):
    """Least distance from a point of either shape to a side of the other; not for overlaps."""
    return min(
        to_side(point, *side)
        for shape, against in ((one, other), (other, one))
        for point in shape
        for side in sides(against)
    )


def to_side(point, start, end):
    along = (point - start) / (end - start)
    return abs(point - start - (end - start) * min(max(along.real, 0), 1))


@pytest.mark.published
@pytest.mark.parametrize(("corner", "setting"), [(90, 45), (135, 22.5), (270, 45), (120, 30)])
def test_the_saw_is_set_to_half_of_what_the_corner_is_off_straight(corner, setting):
    # Common practice, and the mitre of a regular hexagon's 120-degree corner.
    assert mitre_setting(corner) == setting
    assert mitre_setting(360 - corner) == setting


@pytest.mark.cross_check
@given(corners, outs, outs)
def test_the_middle_lines_cross_where_vectors_say(corner, out_a, out_b):
    found = crossing_point(corner, out_a, out_b)
    # Solve on_a(s, out_a) == on_b(t, out_b) by cross products, not by the angle's sine.
    between = on_a(0, out_a) - on_b(corner, 0, out_b)
    turned = (ALONG_A.conjugate() * along_b(corner)).imag
    back = (along_b(corner).conjugate() * between).imag / -turned
    assert found.on_a == pytest.approx(back, abs=1e-6)
    assert abs(on_a(found.on_a, out_a) - on_b(corner, found.on_b, out_b)) < 1e-6


def test_outside_a_corner_the_lines_cross_beyond_it():
    square_in, square_out = crossing_point(90, 250, 300), crossing_point(270, 250, 300)
    assert square_in == (pytest.approx(300), pytest.approx(250))
    assert square_out == (pytest.approx(-300), pytest.approx(-250))


@pytest.mark.parametrize("straight", [180, 0, 360])
def test_lines_along_one_straight_wall_do_not_cross(straight):
    with pytest.raises(ValueError, match="do not cross"):
        crossing_point(straight, 250, 250)
    with pytest.raises(ValueError, match="do not cross"):
        butt_start(straight, 250, 17, 250, 17, 3)
    with pytest.raises(ValueError, match="do not cross"):
        butt_end(straight, 250, 17, 250, 17)


@pytest.mark.cross_check
@given(corners, outs, faces, outs)
def test_mitred_edges_meet_where_the_edges_of_both_channels_cross(corner, out_a, face, out_b):
    middle = crossing_point(corner, out_a, out_b)
    length = FAR - middle.on_a
    wall, room = mitred(length, face, [corner])
    for side, edge in ((-1, wall), (1, room)):
        end = crossing_point(corner, out_a + side * face / 2, out_b + side * face / 2)
        assert edge == pytest.approx(FAR - end.on_a, abs=2e-6)
    assert (wall > room) == (corner < 180)


@pytest.mark.property
@given(corners, corners, st.floats(500, 3000), faces)
def test_the_middle_of_a_mitred_bar_keeps_its_length(first, last, length, face):
    wall, room = mitred(length, face, [first, last])
    assert (wall + room) / 2 == pytest.approx(length, abs=1e-6)
    one, other = (mitred(length, face, [corner])[0] for corner in (first, last))
    assert wall - length == pytest.approx(one + other - 2 * length, abs=2e-6)


def test_square_corners_take_half_a_face_an_end_from_one_edge_and_give_it_to_the_other():
    assert mitred(1000, 17, [90, 90]) == (pytest.approx(1017), pytest.approx(983))
    assert mitred(1000, 17, [270]) == (pytest.approx(991.5), pytest.approx(1008.5))
    assert mitred(1000, 17, [90, 270]) == (1000, 1000)
    assert min(mitred(15, 17, [90, 90])) < 0


@pytest.mark.published
def test_in_a_square_corner_the_other_bar_starts_a_channel_and_a_gap_on():
    # Common practice: one bar passes, the other starts the channel's width and 2-5 mm from it.
    out, face, gap = 250, 17, 3
    far_edge = out - face / 2
    assert butt_start(90, out, face, 400, 12, gap) == pytest.approx(far_edge + face + gap)
    assert butt_end(90, out, face, 400, 12) == pytest.approx(0)
    # An outside square corner is its mirror image; the end comes flush with the other's far edge.
    near_edge = out + face / 2
    assert butt_start(270, out, face, 400, 12, gap) == pytest.approx(-(near_edge - face - gap))
    assert butt_end(270, out, face, 400, 12) == pytest.approx(-406)


@pytest.mark.cross_check
@given(corners, outs, faces, outs, faces, gaps)
def test_a_butted_bar_stands_the_gap_off_one_that_passes(corner, out_a, face_a, out_b, face_b, gap):
    start = butt_start(corner, out_a, face_a, out_b, face_b, gap)
    passing = bar_a(-FAR, out_a, face_a, 2 * FAR)
    other = bar_b(corner, start, out_b, face_b)
    assert apart_on_an_axis(passing, other) == pytest.approx(gap, abs=1e-6)
    assert distance(passing, other) == pytest.approx(gap, abs=1e-6)


@pytest.mark.cross_check
@given(corners, outs, faces, outs, faces, gaps)
def test_butted_bars_never_come_nearer_than_the_gap(corner, out_a, face_a, out_b, face_b, gap):
    start = butt_start(corner, out_a, face_a, out_b, face_b, gap)
    passing = bar_a(butt_end(corner, out_a, face_a, out_b, face_b), out_a, face_a)
    other = bar_b(corner, start, out_b, face_b)
    assert apart_on_an_axis(passing, other) > 0
    found = distance(passing, other)
    assert found > gap - 1e-6
    # The corner nearest to A's line is the gap off the passing bar, unless that ends before it.
    nearest = min(other[:2], key=lambda point: abs(point.imag - out_a))
    if nearest.real <= passing[0].real:
        assert found == pytest.approx(gap, abs=1e-6)
    else:
        assert found > gap


@pytest.mark.cross_check
@given(corners, outs, faces, outs, faces)
def test_a_passing_bar_goes_until_its_first_corner_touches(corner, out_a, face_a, out_b, face_b):
    assume(face_a / 2 <= out_a)
    end = butt_end(corner, out_a, face_a, out_b, face_b)
    off_wall_b = [(point / along_b(corner)).imag for point in bar_a(end, out_a, face_a)[:2]]
    if corner < 180:
        assert min(off_wall_b) == pytest.approx(0, abs=1e-6)
    else:
        assert max(off_wall_b) == pytest.approx(out_b + face_b / 2, abs=1e-6)


@pytest.mark.cross_check
@given(corners, outs, outs, st.floats(0, 100), st.floats(0, 100))
def test_dark_is_the_way_from_light_to_light_over_the_crossing(
    corner, out_a, out_b, more_a, more_b
):
    crossing = crossing_point(corner, out_a, out_b)
    lit = AtCorner(crossing.on_a + more_a, crossing.on_b + more_b)
    over = on_a(crossing.on_a, out_a)
    way = abs(on_a(lit.on_a, out_a) - over) + abs(on_b(corner, lit.on_b, out_b) - over)
    # Along A is measured back from the corner there, and on from the start of the wall here.
    places = map(Decimal, (-lit.on_a, -crossing.on_a, crossing.on_b, lit.on_b))
    assert float(dark_corner(*places)) == pytest.approx(way, abs=1e-6)


def test_light_past_the_crossing_leaves_only_the_other_line_dark():
    def dark(lit_on_a, lit_on_b):
        return dark_corner(*map(Decimal, (-lit_on_a, -250, 250, lit_on_b)))

    assert dark(10, 280) == dark(280, 10) == 30
    assert dark(200, 200) == 0
