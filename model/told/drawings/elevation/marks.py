"""What is drawn of a wall before any word is written: furniture, bars, obstacles, cables, holes."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Final

from pelmet.model.job.items import Cabinet, Obstacle
from pelmet.model.plan.bars.feed_points import feed_points_of
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.survey.openings import Opening
from pelmet.model.plan.ways.holes import Hole
from pelmet.model.plan.ways.place import Place
from pelmet.model.told.drawings.drawing import Canvas, Cell
from pelmet.model.told.drawings.elevation.wall import SHELVES, Box, Face, Stretch, WallView
from pelmet.model.told.drawings.plan.bars import DARK, cell_at, draw_bar, feed_mark
from pelmet.model.told.drawings.plan.cables import CABLE, HOLE, IN_WALL
from pelmet.model.told.drawings.plan.lines import WALL, line_cells
from pelmet.model.told.drawings.plan.marks import OBSTACLES
from pelmet.model.told.drawings.plan.scale import ROW

WORKTOP: Final = "_"
SHELF: Final = "="
_IN_FRONT: Final = ("stile", "partition")
_NO_WORKTOP: Final = ("fridge gap", "corner")
_LEAST: Final = 3  # cells: an upright with a bar, and an obstacle with an outline of its own
_ROWS_FOR_BARS: Final = 3  # below an underside: as many bars there can be told apart
_BELOW: Final = 2  # rows under an underside: a cable beside a bar, so that both can be seen


@dataclass(slots=True)
class WallSheet:
    """One wall being drawn: where on it each thing is, by id."""

    canvas: Canvas
    face: Face
    wall: WallView
    boxes: dict[str, Box] = field(default_factory=dict)
    owner: dict[Cell, str] = field(default_factory=dict)
    bars: dict[str, list[Cell]] = field(default_factory=dict)
    obstacles: dict[str, Box] = field(default_factory=dict)
    cables: dict[str, list[Cell]] = field(default_factory=dict)
    holes: dict[str, Cell] = field(default_factory=dict)


def draw_marks(sheet: WallSheet) -> None:
    """Draw everything; what is in front of something else is drawn after it."""
    _draw_worktop(sheet)
    _draw_wall(sheet)
    behind = [each for each in sheet.wall.obstacles if each.kind not in _IN_FRONT]
    for obstacle in behind:
        _draw_obstacle(sheet, obstacle)
    for cabinet in sorted(sheet.wall.cabinets, key=lambda each: each.depth):
        _draw_cabinet(sheet, cabinet)
    for obstacle in sheet.wall.obstacles:
        if obstacle not in behind:
            _draw_obstacle(sheet, obstacle)
    for fit in sheet.wall.plan.fits:
        _draw_run(sheet, fit)
    for cable, ways in sheet.wall.cables:
        sheet.cables[cable.id] = _draw_cable(sheet, cable.id, ways)
    for hole in sheet.wall.holes:
        _draw_hole(sheet, hole)


def _draw_wall(sheet: WallSheet) -> None:
    """Draw the floor, and at each end the wall that comes out of it."""
    canvas, face, name = sheet.canvas, sheet.face, sheet.face.line.wall.id
    for column in range(face.left, face.right + 1):
        canvas.put((face.floor, column), WALL, "wall", name)
    for corner, column in zip(sheet.wall.corners, (face.left, face.right), strict=True):
        if corner:
            for row in range(face.row(sheet.wall.top), face.floor):
                canvas.put((row, column), WALL, "wall", name)


def _draw_worktop(sheet: WallSheet) -> None:
    """Draw the worktop's line along the whole wall, if it has one: what the light falls on."""
    if not sheet.wall.has_worktop:
        return
    row = sheet.face.row(sheet.wall.worktop)
    for column in range(sheet.face.left, sheet.face.right + 1):
        sheet.canvas.put((row, column), WORKTOP, "cabinet", sheet.wall.room.room.id)


def _outline(box: Box) -> Iterable[Cell]:
    for row in range(box.top, box.bottom + 1):
        whole = row in (box.top, box.bottom)
        columns = range(box.left, box.right + 1) if whole else {box.left, box.right}
        for column in columns:
            yield row, column


