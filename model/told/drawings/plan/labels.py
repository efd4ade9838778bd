"""Where each id stands on a plan: as near its thing as there is room, and never over another."""

from collections.abc import Callable, Collection, Iterator, Sequence
from functools import partial
from itertools import groupby
from typing import Final, NamedTuple

from pelmet.model.job.items import Obstacle, Run, Wall
from pelmet.model.job.region_words import RegionWords
from pelmet.model.measure.lengths import print_length
from pelmet.model.plan.result import Plan
from pelmet.model.told.drawings.drawing import Cell, Role, Words
from pelmet.model.told.drawings.plan.marks import OBSTACLES, Footprint, RoomSheet
from pelmet.model.told.drawings.plan.scale import Side

_FARTHEST: Final = 4  # rows or gaps that a label may stand off its thing
_NEAR_A_WALL: Final = 2  # rows or gaps that a wall's own label may stand off it
_ALONG_A_WALL: Final = 6  # cells along it that it may stand off its middle


class Tag(NamedTuple):
    """The id of one thing as it is written, and the way to find a place for it."""

    about: str
    text: str
    role: Role
    place: Callable[["Tag"], bool]


class _Spot(NamedTuple):
    """A place off a wall [mm], and how many cells either way along it a label may stand."""

    side: Side
    at: float
    out: float
    reach: int
    outside: bool = False

    @property
    def lean(self) -> int:
        """The way a label grows from here: 1 right, -1 left, 0 both."""
        return -self.side.lean if self.outside else self.side.lean


def label(sheet: RoomSheet, plan: Plan, chosen: Collection[str]) -> tuple[Words, ...]:
    """Write every id, what is chosen first; give those for which there is no room."""
    tags = sorted(_tags(sheet, plan, chosen), key=lambda tag: tag.about not in chosen)
    return tuple(Words(tag.text, tag.role, tag.about) for tag in tags if not tag.place(tag))


def wall_words(wall: Wall, plan: Plan) -> str:
    """Give a wall's length as its label has it; ``?`` when nobody has measured it."""
    site = plan.job.site
    length = print_length(wall.length, site.length_unit, site.inch_parts, bare=True)
    return f"{length}?" if "length" in wall.assumed else length


def _tags(sheet: RoomSheet, plan: Plan, chosen: Collection[str]) -> Iterator[Tag]:
    job = plan.job

    def tag(about: str, text: str, role: Role, place: Callable[[Tag], bool]) -> Tag:
        return (
            Tag(about, f">{text}<", "focus", place)
            if about in chosen
            else Tag(about, text, role, place)
        )

    for side in sheet.sides.values():
        wall = side.line.wall
        yield tag(wall.id, wall.id, "label", _wall(sheet, side, wall_words(wall, plan)))
    for one in sheet.footprints.values():
        name = one.cabinet.id
        fault = one.past or name in sheet.levels.clashing
        text = f"({name})" if name in sheet.levels.upper else name
        word = "" if one.cabinet.kind == "wall cabinet" else f" {one.cabinet.kind}"
        yield tag(
            name,
            f"{text}!" if fault else text,
            "fault" if fault else "label",
            _cabinet(sheet, one, word),
        )
    for run in job.runs:
        if run.id in sheet.bars:
            upper = sheet.levels.upper.issuperset(run.cabinets)
            yield tag(run.id, f"({run.id})" if upper else run.id, "label", _run(sheet, run))
    for supply in job.supplies:
        holder = sheet.footprints.get(supply.cabinet or "")
        if holder is not None and supply.place != "elsewhere":
            yield tag(supply.id, f"[{supply.id}]", "supply", _cabinet(sheet, holder, ""))
    for obstacle in job.obstacles:
        if obstacle.id in sheet.lines:
            yield tag(obstacle.id, obstacle.id, "label", _obstacle(sheet, obstacle, job.site.words))


def _write(sheet: RoomSheet, cell: Cell, tag: Tag, word: str = "") -> bool:
    sheet.canvas.write(cell, tag.text + word, tag.role, tag.about)
    return True


def _wall(sheet: RoomSheet, side: Side, length: str) -> Callable[[Tag], bool]:
    """Beside an upright wall the length stands below the id, for the margin is narrow."""
    middle = float(side.line.wall.length) / 2
    reach = min(_ALONG_A_WALL, int(middle / side.along_step) + 1)
    spot = _Spot(side, middle, 0.0, reach, outside=True)

    def place(tag: Tag) -> bool:
        whole = [tag.text, length] if side.lean else [f"{tag.text} {length}"]
        for lines in (whole, [tag.text]):
            for down, across in _beside(spot, _NEAR_A_WALL):
                starts = [
                    (down + row, _aligned(across, len(line), spot.lean))
                    for row, line in enumerate(lines)
                ]
                if all(map(partial(_open, sheet), starts, map(len, lines))):
                    for start, line in zip(starts, lines, strict=True):
                        sheet.canvas.write(start, line, tag.role, tag.about)
                    return True
        return False

    return place


def _cabinet(sheet: RoomSheet, one: Footprint, word: str) -> Callable[[Tag], bool]:
    """Inside its outline, else before its front, else over the bar inside, else behind the wall."""
    reach = int((one.right - one.left) / 2 / one.side.along_step)
    front = _Spot(one.side, one.middle, one.out, reach)
    behind = _Spot(one.side, one.middle, 0.0, reach, outside=True)

    def place(tag: Tag) -> bool:
        return (
            (word != "" and _inside(sheet, one, tag, word))
            or _inside(sheet, one, tag)
            or _near(sheet, front, tag)
            or _inside(sheet, one, tag, over="run")
            or _near(sheet, behind, tag)
        )

    return place


