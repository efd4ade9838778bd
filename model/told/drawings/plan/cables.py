"""The cables and holes on a plan: drawn last, where nothing else stands."""

from collections.abc import Collection, Iterator, Mapping
from itertools import groupby, pairwise
from math import radians, tan
from typing import Final, NamedTuple

from pelmet.model.plan.result import Plan
from pelmet.model.plan.survey.geometry import RoomPlan
from pelmet.model.plan.ways.cable import Cable
from pelmet.model.plan.ways.place import Place
from pelmet.model.told.drawings.drawing import Cell, Role
from pelmet.model.told.drawings.plan.labels import Tag, from_middle, on_line
from pelmet.model.told.drawings.plan.lines import line_cells
from pelmet.model.told.drawings.plan.marks import RoomSheet
from pelmet.model.told.drawings.plan.scale import Side

CABLE: Final = "'"
IN_WALL: Final = '"'
HOLE: Final = "o"


class CableCell(NamedTuple):
    """A cell of a cable's way, and whether the cable lies in the wall there."""

    cell: Cell
    in_wall: bool


def draw_cables(sheet: RoomSheet, plan: Plan, room: RoomPlan, chosen: Collection[str]) -> None:
    """Draw a room's cables and its holes, then write those of their ids that there is room for.

    They stand below all else: a hole gives way to words, walls, bars and obstacles, a cable to
    cabinets and holes too. Where cables lie together, the first is drawn.
    """
    holes = _draw_holes(sheet, plan)
    drawn = [
        (cable, list(_drawn(sheet, cable, steps)))
        for cable, steps in cable_steps(sheet, plan, room)
    ]
    for cable, cells in drawn:
        _label_cable(sheet, cells, _tag(cable.id, "cable", chosen))
    for item_id, cell in holes.items():
        _beside(sheet, cell, _tag(item_id, "hole", chosen))


def cable_steps(
    sheet: RoomSheet, plan: Plan, room: RoomPlan
) -> Iterator[tuple[Cable, tuple[CableCell, ...]]]:
    """Give the way of each cable of a room from end to end, cell by cell, seen or not."""
    cables = [cable for cable in plan.routes.cables if cable.room == room.room.id and cable.places]
    if cables:
        ways = _Ways.of(sheet, plan, room)
        for cable in cables:
            yield cable, tuple(step for step, _ in groupby(ways.steps(cable)))


class _Spot(NamedTuple):
    """A place on the sheet: by which wall, how far along it and out from it [mm], which cell."""

    row: int
    at: float
    out: float
    cell: Cell


class _Ways(NamedTuple):
    """The walls of a room in order, and the wall that the owner of each place hangs on."""

    sheet: RoomSheet
    sides: tuple[Side, ...]
    rows: Mapping[tuple[str, str], int]
    closed: bool

    @classmethod
    def of(cls, sheet: RoomSheet, plan: Plan, room: RoomPlan) -> "_Ways":
        sides = tuple(sheet.sides[line.wall.id] for line in room.walls)
        walls = {line.wall.id: row for row, line in enumerate(room.walls)}
        hung = {name: walls[one.cabinet.wall] for name, one in sheet.footprints.items()}
        rows = {("cabinet", name): row for name, row in hung.items()}
        for supply in plan.job.supplies:
            if supply.cabinet in hung:
                rows["supply", supply.id] = hung[supply.cabinet]
        for bar in plan.bars:
            if bar.wall in walls:
                rows["bar", bar.id] = walls[bar.wall]
        return cls(sheet, sides, rows, room.is_closed)

    def steps(self, cable: Cable) -> Iterator[CableCell]:
        """Give every cell that a cable passes; a cell may come twice."""
        spots = [self._spot(place) for place in cable.places]
        for way, (one, other) in zip(cable.ways, pairwise(spots), strict=True):
            yield from self._between(one, other, in_wall=way.kind == "in wall")

    def _spot(self, place: Place) -> _Spot:
        kind = place.level if place.level in ("bar", "supply") else "cabinet"
        row = self.rows[kind, place.owner]
        side = self.sides[row]
        at = min(place.along - side.line.before, side.reach)
        out = max(place.out, side.out_step)
        cell = side.cell(at, out)
        if place.level == "bar" and place.owner in self.sheet.ends:
            cell = min(self.sheet.ends[place.owner], key=lambda end: _apart(end, cell))
            at = side.place(cell)[0]
        return _Spot(row, at, out, cell)

    def _between(self, one: _Spot, other: _Spot, *, in_wall: bool) -> Iterator[CableCell]:
        """Go in to the wall if that is nearer, along it and round corners, and out again."""
        if one.cell == other.cell and not in_wall:
            yield CableCell(one.cell, in_wall)
            return
        out = 0.0 if in_wall else min(one.out, other.out)
        marks = [self._cell(row, at, out) for row, at in self._along(one, other, out)]
        for start, end in ((one.cell, marks[0]), *pairwise(marks), (marks[-1], other.cell)):
            for cell in line_cells(start, end):
                yield CableCell(
                    cell, in_wall and self.sheet.canvas.role(cell) in ("wall", "obstacle")
                )

    def _cell(self, row: int, at: float, out: float) -> Cell:
        side = self.sides[row]
        return side.cell(at, max(out, side.out_step) if out else 0.0)

    def _along(self, one: _Spot, other: _Spot, out: float) -> Iterator[tuple[int, float]]:
        """Give two places and the corners between them, by row of the wall and along it [mm]."""
        yield one.row, one.at
        row, at, count = one.row, one.at, len(self.sides)
        ahead = (other.row - row) % count
        onwards = other.row > row
        if self.closed and 2 * ahead != count:
            onwards = 2 * ahead < count
        while row != other.row:
            following = (row + (1 if onwards else -1)) % count
            before, after = (row, following) if onwards else (following, row)
            back = self._back(before, after, out)
            end = self._length(before) - back
            yield row, max(at, end) if onwards else min(at, back)
            row, at = following, back if onwards else end
            if row == other.row:
                at = min(other.at, at) if onwards else max(other.at, at)
            yield row, at
        yield other.row, other.at

    def _length(self, row: int) -> float:
        return float(self.sides[row].line.wall.length)

    def _back(self, before: int, after: int, out: float) -> float:
        """Give how far from a corner the lines along its two walls meet [mm]."""
        if not out:
            return 0.0
        side = self.sides[before]
        steps = side.out_step, self.sides[after].out_step
        half = radians(float(side.line.wall.corner_degrees)) / 2
        return max(out, *steps) / tan(half)


