"""How a cable gets from one cabinet into the next: by which sides, drilled where and from where.

Round a corner a side may stand against the wall, where nobody can drill: there the other one's side
stands against its front, or its back, and the cable goes in by that.
"""

from collections.abc import Iterator, Sequence
from math import acos, cos, inf, radians, sin
from math import degrees as degrees_of
from typing import Literal, NamedTuple

from pelmet.model.job.allowances import Allowances
from pelmet.model.job.items import Cabinet
from pelmet.model.plan.survey.geometry import Point, RoomPlan, WallLine
from pelmet.model.plan.ways.place import BELOW, TOUCH, Drilling
from pelmet.model.plan.ways.rails import PlacedCabinet

_TURN = 30.0  # [mm] a cable that comes out of a panel turns within this; common practice
_SLANT = 35.0  # [degrees] a panel is drilled no further than this off its square; from memory
_SHELVES = ("shelf", "movable shelf")

Face = Literal["left side", "right side", "front", "back"]
_SIDES: tuple[Face, Face] = ("right side", "left side")


class Crossed(NamedTuple):
    """A face of a cabinet that a cable goes through: where along the room's walls and out [mm].

    ``behind`` is how far the cabinet goes on behind it, the way the hole is drilled [mm].
    """

    hung: PlacedCabinet
    face: Face
    along: float
    out: float
    behind: float


class Passage(NamedTuple):
    """The faces from one cabinet into the next, and whether there is a void between them."""

    faces: tuple[Crossed, Crossed]
    void: bool = False


class Neighbours(NamedTuple):
    """Two cabinets that come one after the other along the walls of a room."""

    left: PlacedCabinet
    right: PlacedCabinet
    room: RoomPlan
    allowances: Allowances

    @property
    def round_corner(self) -> bool:
        """Whether they are on two walls."""
        return self.left.cabinet.wall != self.right.cabinet.wall

    def touch(self, gap: float) -> bool:
        """Whether they stand against each other, so far apart along their walls [mm]."""
        if not self.round_corner:
            return gap <= TOUCH
        one, other = self.left.cabinet, self.right.cabinet
        line = _line(self.room, one)
        sine = sin(radians(float(line.wall.corner_degrees)))
        depth = max(float(one.depth), float(other.depth)) if sine > 0 else 0.0
        return gap * abs(sine) <= depth + TOUCH and _apart(self) <= TOUCH

    def passage(self, out: float) -> Passage | None:
        """Give the faces to go through so far out from the wall [mm]; none if nobody can drill."""
        if not self.round_corner:
            return Passage(
                (_side(self.left, "right side", out), _side(self.right, "left side", out))
            )
        ahead = _faced(self.room, self.left, "right side", self.right, out)
        back = _faced(self.room, self.right, "left side", self.left, out)
        if isinstance(ahead, Crossed):
            return Passage((_side(self.left, "right side", out), ahead))
        if isinstance(back, Crossed):
            return Passage((back, _side(self.right, "left side", out)))
        if ahead == back == "void":
            sides = _side(self.left, "right side", out), _side(self.right, "left side", out)
            return Passage(sides, void=True)
        return None


def through_sides(pair: Neighbours, out: float, height: float) -> Sequence[Drilling] | None:
    """Give the holes from inside one cabinet into the next; none where no drill has room.

    A front or a back that another's side stands against is drilled from there, in one go.
    """
    found = pair.passage(out)
    solid = [each.cabinet for each in (pair.left, pair.right) if each.cabinet.kind not in _SHELVES]
    if found is None or not all(_within(each, height) for each in solid):
        return None
    holes = []
    for own, other in (found.faces, found.faces[::-1]):
        if own.hung.cabinet.kind in _SHELVES:
            continue  # it has no side to drill
        if own.face == "front" or own.face == "back":
            if other.hung.cabinet.kind in _SHELVES:
                return None  # from an end of a shelf there is no hole to go on from
            continue
        hand = _drilled_from(own, other, pair.allowances, void=found.void, panels=True)
        if hand is None:
            return None
        solid_face = other.face not in _SIDES and other.hung.cabinet.kind not in _SHELVES
        on = f"the {other.face} of {other.hung.cabinet.id}" if solid_face else ""
        holes.append(Drilling(own.hung.cabinet.id, own.face, own.along, own.out, height, hand, on))
    return holes


def through_frames(pair: Neighbours, out: float, below: float) -> Sequence[Drilling] | None:
    """Give the holes through what of framed cabinets hangs down between their undersides.

    ``below`` is the lower underside [mm]. Where another's side stands against its front, a frame is
    drilled there. None where no drill has room.
    """
    framed = [
        each.cabinet.id
        for each in (pair.left, pair.right)
        if each.cabinet.underside == "framed" and each.cabinet.kind != "upright"
    ]
    if not framed:
        return ()
    found = pair.passage(out)
    if found is None:
        return None
    holes = []
    for own, other in (found.faces, found.faces[::-1]):
        if own.hung.cabinet.id not in framed or own.face == "back":
            continue
        higher = float(own.hung.cabinet.bottom_height) - below
        if higher > 0 and higher >= float(own.hung.cabinet.lip):
            continue  # the cable goes below it
        hand = _drilled_from(own, other, pair.allowances, void=found.void, panels=False)
        if hand is None:
            return None
        holes.append(
            Drilling(own.hung.cabinet.id, "stile", own.along, own.out, below - BELOW, hand)
        )
    return holes


