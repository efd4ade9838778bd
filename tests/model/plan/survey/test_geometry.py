"""Where walls stand on the plan, against complex-number arithmetic and closed polygons."""

import cmath
from itertools import pairwise
from math import radians

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jobs import built

from pelmet.model.plan.survey.geometry import Point, RoomPlan, lay_out_rooms, wall_lines

ROOM = {"id": "K", "name": "Invented room"}


def room_of(*walls: tuple[float, float]) -> RoomPlan:
    """Lay out one room of walls, each (length, corner after it)."""
    items = [
        {"id": f"W{row}", "room": "K", "length": length, "corner_degrees": corner}
        for row, (length, corner) in enumerate(walls, 1)
    ]
    return lay_out_rooms(built({"rooms": [ROOM], "walls": items}))[0]


def ends(room: RoomPlan) -> list[complex]:
    """Give the start of the first wall and the end of every wall."""
    first = room.walls[0].start
    return [complex(first.x, first.y), *(complex(line.end.x, line.end.y) for line in room.walls)]


def by_complex_numbers(walls: list[tuple[float, float]]) -> list[complex]:
    """Multiply a heading by exp(i turn) at each corner; y runs down the page."""
    heading, found = 1 + 0j, [0j]
    for length, corner in walls:
        found.append(found[-1] + length * heading)
        heading *= cmath.exp(1j * radians(180 - corner))
    return found


def area(points: list[complex]) -> float:
    """Give the shoelace area; with y down the page it is positive when walked clockwise."""
    return sum((a.conjugate() * b).imag for a, b in pairwise([*points, points[0]])) / 2


WALLS = st.lists(st.tuples(st.integers(1, 50_000), st.integers(20, 340)), min_size=1, max_size=8)


@pytest.mark.cross_check
@given(WALLS)
def test_walls_stand_where_complex_numbers_put_them(walls):
    found = ends(room_of(*walls))
    for ours, theirs in zip(found, by_complex_numbers(walls), strict=True):
        assert abs(ours - theirs) < 1e-6


@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("walls", "square_metres"),
    [
        ([(4000, 90), (3000, 90), (4000, 90), (3000, 90)], 12),
        # An L: five inside corners and one outside, 4 x 3 less 1.5 x 1.
        (
            [(4000, 90), (2000, 90), (1500, 270), (1000, 90), (2500, 90), (3000, 90)],
            4 * 3 - 1.5 * 1,
        ),
        # A square with one corner cut off at 45 degrees: legs of 1 m.
        (
            [(2000, 135), (1000 * 2**0.5, 135), (2000, 90), (3000, 90), (3000, 90)],
            9 - 0.5,
        ),
        ([(3000, 60)] * 3, 3**0.5 / 4 * 9),
        ([(1000, 120)] * 6, 3 * 3**0.5 / 2),
        # A triangle of 3 m less two small ones of 1 m: one outside corner of 300.
        (
            [(2000, 60), (1000, 300), (1000, 60), (2000, 60), (3000, 60)],
            3**0.5 / 4 * (9 - 2),
        ),
    ],
    ids=["rectangle", "L", "cut corner", "triangle", "hexagon", "with an outside corner of 300"],
)
def test_closed_rooms_close(walls, square_metres):
    walls = [(round(length, 6), corner) for length, corner in walls]
    assert sum(180 - corner for _, corner in walls) == 360
    found = ends(room_of(*walls))
    assert abs(found[-1] - found[0]) < 1e-5
    assert area(found[:-1]) / 1e6 == pytest.approx(square_metres)


@pytest.mark.parametrize(
    ("lengths", "closed"),
    [
        ((4000, 3000, 4000, 3000), True),
        ((4000, 3000, 4000, 2991), True),  # 9 short of the first wall's start: a tape's slack
        ((4000, 3000, 4000, 2989), False),
        ((4000, 3000, 4011, 3000), False),
        ((4000, 3000, 4000), False),  # a U: the end is as far along as the start, and below it
        ((4000, 3000), False),
        ((4000,), False),
    ],
)
def test_a_room_is_closed_where_its_last_wall_comes_back_to_the_first(lengths, closed):
    assert room_of(*((length, 90) for length in lengths)).is_closed == closed


