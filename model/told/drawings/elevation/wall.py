"""What one wall has on it, how far each thing reaches, and where that falls on the sheet."""

from collections.abc import Iterator
from itertools import pairwise
from typing import Final, NamedTuple

from pelmet.model.job.items import Cabinet, Obstacle
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.light.planes import use_of
from pelmet.model.plan.result import Plan
from pelmet.model.plan.survey.geometry import STRAIGHT_DEGREES, RoomPlan, WallLine
from pelmet.model.plan.survey.usual import USUAL
from pelmet.model.plan.ways.cable import Cable
from pelmet.model.plan.ways.holes import Hole
from pelmet.model.plan.ways.place import Place
from pelmet.model.told.drawings.drawing import Cell
from pelmet.model.told.drawings.plan.scale import ROW, reaches

_ABOVE: Final = 300.0  # [mm] a wall is drawn at least this far above its worktop

SHELVES: Final = ("shelf", "movable shelf")


class Stretch(NamedTuple):
    """A stretch of a cable from one place to another, and whether it lies in the wall."""

    start: Place
    end: Place
    in_wall: bool

    def cut(self, start: float, end: float) -> "Stretch":
        """Give it with its ends at other places along."""
        return Stretch(self.start._replace(along=start), self.end._replace(along=end), self.in_wall)


class Box(NamedTuple):
    """A stretch of cells, both ends in it."""

    left: int
    right: int
    top: int
    bottom: int

    def holds(self, cell: Cell) -> bool:
        """Tell whether a cell is in it."""
        return self.top <= cell[0] <= self.bottom and self.left <= cell[1] <= self.right


class WallView(NamedTuple):
    """One wall from inside its room: all that is on it, and how high that reaches [mm]."""

    plan: Plan
    room: RoomPlan
    line: WallLine
    cabinets: tuple[Cabinet, ...]
    obstacles: tuple[Obstacle, ...]
    bars: tuple[Bar, ...]
    cables: tuple[tuple[Cable, tuple[Stretch, ...]], ...]
    holes: tuple[Hole, ...]

    @property
    def bare(self) -> bool:
        """Whether nothing is on it."""
        return not (self.cabinets or self.obstacles or self.cables)

    @property
    def has_worktop(self) -> bool:
        """Whether a worktop is in use along it, or below something on it."""
        wall, room = self.line.wall, self.room.room
        uses = {use_of(each, wall, room) for each in self.cabinets}
        return "worktop" in (uses or {wall.in_use or room.in_use})

    @property
    def worktop(self) -> float:
        """The height of the room's worktop [mm]."""
        return float(self.room.room.worktop_height)

    @property
    def top(self) -> float:
        """The height of the highest thing on it [mm]."""
        tops = [
            self.worktop + _ABOVE,
            *(float(each.bottom_height + each.height) for each in self.cabinets),
            *(self.reach(each, 0.0)[1] for each in self.obstacles),
            *(place.height for _, ways in self.cables for way in ways for place in way[:2]),
        ]
        return max(tops)

    @property
    def along(self) -> float:
        """How far along it anything on it may go [mm]: past its end at an outside corner."""
        depths: dict[str, float] = {}
        for each in self.plan.job.cabinets:
            depths[each.wall] = max(depths.get(each.wall, 0.0), float(each.depth))
        return reaches(self.room, depths)[self.line.wall.id]

    def reach(self, obstacle: Obstacle, top: float) -> tuple[float, float]:
        """Give an obstacle's underside and top [mm]; ``top`` is how high the wall is drawn."""
        datum, low, high, _ = USUAL[obstacle.kind]
        over = self._standing_in(obstacle) if datum == "cabinet" else None
        if over:
            low, high = float(over.bottom_height), float(over.bottom_height + over.height)
        elif datum in ("worktop", "cabinet"):
            low, high = (max(self.worktop + each, 0.0) for each in (low, high))
        elif datum == "through":
            high = top
        span = float(obstacle.height) if obstacle.height is not None else high - low
        if obstacle.bottom_height is not None:
            low = float(obstacle.bottom_height)
            if datum == "through" and obstacle.height is None:
                return low, max(low, top)
        return low, max(low + span, low)

    def _standing_in(self, obstacle: Obstacle) -> Cabinet | None:
        over = (
            each
            for each in self.cabinets
            if each.at <= obstacle.at + obstacle.width
            and obstacle.at <= each.at + each.width
            and each.kind != "upright"
        )
        return min(over, key=lambda each: each.bottom_height, default=None)

    @property
    def corners(self) -> tuple[bool, bool]:
        """Tell for each end whether another wall comes out of it towards the room."""
        walls = self.room.walls
        row = walls.index(self.line)
        before = walls[row - 1] if row or self.room.is_closed else None
        after = row + 1 < len(walls) or self.room.is_closed
        return (
            before is not None and before.wall.corner_degrees < STRAIGHT_DEGREES,
            after and self.line.wall.corner_degrees < STRAIGHT_DEGREES,
        )