def _apart(one: Cell, other: Cell) -> int:
    return max(abs(one[0] - other[0]), abs(one[1] - other[1]))


def _drawn(sheet: RoomSheet, cable: Cable, steps: tuple[CableCell, ...]) -> Iterator[CableCell]:
    """Draw a cable, and give the steps in which it can be seen."""
    canvas = sheet.canvas
    for cell, in_wall in steps:
        role: Role | None = "wall" if in_wall else None
        if canvas.role(cell) == role and not canvas.by_label(cell):
            canvas.put(cell, IN_WALL if in_wall else CABLE, "cable", cable.id)
            yield CableCell(cell, in_wall)


def _draw_holes(sheet: RoomSheet, plan: Plan) -> dict[str, Cell]:
    """Draw the holes, and give those that can be seen."""
    canvas = sheet.canvas
    seen: dict[str, Cell] = {}
    for hole in plan.holes:
        side = sheet.sides.get(hole.wall)
        if side is None:
            continue
        out = max(float(hole.out.value), side.out_step)
        cell = side.cell(min(hole.along, side.reach), out)
        role = canvas.role(cell)
        if role in (None, "cabinet", "hole") and not canvas.by_label(cell):
            if role != "hole":
                canvas.put(cell, HOLE, "hole", hole.id)
            seen[hole.id] = cell
    return seen


def _tag(item_id: str, role: Role, chosen: Collection[str]) -> Tag:
    if item_id in chosen:
        return Tag(item_id, f">{item_id}<", "focus", lambda _: False)
    return Tag(item_id, item_id, role, lambda _: False)


def _label_cable(sheet: RoomSheet, steps: list[CableCell], tag: Tag) -> bool:
    """Write a cable's id into a level stretch of it that is not in a wall, else beside it."""
    cells = [step.cell for step in steps]
    bare = [step.cell for step in steps if not step.in_wall]
    if on_line(sheet, bare, tag, "cable", about=tag.about):
        return True
    return any(_beside(sheet, cells[at], tag) for at in from_middle(0, len(cells) - 1))


def _beside(sheet: RoomSheet, cell: Cell, tag: Tag) -> bool:
    """Write an id with a blank on both sides, as near a cell of its thing as it fits."""
    row, column = cell
    canvas, length = sheet.canvas, len(tag.text)
    for start in (
        (row, column + 2),
        (row, column - 1 - length),
        (row, column + 3),
        (row, column - 2 - length),
        (row + 1, column - length // 2),
        (row - 1, column - length // 2),
    ):
        beside = (start[0], start[1] - 1), (start[0], start[1] + length)
        if canvas.is_free(start, length) and all(canvas.role(one) is None for one in beside):
            canvas.write(start, tag.text, tag.role, tag.about)
            return True
    return False
