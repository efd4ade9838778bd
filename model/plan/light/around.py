"""What stands round a wall as its light meets it: other walls whose bars count, and boards.

Bars count that hang up to two corners away: round the corner, or across the room. Boards shade
what lies along walls square to their own.
"""

from collections.abc import Iterable, Iterator, Sequence
from math import cos, radians, sin
from typing import Final, NamedTuple

from pelmet.model.job.items import Cabinet, Wall
from pelmet.model.plan.light.photometry.boards import Box
from pelmet.model.plan.survey.geometry import RoomPlan, WallLine

MM: Final = 1000.0
CORNERS: Final = 2
"""So many corners away bars of other walls count."""
_SQUARE: Final = 1e-6  # of a turn, off a square one
_OUTSIDE: Final = 180
_THIN: Final = 0.001  # metres; a wall has to have some thickness to be met
_HIGH: Final = 1e3  # metres; as high as any wall


class Turn(NamedTuple):
    """How places along one wall [m] become those along another: out and along, of out and along."""

    out: tuple[float, float, float]
    along: tuple[float, float, float]

    @property
    def square(self) -> bool:
        """Whether one is square to the other, or in line with it."""
        return abs(self.out[0]) in (0.0, 1.0)


HERE: Final = Turn((1.0, 0.0, 0.0), (0.0, 1.0, 0.0))


def turn(one: WallLine, other: WallLine) -> Turn:
    """Give how places along one wall become those along another."""
    if one is other:
        return HERE
    angle = one.degrees - other.degrees
    c, s = _exactly(cos(radians(angle))), _exactly(sin(radians(angle)))
    away, beside = (one.start.x - other.start.x) / MM, (one.start.y - other.start.y) / MM
    along = radians(other.degrees)
    east, south = _exactly(cos(along)), _exactly(sin(along))
    # Out of a wall is a quarter turn on from along it.
    return Turn((c, s, -away * south + beside * east), (-s, c, away * east + beside * south))


def _exactly(part: float) -> float:
    near = float(round(part))
    return near if abs(part - near) < _SQUARE else part


def beside(room: RoomPlan, own: int) -> tuple[WallLine, ...]:
    """Give the walls whose bars count at the wall of a row, itself first."""
    walls = room.walls
    offs = [off for step in range(1, CORNERS + 1) for off in (step, -step)]
    rows = [own, *(own + off for off in offs)]
    if room.is_closed:
        rows = [row % len(walls) for row in rows]
    return tuple(walls[row] for row in dict.fromkeys(rows) if 0 <= row < len(walls))


def has_outside_corner(walls: Iterable[WallLine]) -> bool:
    """Say if any of some walls may stand between what is along others."""
    return any(float(line.wall.corner_degrees) > _OUTSIDE for line in walls)


def wall_box(wall: Wall) -> Box:
    """Give a wall as a board, in its own frame."""
    return Box(-_THIN, 0.0, 0.0, float(wall.length) / MM, -_HIGH, _HIGH)


def boxes_of(
    cabinets: Sequence[Cabinet], low: float, high: float, *, hollow: frozenset[str]
) -> Iterator[Box]:
    """Give what of the cabinets of a wall is between two heights [mm], in the wall's frame.

    Those that are ``hollow`` are taken as their floor, their top and their sides.
    """
    for each in cabinets:
        bottom = float(each.bottom_height)
        top = bottom + float(each.height)
        if bottom >= high or top <= low:
            continue
        for box in _hollow(each) if each.id in hollow else (_whole(each),):
            if box.bottom * MM < high and box.top * MM > low:
                yield box


def _whole(cabinet: Cabinet) -> Box:
    at, bottom = float(cabinet.at) / MM, float(cabinet.bottom_height) / MM
    end, top = at + float(cabinet.width) / MM, bottom + float(cabinet.height) / MM
    return Box(0.0, float(cabinet.depth) / MM, at, end, bottom, top)


def _hollow(cabinet: Cabinet) -> Iterator[Box]:
    whole = _whole(cabinet)
    panel, side = float(cabinet.bottom_panel) / MM, float(cabinet.side_panel) / MM
    yield whole._replace(top=min(whole.bottom + panel, whole.top))
    yield whole._replace(bottom=max(whole.top - panel, whole.bottom))
    yield whole._replace(y_end=min(whole.y_start + side, whole.y_end))
    yield whole._replace(y_start=max(whole.y_end - side, whole.y_start))


def hollow_ones(cabinets: Sequence[Cabinet]) -> frozenset[str]:
    """Give the cabinets that something else on their wall is in; and open units."""
    return frozenset(
        each.id
        for each in cabinets
        if each.kind == "open unit" or any(_holds(each, other) for other in cabinets)
    )


def _holds(cabinet: Cabinet, other: Cabinet) -> bool:
    top = cabinet.bottom_height + cabinet.height
    return (
        cabinet is not other
        and cabinet.bottom_height < other.bottom_height < top
        and cabinet.at < other.at + other.width
        and other.at < cabinet.at + cabinet.width
        and "upright" not in (cabinet.kind, other.kind)
    )


def turned(box: Box, by: Turn) -> Box | None:
    """Give a board in the frame of a wall square to its own; nothing at another wall."""
    if not by.square:
        return None
    corners = [
        (
            by.out[0] * x + by.out[1] * y + by.out[2],
            by.along[0] * x + by.along[1] * y + by.along[2],
        )
        for x in (box.x_start, box.x_end)
        for y in (box.y_start, box.y_end)
    ]
    xs, ys = zip(*corners, strict=True)
    return Box(min(xs), max(xs), min(ys), max(ys), box.bottom, box.top)
