"""Where the walls stand, and where along a room's walls a thing is.

Plan coordinates: x to the right, y down the page, millimetres. The first wall of a room runs
to the right with the room below it; each next wall turns by 180 degrees less its corner.
"""

import math
from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import NamedTuple

from pelmet.model.grouped import grouped
from pelmet.model.job.items import Room, Wall
from pelmet.model.job.job import Job

STRAIGHT_DEGREES = 180
_REMEMBERED = 512  # rooms
CLOSED_MM = 10.0  # a room is closed when its last wall ends this near the first one's start


class Point(NamedTuple):
    """A point on the plan [mm]."""

    x: float
    y: float

    def distance(self, other: "Point") -> float:
        """Give how far another point is [mm]."""
        return math.hypot(other.x - self.x, other.y - self.y)

    def towards(self, degrees: float, distance: float) -> "Point":
        """Give the point this far away; 0 degrees is right, 90 is down the page."""
        angle = math.radians(degrees)
        return Point(self.x + distance * math.cos(angle), self.y + distance * math.sin(angle))


class WallLine(NamedTuple):
    """One wall on the plan, and how far along its room's walls it starts."""

    wall: Wall
    start: Point
    degrees: float
    before: float

    @property
    def end(self) -> Point:
        """The wall's right-hand end."""
        return self.point(float(self.wall.length))

    def point(self, at: float, out: float = 0.0) -> Point:
        """Give the point ``at`` along the wall and ``out`` into the room [mm]."""
        return self.start.towards(self.degrees, at).towards(self.degrees + 90, out)


class RoomPlan(NamedTuple):
    """A room and its walls, left to right."""

    room: Room
    walls: tuple[WallLine, ...]

    @property
    def is_closed(self) -> bool:
        """Whether its last wall ends where the first one starts."""
        walls = self.walls
        return len(walls) > 1 and walls[-1].end.distance(walls[0].start) <= CLOSED_MM


def lay_out_rooms(job: Job) -> tuple[RoomPlan, ...]:
    """Lay each room's walls out end to end, each room with an origin of its own."""
    walls = grouped(job.walls, lambda wall: wall.room)
    return tuple(_laid_out(room, walls.get(room.id, ())) for room in job.rooms)


@lru_cache(maxsize=_REMEMBERED)
def _laid_out(room: Room, walls: tuple[Wall, ...]) -> RoomPlan:
    return RoomPlan(room, _chain(walls))


def wall_lines(rooms: Iterable[RoomPlan]) -> Mapping[str, WallLine]:
    """Give every wall on the plan by its id."""
    return {line.wall.id: line for room in rooms for line in room.walls}


def _chain(walls: Iterable[Wall]) -> tuple[WallLine, ...]:
    lines: list[WallLine] = []
    start, degrees, before = Point(0.0, 0.0), 0.0, 0.0
    for wall in walls:
        line = WallLine(wall, start, degrees, before)
        lines.append(line)
        start = line.end
        degrees = (degrees + STRAIGHT_DEGREES - float(wall.corner_degrees)) % 360
        before += float(wall.length)
    return tuple(lines)
