"""The marks of a section: wall, cabinet, door, lip, channel, the way it throws, the worktop."""

from collections.abc import Mapping
from math import radians, tan
from typing import Final, NamedTuple

from pelmet.model.told.drawings.drawing import Canvas, Cell, Role
from pelmet.model.told.drawings.plan.bars import LIT
from pelmet.model.told.drawings.plan.lines import WALL
from pelmet.model.told.drawings.plan.scale import ROW
from pelmet.model.told.drawings.section.cut import BarShape, CrossSection, Part, Shape
from pelmet.model.told.drawings.section.rays import RAY_ROWS, RayFrame, draw_rays

SOLID, BREAK, WORKTOP = "=", "~", "_"
CHANNEL: Final = f"[{LIT}]"
BEAM: Final = {-1: "/", 0: ":", 1: "\\"}  # to the wall, straight down, to the room
_BOARD: Final = 18.0  # [mm] common practice: the thickness of a front rail
_A_ROW: Final = 10  # [mm] that a row stands for just below an underside, if there is room
_MOST: Final = 4  # rows that a lip, a door or a channel takes there at most
_BEAM_ROWS: Final = 3  # rows of it at least


class Plate(NamedTuple):
    """Where on the sheet each part of a section starts, by row; ``mm`` a column."""

    mm: float
    inside: int
    panel: int
    below: int
    gap: int
    worktop: int | None
    rows: int

    def column(self, out: float) -> int:
        """Give the column of a place out from the wall [mm]."""
        return round(out / self.mm)

    def start(self, part: Part) -> int:
        """Give the row at which the words about a part start."""
        rows: Mapping[Part, int] = {
            "inside": self.inside,
            "panel": self.panel,
            "below": self.below,
            "gap": self.gap,
            "worktop": self.gap if self.worktop is None else self.worktop,
        }
        return rows[part]


def plate_of(shape: Shape, mm: float, lines: Mapping[Part, int], *, terse: bool) -> Plate:
    """Share out the rows; ``lines`` are those that the words beside each part take."""
    inside = max(1 if terse else 2, lines.get("inside", 0))
    under = max(
        rows_of(float(shape.lip)),
        rows_of(float(shape.overhang)),
        _channel_rows(shape.lit) + (1 if terse else _BEAM_ROWS),
        lines.get("panel", 0) - 1 + lines.get("below", 0),
    )
    panel = 1 + inside
    gap = panel + 1 + under
    if not shape.worktop_below:
        return Plate(mm, 1, panel, panel + 1, gap, None, gap)
    spare = RAY_ROWS if shape.rays and shape.rays.to_worktop else 2
    worktop = gap + max(1 if terse else spare, lines.get("gap", 0))
    return Plate(mm, 1, panel, panel + 1, gap, worktop, worktop + 1)


def rows_of(mm: float) -> int:
    """Give how many rows something takes that reaches this far below an underside [mm]."""
    return min(max(round(mm / _A_ROW), 1), _MOST) if mm > 0 else 0


def _channel_rows(lit: BarShape | None) -> int:
    if lit is None or lit.in_panel:
        return 0
    return max(rows_of(float(lit.channel.depth)), 1)


def draw_section(canvas: Canvas, plate: Plate, cut: CrossSection, columns: int) -> None:
    """Draw one section; what is in front, or fixed to something, is drawn after it.

    Rays go no farther out than so many ``columns``.
    """
    _draw_around(canvas, plate, cut.shape)
    _draw_cabinet(canvas, plate, cut)
    if cut.shape.lit:
        _draw_lit(canvas, plate, cut.shape.lit, cut.runs[0])
        _draw_rays(canvas, plate, cut, columns)


def _draw_rays(canvas: Canvas, plate: Plate, cut: CrossSection, columns: int) -> None:
    lit, rays = cut.shape.lit, cut.shape.rays
    if lit is None or rays is None:
        return
    light = (plate.panel if lit.in_panel else plate.below) + max(_channel_rows(lit), 1) - 1
    frame = RayFrame(
        mm=plate.mm,
        bar=plate.column(float(lit.from_wall)),
        half=_half(plate, lit),
        front=max(plate.column(float(cut.shape.depth)), 1),
        right=columns,
        light=light,
        gap=plate.gap,
        worktop=plate.worktop,
    )
    draw_rays(canvas, frame, rays, cut.runs[0])


def _half(plate: Plate, lit: BarShape) -> int:
    """Give half the columns of a channel's face."""
    return max(round(float(lit.channel.face) / plate.mm / 2), 1)


def _draw_around(canvas: Canvas, plate: Plate, shape: Shape) -> None:
    """Draw the wall, and the worktop below a gap that is cut short."""
    for row in range(plate.rows):
        canvas.put((row, 0), WALL, "wall", "")
    if plate.worktop is not None:
        canvas.put((plate.gap, 0), BREAK, "wall", "")
        for column in range(plate.column(float(shape.worktop_depth)) + 1):
            _put(canvas, (plate.worktop, column), WORKTOP, "cabinet", "")


def _draw_cabinet(canvas: Canvas, plate: Plate, cut: CrossSection) -> None:
    """Draw the board of the underside, the lip and the door, and the cabinet's lower part."""
    shape, name = cut.shape, cut.cabinet
    front = max(plate.column(float(shape.depth)), 1)
    if not shape.is_shelf:
        canvas.put((0, 0), BREAK, "wall", "")
        back = max(plate.column(float(shape.back)), 1) if shape.back else 0
        for row in range(plate.panel):
            for column in (back, front):
                _put(canvas, (row, column), "|" if row else BREAK, "cabinet", name)
    for column in range(1, front + 1):
        canvas.put((plate.panel, column), SOLID, "cabinet", name)
    rail = max(plate.column(_BOARD), 1)
    for row in range(plate.below, plate.below + rows_of(float(shape.lip))):
        for column in range(max(front - rail + 1, 1), front + 1):
            canvas.put((row, column), SOLID, "cabinet", name)
    if shape.kind == "wall cabinet":
        for row in range(plate.below + rows_of(float(shape.overhang))):
            canvas.put((row, front + 1), "|" if row else BREAK, "cabinet", name)


def _put(canvas: Canvas, cell: Cell, char: str, role: Role, about: str) -> None:
    """Draw a mark before the wall, never on it."""
    if canvas.role(cell) != "wall":
        canvas.put(cell, char, role, about)


def _draw_lit(canvas: Canvas, plate: Plate, lit: BarShape, run: str) -> None:
    """Draw the channel about its middle, and below it the way it throws."""
    middle = plate.column(float(lit.from_wall))
    half = _half(plate, lit)
    rows = _channel_rows(lit)
    first = plate.panel if lit.in_panel else plate.below
    for row in range(first, first + max(rows, 1)):
        last = row == first + max(rows, 1) - 1
        for column in range(middle - half, middle + half + 1):
            edge = abs(column - middle) == half
            char = CHANNEL[0 if column < middle else -1] if edge else LIT if last else " "
            role: Role = "run" if char == LIT else "dark"
            if char != " ":
                _put(canvas, (row, column), char, role, run)
            elif canvas.role((row, column)) == "cabinet":
                canvas.wipe((row, column))
    start = plate.below + rows
    step = ROW / tan(radians(lit.degrees))
    for row in range(start, plate.gap):
        off = round(step * (row - start + 1)) if lit.side else 0
        column = middle + lit.side * off
        if column < 1:
            break
        if canvas.role((row, column)) is None:
            canvas.put((row, column), BEAM[lit.side], "run", run)