def view_wall(plan: Plan, room: RoomPlan, line: WallLine) -> WallView:
    """Gather what is on one wall."""
    name = line.wall.id
    passing = (
        (cable, ways)
        for cable in plan.routes.cables
        if cable.room == room.room.id and (ways := tuple(_on_wall(cable, room, line)))
    )
    return WallView(
        plan=plan,
        room=room,
        line=line,
        cabinets=tuple(each for each in plan.job.cabinets if each.wall == name),
        obstacles=tuple(each for each in plan.job.obstacles if each.wall == name),
        bars=tuple(bar for bar in plan.bars if bar.wall == name),
        cables=tuple(passing),
        holes=tuple(hole for hole in plan.holes if hole.wall == name),
    )


def is_usual(obstacle: Obstacle) -> bool:
    """Tell whether an obstacle is drawn at a height that nobody measured."""
    measured = obstacle.bottom_height is not None and obstacle.height is not None
    return USUAL[obstacle.kind].guessed and not measured


def _on_wall(cable: Cable, room: RoomPlan, line: WallLine) -> Iterator[Stretch]:
    """Give the stretches of a cable along one wall, in the wall's own measure."""
    low, high = line.before, line.before + float(line.wall.length)
    for stretch in _stretches(cable, room):
        first, last = stretch.start.along, stretch.end.along
        left, right = sorted((first, last))
        # What only touches the end of the wall goes round the corner without being on it.
        if (left < high and right > low) or low <= left == right < high:
            yield stretch.cut(*(min(max(along, low), high) - low for along in (first, last)))


def _stretches(cable: Cable, room: RoomPlan) -> Iterator[Stretch]:
    """Give a cable's stretches; in a closed room one may go on past the last wall's end."""
    whole = sum(float(line.wall.length) for line in room.walls)
    closed = room.is_closed
    for way, (one, other) in zip(cable.ways, pairwise(cable.places), strict=True):
        stretch = Stretch(one, other, way.kind == "in wall")
        if closed and abs(one.along - other.along) > whole / 2:
            end, start = (whole, 0.0) if one.along > other.along else (0.0, whole)
            yield stretch.cut(one.along, end)
            yield stretch.cut(start, other.along)
        else:
            yield stretch


class Face(NamedTuple):
    """A wall on the sheet: millimetres a column, the column of its left end, the floor's row.

    ``along`` is how far along it anything is drawn [mm].
    """

    line: WallLine
    along: float
    mm: float
    left: int
    floor: int

    @property
    def right(self) -> int:
        """The column of its right-hand end."""
        return self.column(float(self.line.wall.length))

    def column(self, at: float) -> int:
        """Give the column of a place along the wall [mm]; what is too far is left off."""
        return self.left + round(min(max(at, 0.0), self.along) / self.mm)

    def row(self, height: float) -> int:
        """Give the row of a height above the floor [mm]."""
        return self.floor - round(height / (ROW * self.mm))

    def box(self, across: tuple[float, float], up: tuple[float, float]) -> Box:
        """Give the cells from one place to another along the wall, and from low to high [mm]."""
        left, right = map(self.column, across)
        return Box(left, right, top=self.row(up[1]), bottom=self.row(up[0]))