def _draw_obstacle(sheet: WallSheet, obstacle: Obstacle) -> None:
    """Draw its outline, or all of it when it is too small to have one."""
    view, face = sheet.wall, sheet.face
    left, right = float(obstacle.at), float(obstacle.at + obstacle.width)
    if right - left < face.mm:
        left = right = (left + right) / 2
    box = face.box((left, right), view.reach(obstacle, view.top))
    sheet.obstacles[obstacle.id] = box
    small = box.right - box.left < _LEAST - 1 or box.bottom - box.top < _LEAST - 1
    cells = (
        [
            (row, column)
            for row in range(box.top, box.bottom + 1)
            for column in range(box.left, box.right + 1)
        ]
        if small
        else _outline(box)
    )
    if obstacle.kind in _NO_WORKTOP:
        row = face.row(view.worktop)
        for column in range(box.left, box.right + 1):
            if box.top <= row <= box.bottom and sheet.canvas.role((row, column)) == "cabinet":
                sheet.canvas.wipe((row, column))
    for cell in cells:
        if sheet.canvas.role(cell) != "wall":
            sheet.canvas.put(cell, OBSTACLES[obstacle.kind].char, "obstacle", obstacle.id)


def _draw_cabinet(sheet: WallSheet, cabinet: Cabinet) -> None:
    """Draw its outline, a shelf in a thick line; what stands behind it is hidden."""
    name, canvas = cabinet.id, sheet.canvas
    box = _box_of(sheet, cabinet)
    sheet.boxes[name] = box
    level = SHELF if cabinet.kind in SHELVES else "-"
    for row in range(box.top + 1, box.bottom):
        for column in range(box.left + 1, box.right):
            cell = row, column
            if canvas.role(cell) not in (None, "wall"):
                canvas.wipe(cell)
            sheet.owner[cell] = name
    for row, column in _outline(box):
        if canvas.role((row, column)) == "wall":
            continue
        corner = column in (box.left, box.right) and row in (box.top, box.bottom)
        char = "+" if corner else level if row in (box.top, box.bottom) else "|"
        canvas.put((row, column), char, "cabinet", name)
        sheet.owner.pop((row, column), None)


