"""The scale of a plan: how many millimetres a column stands for, and where things fall on it.

A terminal cell is about twice as high as it is wide, so a row stands for twice as much.
"""

from collections.abc import Iterable, Mapping
from decimal import Decimal
from itertools import pairwise
from math import cos, floor, radians, sin
from typing import Final, NamedTuple

from pelmet.model.measure.lengths import MILLIMETRES, LengthUnit, print_length
from pelmet.model.plan.survey.geometry import Point, RoomPlan, WallLine
from pelmet.model.told.drawings.drawing import Cell

ROW: Final = 2  # columns that are as long as a row is high
FINEST: Final = 20.0  # [mm a column]: a small room is not blown up beyond this
_DECADES: Final = tuple(10**power for power in range(9))
_METRIC: Final = tuple(Decimal(step * tens) for tens in _DECADES for step in (1, 2, 5))
# Feet and their halves, so that a fitter can lay a tape along it.
_IMPERIAL: Final = tuple(
    inches * tens * MILLIMETRES["in"]
    for tens in _DECADES
    for inches in (Decimal(6), Decimal(12), Decimal(24))
)
_LONGEST_BAR: Final = 25  # columns
_LONG_TO_SHORT: Final = 2.5  # the longest bar to the shortest: the widest step of round lengths
_BAR_WORDS: Final = 12  # columns kept for the length beside the bar
_FRONT_LABEL: Final = 6  # columns kept where a label may have to stand in front of a cabinet
_AT_THE_EDGE: Final = 0.15  # the share of a room's width within which a label would stick out
_STRAIGHT: Final = 180  # [degrees]
_BLUNTEST: Final = 300  # [degrees] of an outside corner that bars are taken round
_SKEW: Final = 0.05  # a wall less out of true than this is drawn as level or upright
_LEANS: Final = 0.7  # a wall whose outside points this much sideways has its label beside it


class Scale(NamedTuple):
    """A scale bar of a round ``length`` [mm] that is exactly ``columns`` long."""

    length: Decimal
    columns: int

    @property
    def mm(self) -> float:
        """Millimetres that a column stands for."""
        return float(self.length) / self.columns

    def bar(self, unit: LengthUnit, inch_parts: int) -> str:
        """Draw the bar, from the middle of its first mark to that of its last, and its length."""
        return f"|{'-' * (self.columns - 1)}| {print_length(self.length, unit, inch_parts)}"


def scale_for(least: float, unit: LengthUnit, width: int) -> Scale:
    """Give the finest scale of at least this many mm a column whose bar has a round length."""
    most = max(1, min(_LONGEST_BAR, width - _BAR_WORDS))
    scales = [
        Scale(length, min(most, int(float(length) / least)))
        for length in (_IMPERIAL if unit == "in" else _METRIC)
        if float(length) >= least
    ]
    readable = [scale for scale in scales if scale.columns * _LONG_TO_SHORT >= most]
    return min(readable or scales, key=lambda scale: (scale.mm, -scale.columns))


class Extent(NamedTuple):
    """The box [mm] that a room fills, and the columns its labels want left and right of it."""

    left: float
    top: float
    right: float
    bottom: float
    before: int
    after: int

    @property
    def across(self) -> float:
        """Its width [mm]."""
        return self.right - self.left

    @property
    def down(self) -> float:
        """Its height [mm]."""
        return self.bottom - self.top

    def rows(self, mm: float) -> int:
        """Rows between its top and bottom line, both counted."""
        return round(self.down / (ROW * mm)) + 1


class Side(NamedTuple):
    """A wall on the sheet: an affine map from along the wall and out of it [mm] to cells.

    The steps [mm] lead from one cell to the next; ``lean`` is as `sideways` has it, ``reach`` as
    `reaches` has it.
    """

    line: WallLine
    row: float
    column: float
    along: tuple[float, float]
    out: tuple[float, float]
    along_step: float
    out_step: float
    lean: int
    reach: float

    def cell(self, at: float, out: float = 0.0) -> Cell:
        """Give the cell of a place ``at`` along the wall and ``out`` into the room."""
        return (
            _nearest(self.row + at * self.along[0] + out * self.out[0]),
            _nearest(self.column + at * self.along[1] + out * self.out[1]),
        )

    def place(self, cell: Cell) -> tuple[float, float]:
        """Give where a cell's middle is: along the wall and out of it [mm]."""
        down, across = cell[0] - self.row, cell[1] - self.column
        (a, b), (c, d) = self.along, self.out
        whole = a * d - b * c
        return (down * d - across * c) / whole, (across * a - down * b) / whole

    @property
    def slants(self) -> bool:
        """Tell whether it is neither level nor upright."""
        return min(abs(self.along[0]), abs(self.along[1])) * self.along_step > _SKEW


def reaches(room: RoomPlan, depths: Mapping[str, float]) -> dict[str, float]:
    """Give how far along each wall what hangs on it may go [mm]: to the wall's end.

    Round an outside corner it goes on past the ends of what hangs on the next wall, whose
    depth [mm] is given by wall.
    """
    found = {line.wall.id: float(line.wall.length) for line in room.walls}
    for line, following in pairwise(room.walls):
        degrees = float(line.wall.corner_degrees)
        if _STRAIGHT < degrees <= _BLUNTEST:
            found[line.wall.id] += depths.get(following.wall.id, 0.0) / -sin(radians(degrees))
    return found


def side_of(line: WallLine, mm: float, left: float, top: float, reach: float) -> Side:
    """Put a wall on a sheet whose cell 0, 0 is the point ``left``, ``top``."""
    angle = radians(line.degrees)
    dx, dy = cos(angle) / mm, sin(angle) / mm
    return Side(
        line,
        row=(line.start.y - top) / (ROW * mm),
        column=(line.start.x - left) / mm,
        along=(dy / ROW, dx),
        out=(dx / ROW, -dy),
        along_step=1 / max(abs(dy / ROW), abs(dx)),
        out_step=1 / max(abs(dx / ROW), abs(dy)),
        lean=sideways(line),
        reach=reach,
    )


def extent(room: RoomPlan, fronts: Iterable[tuple[WallLine, Point]], words: int) -> Extent:
    """Give the box around a room's walls and the front corners of what hangs on them.

    ``words`` is the longest label [columns] that a wall may have beside it.
    """
    corners = [point for line in room.walls for point in (line.start, line.end)]
    hanging = [(sideways(line), point) for line, point in fronts]
    points = [*corners, *(point for _, point in hanging)]
    left, right = min(point.x for point in points), max(point.x for point in points)
    near = (right - left) * _AT_THE_EDGE
    outside = [(-sideways(line), line.point(float(line.wall.length) / 2)) for line in room.walls]
    return Extent(
        left,
        min(point.y for point in points),
        right,
        max(point.y for point in points),
        before=max(
            words + 2 if any(lean < 0 and p.x < left + near for lean, p in outside) else 0,
            _FRONT_LABEL if any(lean < 0 and p.x < left + near for lean, p in hanging) else 0,
        ),
        after=max(
            words + 2 if any(lean > 0 and p.x > right - near for lean, p in outside) else 0,
            _FRONT_LABEL if any(lean > 0 and p.x > right - near for lean, p in hanging) else 0,
        ),
    )


def sideways(line: WallLine) -> int:
    """Give the side of a wall that its room is on: 1 right, -1 left, 0 below or above it."""
    across = -sin(radians(line.degrees))
    return 0 if abs(across) < _LEANS else 1 if across > 0 else -1


def _nearest(value: float) -> int:
    # The nudge keeps a half from falling either way by a rounding error of the angle.
    return floor(value + 0.5 + 1e-9)