@pytest.mark.parametrize(
    ("corner", "x", "y"),
    [
        (90, 1000, 500),  # a square inside corner: down the page, towards the room
        (270, 1000, -500),  # an outside corner: up the page, away from it
        (180, 1500, 0),
        (135, 1000 + 500 / 2**0.5, 500 / 2**0.5),
        (60, 1000 - 250, 500 * 3**0.5 / 2),
        (300, 1000 - 250, -500 * 3**0.5 / 2),
    ],
)
def test_each_corner_turns_the_way_it_is_called(corner, x, y):
    end = room_of((1000, corner), (500, 90)).walls[1].end
    assert (end.x, end.y) == (pytest.approx(x), pytest.approx(y))


@pytest.mark.property
@given(WALLS)
def test_the_mirrored_room_has_corners_less_than_full_turns(walls):
    found = ends(room_of(*walls))
    mirrored = ends(room_of(*((length, 360 - corner) for length, corner in walls)))
    for one, other in zip(found, mirrored, strict=True):
        assert abs(one.conjugate() - other) < 1e-6


@pytest.mark.property
@given(WALLS)
def test_walking_the_walls_backwards_turns_the_same_shape_round(walls):
    *lengths, last = [length for length, _ in walls]
    corners = [corner for _, corner in walls[:-1]]
    backwards = [*zip([last, *lengths[::-1]], [*(360 - c for c in corners[::-1]), 90], strict=True)]
    found, turned = ends(room_of(*walls)), ends(room_of(*backwards))[::-1]
    shift = turned[0]
    rotation = (turned[1] - turned[0]) / (found[1] - found[0])
    assert abs(rotation) == pytest.approx(1)
    for one, other in zip(found, turned, strict=True):
        assert abs(shift + rotation * one - other) < 1e-5


@pytest.mark.property
@given(WALLS)
def test_before_is_the_length_of_the_walls_already_walked(walls):
    lines = room_of(*walls).walls
    assert [line.before for line in lines] == [
        sum(length for length, _ in walls[:row]) for row in range(len(walls))
    ]


@pytest.mark.property
@given(WALLS, st.integers(0, 5000), st.integers(-500, 5000))
def test_a_point_out_from_a_wall_stands_square_to_it_on_the_rooms_side(walls, at, out):
    for line in room_of(*walls).walls:
        along = complex(line.end.x - line.start.x, line.end.y - line.start.y)
        along /= abs(along)
        point, start = line.point(at, out), complex(line.start.x, line.start.y)
        # y runs down, so a quarter turn clockwise is +1j.
        assert abs(complex(point.x, point.y) - start - along * (at + out * 1j)) < 1e-6


def test_a_point_out_from_every_wall_of_a_rectangle_is_inside_it():
    room = room_of((4000, 90), (3000, 90), (4000, 90), (3000, 90))
    for line in room.walls:
        point = line.point(float(line.wall.length) / 2, 600)
        assert 0 < point.x < 4000
        assert 0 < point.y < 3000


def test_each_room_starts_at_its_own_origin_and_keeps_to_its_own_walls():
    rooms = [ROOM, {"id": "P", "name": "Invented pantry"}]
    walls = [
        {"id": "A", "room": "K", "length": 1000},
        {"id": "P1", "room": "P", "length": 700},
        {"id": "B", "room": "K", "length": 500},
    ]
    laid = lay_out_rooms(built({"rooms": rooms, "walls": walls}))
    assert [[line.wall.id for line in room.walls] for room in laid] == [["A", "B"], ["P1"]]
    lines = wall_lines(laid)
    assert (lines["P1"].start, lines["P1"].before) == (Point(0, 0), 0)
    assert lines["B"].before == 1000


def test_a_room_without_walls_is_still_a_room():
    assert lay_out_rooms(built({"rooms": [ROOM]})) == (RoomPlan(room_of((1, 90)).room, ()),)