def _inside(
    sheet: RoomSheet, one: Footprint, tag: Tag, word: str = "", over: Role | None = None
) -> bool:
    mine = {one.cabinet.id} | sheet.levels.sharing.get(one.cabinet.id, frozenset())
    length = len(tag.text + word)
    corners = [one.side.cell(at, out) for at in (one.left, one.right) for out in (0.0, one.out)]
    rows, columns = [row for row, _ in corners], [column for _, column in corners]
    for row in from_middle(min(rows) + 1, max(rows) - 1):
        for column in from_middle(min(columns) + 1, max(columns) - length):
            if sheet.canvas.is_free((row, column), length, over) and all(
                sheet.owner.get((row, cell)) in mine for cell in range(column, column + length)
            ):
                return _write(sheet, (row, column), tag, word)
    return False


def _near(sheet: RoomSheet, spot: "_Spot", tag: Tag) -> bool:
    length = len(tag.text)
    for row, column in _beside(spot, _FARTHEST):
        start = _aligned(column, length, spot.lean)
        if not spot.lean:
            start = max(0, min(start, sheet.canvas.width - length))
        if _open(sheet, (row, start), length):
            return _write(sheet, (row, start), tag)
    return False


def _beside(spot: "_Spot", farthest: int) -> Iterator[Cell]:
    """Give places off a wall or a front, the nearest first, then farther off."""
    side = spot.side
    step = -side.out_step if spot.outside else side.out_step
    for off in range(farthest):
        away = spot.out + step * (off + (2 if spot.lean else 1))
        for shift in from_middle(-spot.reach, spot.reach):
            yield side.cell(spot.at + shift * side.along_step, away)


def from_middle(first: int, last: int) -> list[int]:
    """Give the places from the first to the last, those nearest their middle first."""
    middle = (first + last) // 2
    return sorted(range(first, last + 1), key=lambda place: (abs(place - middle), -place))


def _aligned(column: int, length: int, lean: int) -> int:
    """Give where a text starts that grows right, left, or both ways from a column."""
    return column if lean > 0 else column - length + 1 if lean < 0 else column - length // 2


def _open(sheet: RoomSheet, cell: Cell, length: int) -> bool:
    row, column = cell
    return sheet.canvas.is_free(cell, length) and not any(
        (row, column + step) in sheet.owner for step in range(length)
    )


def on_line(
    sheet: RoomSheet,
    cells: list[Cell],
    tag: Tag,
    role: Role,
    *,
    about: str | None = None,
    word: str = "",
) -> bool:
    """Write into a line where it is level, leaving some of it on both sides."""
    length = len(tag.text + word)
    for row, group in groupby(cells, key=lambda cell: cell[0]):
        columns = sorted(column for _, column in group)
        for column in from_middle(columns[0] + 2, columns[-1] - length - 1):
            if sheet.canvas.is_free((row, column - 1), length + 2, role, about):
                for pad in (column - 1, column + length):
                    sheet.canvas.wipe((row, pad))
                return _write(sheet, (row, column), tag, word)
    return False


def _run(sheet: RoomSheet, run: Run) -> Callable[[Tag], bool]:
    """In its longest bar, else before the front of a cabinet that it hangs under."""
    ones = [sheet.footprints[name] for name in run.cabinets if name in sheet.footprints]
    bars = sorted(sheet.bars[run.id], key=len, reverse=True)

    def place(tag: Tag) -> bool:
        for about in (run.id, None):
            if any(on_line(sheet, cells, tag, "run", about=about) for cells in bars):
                return True
        return any(_near(sheet, spot, tag) for spot in _fronts(ones, bars))

    return place


def _fronts(ones: Sequence[Footprint], bars: Sequence[list[Cell]]) -> Iterator["_Spot"]:
    """Give the places before the middle of the longest bar, then before each cabinet."""
    for one in ones:
        reach = int((one.right - one.left) / 2 / one.side.along_step)
        if bars:
            at = one.side.place(bars[0][len(bars[0]) // 2])[0]
            if one.left <= at <= one.right:
                yield _Spot(one.side, at, one.out, reach)
        yield _Spot(one.side, one.middle, one.out, reach)


def _obstacle(sheet: RoomSheet, obstacle: Obstacle, names: RegionWords) -> Callable[[Tag], bool]:
    """In its own line, with its kind in words if there is room; else before it, else behind."""
    side, cells = sheet.sides[obstacle.wall], sheet.lines[obstacle.id]
    mark = OBSTACLES[obstacle.kind]
    half = float(obstacle.width) / 2
    middle = min(float(obstacle.at) + half, float(side.line.wall.length))
    reach = int(half / side.along_step)
    front = _Spot(side, middle, max(side.place(cell)[1] for cell in cells), reach)
    behind = _Spot(side, middle, 0.0, reach, outside=True)

    def place(tag: Tag) -> bool:
        words = () if mark.form == "across" else (f" {names.said(mark.word)}", "")
        return (
            any(
                on_line(sheet, cells, tag, "obstacle", about=obstacle.id, word=word)
                for word in words
            )
            or _near(sheet, front, tag)
            or _near(sheet, behind, tag)
        )

    return place