def _drilled_from(
    own: Crossed, other: Crossed, allowances: Allowances, *, void: bool, panels: bool
) -> str | None:
    """Say from which other cabinet to drill: an empty word for its own, nothing if from neither."""
    wanted = float(allowances.drill_room)
    if _room(own, panels=panels) >= wanted:
        return ""
    if void or _room(other, panels=panels) < wanted:
        return None
    return other.hung.cabinet.id


def _room(face: Crossed, *, panels: bool) -> float:
    """Give the clear way behind a face of a cabinet, within its panels or below them [mm]."""
    cabinet = face.hung.cabinet
    taken = 2 * float(cabinet.side_panel) if panels and cabinet.kind not in _SHELVES else 0.0
    return face.behind - taken


def _within(cabinet: Cabinet, height: float) -> bool:
    """Whether a height is between a cabinet's floor and its top [mm]."""
    low = float(cabinet.bottom_height + cabinet.bottom_panel)
    return low <= height <= low + float(cabinet.height - 2 * cabinet.bottom_panel)


# --- On the plan ----------------------------------------------------------------------------------


def _line(room: RoomPlan, cabinet: Cabinet) -> WallLine:
    return next(line for line in room.walls if line.wall.id == cabinet.wall)


def _side(hung: PlacedCabinet, face: Face, out: float) -> Crossed:
    edge = hung.right if face == "right side" else hung.left
    width, depth = float(hung.cabinet.width), float(hung.cabinet.depth)
    return Crossed(hung, face, edge, min(out, depth / 2), width)


def _faced(
    room: RoomPlan, hung: PlacedCabinet, face: Face, other: PlacedCabinet, out: float
) -> Crossed | Literal["wall", "void"]:
    """Give what a side faces so far out from its wall: the other cabinet, a wall, or nothing."""
    line = _line(room, hung.cabinet)
    at = hung.cabinet.at + (hung.cabinet.width if face == "right side" else 0)
    place = line.point(float(at), _side(hung, face, out).out)
    degrees = line.degrees + (0 if face == "right side" else 180)
    walls = (_to_wall(place, degrees, each) for each in room.walls if each.wall.id != line.wall.id)
    wall = min(walls, default=inf)
    met = _met(place, degrees, other, _line(room, other.cabinet))
    if met is not None and met[0] < wall:
        distance, crossed, slant = met
        if slant <= _SLANT:
            return crossed
        wall = distance
    return "wall" if wall < _TURN else "void"


def _to_wall(place: Point, degrees: float, wall: WallLine) -> float:
    """Give how far ahead a wall is [mm], a little behind as well."""
    across, ahead = _from(wall.start, degrees, place)
    other_across, other_ahead = _from(wall.end, degrees, place)
    if (across > 0) == (other_across > 0):
        return inf
    share = across / (across - other_across)
    distance = ahead + share * (other_ahead - ahead)
    return distance if distance >= -TOUCH else inf


def _from(point: Point, degrees: float, place: Point) -> tuple[float, float]:
    """Give how far a point is beside and ahead of a place, seen in a direction [mm]."""
    east, south = cos(radians(degrees)), sin(radians(degrees))
    x, y = point.x - place.x, point.y - place.y
    return east * y - south * x, east * x + south * y


def _met(
    place: Point, degrees: float, hung: PlacedCabinet, line: WallLine
) -> tuple[float, Crossed, float] | None:
    """Give how far ahead a cabinet is [mm], by which face of it one comes in, and how much askew.

    Nothing if one goes by it; how much askew is in degrees off the face's square.
    """
    cabinet = hung.cabinet
    out, along = _from(place, line.degrees, line.start)
    turn = radians(degrees - line.degrees)
    left, width, depth = float(cabinet.at), float(cabinet.width), float(cabinet.depth)
    enters: tuple[float, Face] = (-inf, "front")
    leaves = inf
    for start, step, low, high, faces in (
        (along, cos(turn), left, left + width, _SIDES[::-1]),
        (out, sin(turn), 0.0, depth, ("back", "front")),
    ):
        if abs(step) < 1e-9:  # beside it all the way
            if not low < start < high:
                return None
            continue
        near, far = ((low - start) / step, (high - start) / step)
        first = faces[0]
        if near > far:
            near, far, first = far, near, faces[1]
        enters = max(enters, (near, first))
        leaves = min(leaves, far)
    distance, face = enters
    if distance < -TOUCH or distance >= leaves:
        return None
    offset = hung.left - left
    met = along + distance * cos(turn), out + distance * sin(turn)
    square = abs(cos(turn) if face in _SIDES else sin(turn))
    crossed = Crossed(hung, face, met[0] + offset, met[1], leaves - distance)
    return distance, crossed, degrees_of(acos(min(square, 1.0)))


def _apart(pair: Neighbours) -> float:
    """Give how far two cabinets are apart on the plan [mm]."""
    both = (pair.left.cabinet, pair.right.cabinet)
    return min(
        _to_cabinet(corner, other, _line(pair.room, other))
        for one, other in (both, both[::-1])
        for corner in _corners(one, _line(pair.room, one))
    )


def _corners(cabinet: Cabinet, line: WallLine) -> Iterator[Point]:
    for at in (cabinet.at, cabinet.at + cabinet.width):
        for out in (0.0, float(cabinet.depth)):
            yield line.point(float(at), out)


def _to_cabinet(point: Point, cabinet: Cabinet, line: WallLine) -> float:
    out, along = _from(point, line.degrees, line.start)
    beside = max(float(cabinet.at) - along, along - float(cabinet.at + cabinet.width), 0.0)
    before = max(-out, out - float(cabinet.depth), 0.0)
    return Point(0.0, 0.0).distance(Point(beside, before))
