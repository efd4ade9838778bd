"""What is drawn on a plan before any word is written: walls, cabinets and obstacles."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Final, Literal, NamedTuple

from pelmet.model.job.items import Cabinet, Obstacle, ObstacleKind
from pelmet.model.plan.result import Plan
from pelmet.model.told.drawings.drawing import Canvas, Cell
from pelmet.model.told.drawings.plan.lines import WALL, line_cells, line_chars
from pelmet.model.told.drawings.plan.scale import Side

Form = Literal["in wall", "at wall", "across", "worktop"]


class Mark(NamedTuple):
    """How a kind of obstacle is drawn: its character, where, and its name in a few letters."""

    char: str
    form: Form
    word: str


OBSTACLES: Final[Mapping[ObstacleKind, Mark]] = {
    "stile": Mark("i", "across", "stile"),
    "partition": Mark("p", "across", "partition"),
    "hood": Mark("h", "at wall", "hood"),
    "window": Mark("=", "in wall", "window"),
    "corner": Mark("c", "across", "corner"),
    "pipe": Mark("%", "at wall", "pipe"),
    "socket": Mark("s", "in wall", "{socket}"),
    "fridge gap": Mark("f", "at wall", "fridge gap"),
    "hob zone": Mark("b", "worktop", "{hob}"),
    "sink zone": Mark("k", "worktop", "sink"),
    "open side": Mark("~", "across", "open side"),
}
FAULT, UPPER = "!", ":"
_LEAST_DEPTH: Final = 2  # cells: any less and a cabinet has no inside
_LONE_DEPTH: Final = 320.0  # [mm] how far out a stile is drawn where no cabinet is
_MOST_LEVELS: Final = 8  # cabinets in one place: any more are a slip, and not told apart


class Footprint(NamedTuple):
    """A cabinet on the sheet: its wall, and what of it is drawn along and out of it [mm]."""

    cabinet: Cabinet
    side: Side
    left: float
    right: float
    out: float
    past: bool

    @property
    def middle(self) -> float:
        """Its middle along the wall [mm]."""
        return (self.left + self.right) / 2


class Levels(NamedTuple):
    """Which cabinets hang above another, stand in another's place, or share floor with which."""

    upper: frozenset[str]
    clashing: frozenset[str]
    sharing: Mapping[str, frozenset[str]]


@dataclass(slots=True)
class RoomSheet:
    """One room being drawn."""

    canvas: Canvas
    sides: Mapping[str, Side]
    footprints: Mapping[str, Footprint]
    levels: Levels
    owner: dict[Cell, str] = field(default_factory=dict)
    bars: dict[str, list[list[Cell]]] = field(default_factory=dict)
    ends: dict[str, tuple[Cell, ...]] = field(default_factory=dict)
    lines: dict[str, list[Cell]] = field(default_factory=dict)


def footprint(cabinet: Cabinet, side: Side) -> Footprint:
    """Put a cabinet on its wall; what reaches past what it may is left off."""
    end = side.reach
    left, right = float(cabinet.at), float(cabinet.at + cabinet.width)
    out = max(float(cabinet.depth), _LEAST_DEPTH * side.out_step)
    return Footprint(cabinet, side, min(left, end), min(right, end), out, past=right > end)


def levels(cabinets: Iterable[Cabinet]) -> Levels:
    """Compare the cabinets of each wall that stand in front of the same stretch of it."""
    upper: set[str] = set()
    clashing: set[str] = set()
    sharing: dict[str, set[str]] = {}
    open_on: dict[str, list[Cabinet]] = {}
    for cabinet in sorted(cabinets, key=lambda cabinet: cabinet.at):
        before = open_on.get(cabinet.wall, [])
        beside = [other for other in before if other.at + other.width > cabinet.at]
        beside = beside[-_MOST_LEVELS:]
        for other in beside:
            sharing.setdefault(cabinet.id, set()).add(other.id)
            sharing.setdefault(other.id, set()).add(cabinet.id)
            low, high = sorted((cabinet, other), key=lambda one: one.bottom_height)
            if low.bottom_height + low.height > high.bottom_height:
                clashing.add(cabinet.id)
            else:
                upper.add(high.id)
        open_on[cabinet.wall] = [*beside, cabinet]
    return Levels(
        frozenset(upper),
        frozenset(clashing),
        {name: frozenset(others) for name, others in sharing.items()},
    )