def _box_of(sheet: WallSheet, cabinet: Cabinet) -> Box:
    left, right = float(cabinet.at), float(cabinet.at + cabinet.width)
    bottom, top = float(cabinet.bottom_height), float(cabinet.bottom_height + cabinet.height)
    box = sheet.face.box((left, right), (bottom, top))
    if top - bottom < ROW * sheet.face.mm:
        box = box._replace(top=box.bottom)
    lit = any(bar.upright and cabinet.id in bar.opening.cabinets for bar in sheet.wall.bars)
    if not lit or box.right - box.left >= _LEAST - 1:
        return box
    # A bar on an upright has a side of it to its left and to its right.
    first = min(max((box.left + box.right) // 2 - 1, sheet.face.left),
                max(sheet.face.right - _LEAST + 1, sheet.face.left))  # fmt: skip
    return box._replace(left=first, right=first + _LEAST - 1)


def _draw_run(sheet: WallSheet, fit: RunFit) -> None:
    """Draw a run's bars on this wall: lit, dark, and the end its cable comes to."""
    name = sheet.face.line.wall.id
    for opening in fit.too_short:
        if opening.wall == name:
            for cell in _line(sheet, fit, opening, float(opening.left), float(opening.right)):
                sheet.canvas.put(cell, DARK, "dark", fit.run.id)
    for bar in fit.bars:
        if bar.wall == name:
            cells = _line(sheet, fit, bar.opening, float(bar.left), float(bar.right))
            sheet.bars[bar.id] = cells
            draw_bar(sheet.canvas, fit.run.id, bar, cells)
            for point in feed_points_of(fit):
                if point.bar == bar.id:
                    mark = feed_mark(sheet.wall.plan, point)
                    sheet.canvas.put(cell_at(bar, cells, point), *mark, fit.run.id)


def _line(sheet: WallSheet, fit: RunFit, opening: Opening, left: float, right: float) -> list[Cell]:
    """Give the cells of a bar, left to right under its cabinets or up on its upright."""
    face = sheet.face
    # A piece that reaches round a corner may have nothing of its own wall above it.
    above = [name for name in opening.cabinets if name in sheet.boxes] or fit.run.cabinets
    boxes = [sheet.boxes[name] for name in above if name in sheet.boxes]
    if opening.upright:
        box = boxes[0]
        column = (box.left + box.right) // 2
        rows = range(face.row(left), face.row(right) - 1, -1)
        cells = [(row, column) for row in rows]
        return [cell for cell in cells if box.top < cell[0] < box.bottom] or cells[:1]
    columns = list(range(face.column(left), face.column(right) + 1))
    limits = {min(box.left for box in boxes), max(box.right for box in boxes)}
    columns = [column for column in columns if column not in limits] or columns[:1]
    below = min(max(box.bottom for box in boxes) + 1, face.floor - 1)
    rows = range(below, below + _ROWS_FOR_BARS)
    taken = ("run", "dark", "feed")
    free = (
        row
        for row in rows
        if not any(sheet.canvas.role((row, column)) in taken for column in columns)
    )
    row = next(free, below)
    return [(row, column) for column in columns]


def _draw_cable(sheet: WallSheet, name: str, ways: Iterable[Stretch]) -> list[Cell]:
    """Draw a cable along, then up or down, wherever nothing is in front of it; not across glass."""
    canvas = sheet.canvas
    glass = [sheet.obstacles[one.id] for one in sheet.wall.obstacles if one.kind == "window"]
    seen: dict[Cell, None] = {}
    for way in ways:
        start, end = _cell(sheet, way.start), _cell(sheet, way.end)
        for first, last in pairwise((start, (start[0], end[1]), end)):
            for cell in line_cells(first, last):
                free = canvas.holds(cell) and canvas.role(cell) is None
                if free and not any(box.holds(cell) for box in glass):
                    canvas.put(cell, IN_WALL if way.in_wall else CABLE, "cable", name)
                if canvas.role(cell) == "cable":
                    seen[cell] = None
    return list(seen)


def _cell(sheet: WallSheet, place: Place) -> Cell:
    """Give where a cable is drawn: at the end of its bar, or just off the line that it lies at."""
    row = min(sheet.face.row(place.height), sheet.face.floor - 1)
    column = sheet.face.column(place.along)
    if place.owner in sheet.bars:
        cells = sheet.bars[place.owner]
        points = (point for fit in sheet.wall.plan.fits for point in feed_points_of(fit))
        within = any(point.bar == place.owner and point.at == "middle" for point in points)
        ends = cells if within else (cells[0], cells[-1])
        return min(ends, key=lambda cell: abs(cell[0] - row) + abs(cell[1] - column))
    owner, level = _home(sheet, place)
    box = sheet.boxes.get(owner)
    if box is None:
        return row, column
    if level == "upright":
        return row, (box.left + box.right) // 2
    rows = {"under": box.bottom + _BELOW, "inside": box.bottom - 1, "top": box.top - 1}
    return min(rows.get(level, row), sheet.face.floor - 1), column


def _home(sheet: WallSheet, place: Place) -> tuple[str, str]:
    """Give the cabinet a place belongs to, and at which level of it; a supply sits at one."""
    if place.level != "supply":
        return place.owner, place.level
    supply = next(each for each in sheet.wall.plan.job.supplies if each.id == place.owner)
    level = {"in cabinet": "inside", "on top of cabinet": "top"}.get(supply.place, "")
    return supply.cabinet or "", level


def _draw_hole(sheet: WallSheet, hole: Hole) -> None:
    """Draw a hole in its panel; one through what hangs below an underside is drawn below it."""
    height = float(hole.height.value)
    row, column = sheet.face.row(height), sheet.face.column(hole.along)
    within = any(
        float(each.bottom_height) < height < float(each.bottom_height + each.height)
        and float(each.at) < hole.along < float(each.at + each.width)
        for each in sheet.wall.cabinets
    )
    if hole.panel in ("stile", "obstacle") and not within:
        row += 1
    sheet.holes[hole.id] = row, column
    sheet.canvas.put((row, column), HOLE, "hole", hole.id)
