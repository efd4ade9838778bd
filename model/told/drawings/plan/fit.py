"""How large a room is drawn: the box it fills, and the finest scale at which boxes fit a page."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Final, NamedTuple

from pelmet.model.job.items import Cabinet
from pelmet.model.plan.result import Plan
from pelmet.model.plan.survey.geometry import Point, RoomPlan, WallLine
from pelmet.model.told.drawings.plan.labels import wall_words
from pelmet.model.told.drawings.plan.scale import (
    FINEST,
    ROW,
    Extent,
    Scale,
    extent,
    reaches,
    scale_for,
)

_SMALL: Final = 10  # columns: a room drawn any smaller gets a scale of its own,
_LARGE: Final = 24  # at which it is this large at most
_SIDE_SHARE: Final = 5  # at most this part of the width goes to labels on one side
_WORDS_A_ROOM: Final = 3  # rows: its name, and labels above and below it
_WORDS_BELOW: Final = 3  # rows: the scale and the key


class RoomFrame(NamedTuple):
    """A room that has walls, the box it fills, and how far along each wall things may go [mm]."""

    room: RoomPlan
    extent: Extent
    reaches: Mapping[str, float]


def frames_of(plan: Plan, rooms: Sequence[RoomPlan], width: int) -> dict[str, RoomFrame]:
    """Measure those of some rooms that have walls; gives them by id."""
    walls = {line.wall.id: room.room.id for room in rooms for line in room.walls}
    cabinets: dict[str, list[Cabinet]] = {room: [] for room in walls.values()}
    for cabinet in plan.job.cabinets:
        if cabinet.wall in walls:
            cabinets[walls[cabinet.wall]].append(cabinet)
    return {
        room.room.id: _frame(plan, room, cabinets[room.room.id], width)
        for room in rooms
        if room.walls
    }


def _frame(plan: Plan, room: RoomPlan, cabinets: Sequence[Cabinet], width: int) -> RoomFrame:
    lines = {line.wall.id: line for line in room.walls}
    words = max(max(len(line.wall.id), len(wall_words(line.wall, plan))) for line in room.walls)
    depths: dict[str, float] = {}
    for cabinet in cabinets:
        depths[cabinet.wall] = max(depths.get(cabinet.wall, 0.0), float(cabinet.depth))
    reach = reaches(room, depths)
    fronts = _fronts(cabinets, lines, reach)
    return RoomFrame(room, extent(room, fronts, min(words, width // _SIDE_SHARE)), reach)


def may_fit(rooms: int, height: int) -> bool:
    """Tell whether so many rooms can stand below each other: a name and a row, one in between."""
    return 3 * rooms - 1 <= height


def least_mm(frames: Sequence[RoomFrame], width: int, height: int | None) -> float:
    """Give the finest scale [mm a column] at which rooms fit a width and a height."""
    least = FINEST
    for frame in frames:
        box = frame.extent
        columns = max(width - 1 - box.before - box.after, 1)
        least = max(least, box.across / columns, box.down / (ROW * width))
    if height is not None and frames:
        rows = max(height - _WORDS_A_ROOM * len(frames) - _WORDS_BELOW, 1)
        least = max(least, sum(frame.extent.down for frame in frames) / (ROW * rows))
    return least


def own_scale(plan: Plan, frame: RoomFrame, shared: Scale, width: int) -> Scale:
    """Give the scale that all rooms share, or a finer one to a room too small to read at it."""
    longest = max(frame.extent.across, frame.extent.down)
    if longest / shared.mm >= _SMALL:
        return shared
    least = max(least_mm([frame], width, None), longest / _LARGE)
    own = scale_for(least, plan.job.site.length_unit, width)
    return own if own.mm < shared.mm else shared


def _fronts(
    cabinets: Sequence[Cabinet], lines: dict[str, WallLine], reach: Mapping[str, float]
) -> Iterator[tuple[WallLine, Point]]:
    """Give the front corners of the box around each wall's cabinets, as far as they may go."""
    boxes: dict[str, tuple[float, float, float]] = {}
    for cabinet in cabinets:
        left, depth = float(cabinet.at), float(cabinet.depth)
        right = left + float(cabinet.width)
        box = boxes.get(cabinet.wall, (left, right, depth))
        boxes[cabinet.wall] = min(box[0], left), max(box[1], right), max(box[2], depth)
    for wall, (left, right, depth) in boxes.items():
        line, end = lines[wall], reach[wall]
        yield line, line.point(min(left, end), depth)
        yield line, line.point(min(right, end), depth)