def draw_walls(sheet: RoomSheet) -> None:
    """Draw every wall of the room, corner to corner."""
    for name, side in sheet.sides.items():
        cells = line_cells(side.cell(0.0), side.cell(float(side.line.wall.length)))
        for cell, char in zip(cells, line_chars(cells, WALL, WALL), strict=True):
            sheet.canvas.put(cell, char, "wall", name)


def draw_cabinets(sheet: RoomSheet) -> None:
    """Draw the outlines, the highest first, so that what hangs lowest is whole."""
    highest = sorted(
        sheet.footprints.values(), key=lambda one: one.cabinet.bottom_height, reverse=True
    )
    for one in highest:
        _draw_cabinet(sheet, one)


def _draw_cabinet(sheet: RoomSheet, one: Footprint) -> None:
    name, side = one.cabinet.id, one.side
    dashed = name in sheet.levels.upper
    back_left = side.cell(one.left, side.out_step)
    back_right = side.cell(one.right, side.out_step)
    left, right = side.cell(one.left, one.out), side.cell(one.right, one.out)
    own = set(_inside(one))
    for cell in own:
        if sheet.canvas.role(cell) == "cabinet":
            sheet.canvas.wipe(cell)
        sheet.owner[cell] = name
    upright, level = (UPPER, "-") if dashed else ("|", "-")
    for start, end in ((back_left, left), (left, right), (right, back_right)):
        cells = line_cells(start, end)
        for cell, char in zip(cells, line_chars(cells, level, upright), strict=True):
            if sheet.canvas.role(cell) != "wall":
                sheet.canvas.put(cell, char, "cabinet", name)
                sheet.owner.pop(cell, None)
    for cell in (left, right):
        if sheet.canvas.role(cell) != "wall":
            sheet.canvas.put(cell, "+", "cabinet", name)
    if one.past:
        for cell in line_cells(right, back_right)[:-1] or [right]:
            sheet.canvas.put(cell, FAULT, "fault", name)


def _inside(one: Footprint) -> Iterator[Cell]:
    corners = [one.side.cell(at, out) for at in (one.left, one.right) for out in (0.0, one.out)]
    rows, columns = [row for row, _ in corners], [column for _, column in corners]
    for row in range(min(rows), max(rows) + 1):
        for column in range(min(columns), max(columns) + 1):
            at, out = one.side.place((row, column))
            if one.left < at < one.right and 0 < out < one.out:
                yield row, column


def draw_obstacles(sheet: RoomSheet, plan: Plan) -> None:
    """Draw what stands in the way, each kind with a mark of its own."""
    depths = {room.id: float(room.worktop_depth) for room in plan.job.rooms}
    for obstacle in plan.job.obstacles:
        side = sheet.sides.get(obstacle.wall)
        if side is None:
            continue
        cells = _obstacle_cells(sheet, obstacle, side, depths[side.line.wall.room])
        sheet.lines[obstacle.id] = cells
        for cell in cells:
            sheet.canvas.put(cell, OBSTACLES[obstacle.kind].char, "obstacle", obstacle.id)
        if obstacle.at + obstacle.width > side.line.wall.length:
            sheet.canvas.put(cells[-1], FAULT, "fault", obstacle.id)


def _obstacle_cells(sheet: RoomSheet, obstacle: Obstacle, side: Side, worktop: float) -> list[Cell]:
    end = float(side.line.wall.length)
    left = min(float(obstacle.at), end)
    right = min(float(obstacle.at + obstacle.width), end)
    if right - left < side.along_step:
        left = right = (left + right) / 2
    form = OBSTACLES[obstacle.kind].form
    if form == "across":
        out = _depth_at(sheet, obstacle, side)
        sides = [
            line_cells(side.cell(at, side.out_step), side.cell(at, out)) for at in (left, right)
        ]
        return list(dict.fromkeys(cell for cells in sides for cell in cells))
    out = {"in wall": 0.0, "at wall": side.out_step, "worktop": worktop}[form]
    cells = line_cells(side.cell(left, out), side.cell(right, out))
    kept = [cell for cell in cells if sheet.canvas.role(cell) != "cabinet"]
    return kept or cells[:1]


def _depth_at(sheet: RoomSheet, obstacle: Obstacle, side: Side) -> float:
    left, right = float(obstacle.at), float(obstacle.at + obstacle.width)
    depths = [
        one.out
        for one in sheet.footprints.values()
        if one.cabinet.wall == obstacle.wall and one.left <= right and one.right >= left
    ]
    return max(depths, default=max(_LONE_DEPTH, _LEAST_DEPTH * side.out_step))
