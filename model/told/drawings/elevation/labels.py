"""Where each id stands on an elevation: in its thing or beside it, and never over another."""

from collections.abc import Callable, Collection, Iterator, Sequence
from decimal import Decimal
from itertools import groupby
from typing import Final, NamedTuple

from pelmet.model.job.feeds import Supply
from pelmet.model.job.items import Cabinet
from pelmet.model.measure.lengths import print_length
from pelmet.model.told.drawings.drawing import Cell, Role, Words
from pelmet.model.told.drawings.elevation.marks import WallSheet
from pelmet.model.told.drawings.elevation.wall import SHELVES, Box, WallView, is_usual
from pelmet.model.told.drawings.plan.labels import from_middle, wall_words
from pelmet.model.told.drawings.plan.marks import OBSTACLES

_FARTHEST: Final = 3  # rows or columns that a label may stand off its thing


class _Tag(NamedTuple):
    """One id as it is written; ``needed``: to be listed below when there is no room for it."""

    about: str
    text: str
    role: Role
    place: Callable[["_Tag"], bool]
    needed: bool = True


def label(sheet: WallSheet, chosen: Collection[str]) -> tuple[Words, ...]:
    """Write every id, what is chosen first; give those for which there is no room."""
    tags = sorted(_tags(sheet, chosen), key=lambda tag: tag.about not in chosen)
    missed = [tag for tag in tags if not tag.place(tag)]
    return tuple(Words(tag.text, tag.role, tag.about) for tag in missed if tag.needed)


def measures(view: WallView) -> dict[Decimal, str]:
    """Give the heights of undersides, worktop and tops as they are written, by height [mm]."""
    heights: dict[Decimal, str] = {}
    job = view.plan.job

    def add(height: Decimal, fields: Collection[str], assumed: Collection[str]) -> None:
        mark = "?" if set(fields) & set(assumed) else ""
        text = print_length(height, job.site.length_unit, job.site.inch_parts, bare=True)
        heights.setdefault(height, text + mark)

    for cabinet in view.cabinets:
        add(cabinet.bottom_height, ("bottom_height",), cabinet.assumed)
    if view.has_worktop:
        add(view.room.room.worktop_height, ("worktop_height",), view.room.room.assumed)
    for cabinet in view.cabinets:
        if cabinet.kind in SHELVES:
            continue
        top = cabinet.bottom_height + cabinet.height
        add(top, ("bottom_height", "height"), cabinet.assumed)
    return heights


def write_measures(sheet: WallSheet) -> None:
    """Write the heights left of the wall, and below the floor where each cabinet stands."""
    face, canvas = sheet.face, sheet.canvas
    for height, text in measures(sheet.wall).items():
        start = face.row(float(height)), face.left - 1 - len(text)
        if start[1] >= 0 and canvas.is_free(start, len(text)):
            canvas.write(start, text, "scale", "")
    for at, text in _places(sheet.wall):
        column = face.column(float(at)) - len(text) // 2
        start = face.floor + 1, max(0, min(column, canvas.width - len(text)))
        if canvas.is_free(start, len(text)):
            canvas.write(start, text, "scale", "")


def _places(view: WallView) -> Iterator[tuple[Decimal, str]]:
    """Give where each cabinet starts, then where each ends."""
    site = view.plan.job.site
    end = view.along
    for fields in (("at",), ("at", "width")):
        for cabinet in sorted(view.cabinets, key=lambda each: each.at):
            at = cabinet.at + (cabinet.width if "width" in fields else 0)
            if at <= end:
                mark = "?" if set(fields) & set(cabinet.assumed) else ""
                yield at, print_length(at, site.length_unit, site.inch_parts, bare=True) + mark


def _tags(sheet: WallSheet, chosen: Collection[str]) -> Iterator[_Tag]:
    for tag in (*_things(sheet), *_lines(sheet)):
        if tag.about in chosen:
            yield tag._replace(text=f">{tag.text}<", role="focus")
        else:
            yield tag


def _things(sheet: WallSheet) -> Iterator[_Tag]:
    """Give the tags of what hangs and stands on the wall, and its own."""
    view = sheet.wall
    wall = view.line.wall
    yield _Tag(wall.id, wall.id, "label", _wall(sheet, wall_words(wall, view.plan)))
    for cabinet in view.cabinets:
        yield _Tag(cabinet.id, cabinet.id, "label", _cabinet(sheet, cabinet))
    for obstacle in view.obstacles:
        mark = "?" if is_usual(obstacle) else ""
        place = _obstacle(
            sheet, obstacle.id, f" {view.plan.job.site.words.said(OBSTACLES[obstacle.kind].word)}"
        )
        yield _Tag(obstacle.id, obstacle.id + mark, "label", place)


def _lines(sheet: WallSheet) -> Iterator[_Tag]:
    """Give the tags of runs, supplies, holes and cables."""
    plan = sheet.wall.plan
    for fit in plan.fits:
        bars = [sheet.bars[bar.id] for bar in fit.bars if bar.id in sheet.bars]
        if bars:
            yield _Tag(fit.run.id, fit.run.id, "label", _run(sheet, fit.run.id, bars))
    for supply in plan.job.supplies:
        if supply.cabinet in sheet.boxes and supply.place != "elsewhere":
            yield _Tag(supply.id, f"[{supply.id}]", "supply", _supply(sheet, supply))
    for name, (row, column) in sheet.holes.items():
        yield _Tag(name, name, "hole", _beside(sheet, Box(column, column, row, row)))
    for name, cells in sheet.cables.items():
        yield _Tag(name, name, "cable", _cable(sheet, cells), needed=False)


def _write(sheet: WallSheet, cell: Cell, tag: _Tag, word: str = "") -> bool:
    sheet.canvas.write(cell, tag.text + word, tag.role, tag.about)
    return True


def _wall(sheet: WallSheet, length: str) -> Callable[[_Tag], bool]:
    """In the floor's line with its length."""
    face = sheet.face
    floor = [(face.floor, column) for column in range(face.left, face.right + 1)]

    def place(tag: _Tag) -> bool:
        return any(_in_line(sheet, floor, tag, "wall", word) for word in (f" {length}", ""))

    return place


def _cabinet(sheet: WallSheet, cabinet: Cabinet) -> Callable[[_Tag], bool]:
    box = sheet.boxes[cabinet.id]
    line = [(box.bottom, column) for column in range(box.left, box.right + 1)]
    words = ("",) if cabinet.kind == "wall cabinet" else (f" {cabinet.kind}", "")

    def place(tag: _Tag) -> bool:
        return (
            any(_inside(sheet, box, tag, word, cabinet.id) for word in words)
            or (box.top == box.bottom and _in_line(sheet, line, tag, "cabinet", "", cabinet.id))
            or _beside(sheet, box, cabinet.id)(tag)
        )

    return place


def _supply(sheet: WallSheet, supply: Supply) -> Callable[[_Tag], bool]:
    """In its cabinet, above it, or down at the floor."""
    name = supply.cabinet or ""
    box = sheet.boxes[name]
    middle = (box.left + box.right) // 2
    plinth = Box(middle, middle, sheet.face.floor, sheet.face.floor)
    inside = supply.place in ("in cabinet", "walled in")

    def place(tag: _Tag) -> bool:
        if inside and _inside(sheet, box, tag, "", name):
            return True
        return _beside(sheet, plinth if supply.place == "in plinth" else box, name)(tag)

    return place


def _obstacle(sheet: WallSheet, name: str, word: str) -> Callable[[_Tag], bool]:
    box = sheet.obstacles[name]

    def place(tag: _Tag) -> bool:
        rows = [
            [(row, column) for column in range(box.left, box.right + 1)]
            for row in from_middle(box.top, box.bottom)
        ]
        return (
            any(_inside(sheet, box, tag, text) for text in (word, ""))
            or any(
                _in_line(sheet, row, tag, "obstacle", text, name)
                for text in (word, "")
                for row in rows
            )
            or any(_beside(sheet, box)(tag._replace(text=tag.text + text)) for text in (word, ""))
        )

    return place


def _run(sheet: WallSheet, name: str, lines: Sequence[list[Cell]]) -> Callable[[_Tag], bool]:
    """In its longest bar, else beside it."""
    longest = sorted(lines, key=len, reverse=True)

    def place(tag: _Tag) -> bool:
        return any(_in_line(sheet, cells, tag, "run", "", name) for cells in longest) or any(
            _beside(sheet, _bounds(cells))(tag) for cells in longest
        )

    return place


def _cable(sheet: WallSheet, cells: Sequence[Cell]) -> Callable[[_Tag], bool]:
    """In its own line, or beside the part of it that goes up or down."""
    rows = {row: list(group) for row, group in groupby(sorted(cells), key=lambda cell: cell[0])}

    def place(tag: _Tag) -> bool:
        longest = sorted(rows.values(), key=len, reverse=True)
        return any(_in_line(sheet, row, tag, "cable") for row in longest) or any(
            _beside(sheet, _bounds(row), farthest=1)(tag) for row in longest
        )

    return place


def _bounds(cells: Sequence[Cell]) -> Box:
    rows, columns = [cell[0] for cell in cells], [cell[1] for cell in cells]
    return Box(min(columns), max(columns), min(rows), max(rows))


def _inside(
    sheet: WallSheet, box: Box, tag: _Tag, word: str = "", owner: str | None = None
) -> bool:
    """Write into a box; into a cabinet only where no other one stands before it."""
    length = len(tag.text + word)
    for row in from_middle(box.top + 1, box.bottom - 1):
        for column in from_middle(box.left + 1, box.right - length):
            if sheet.canvas.is_free((row, column), length) and (
                owner is None or _owners(sheet, (row, column), length) == {owner}
            ):
                return _write(sheet, (row, column), tag, word)
    return False


def _in_line(
    sheet: WallSheet,
    cells: Sequence[Cell],
    tag: _Tag,
    role: Role,
    word: str = "",
    about: str | None = None,
) -> bool:
    """Write into the longest unbroken part of a level line, leaving some of it on both sides."""
    length = len(tag.text + word)
    for part in sorted(_unbroken(cells), key=len, reverse=True):
        row = part[0][0]
        for column in from_middle(part[0][1] + 2, part[-1][1] - length - 1):
            if sheet.canvas.is_free((row, column - 1), length + 2, role, about):
                for pad in (column - 1, column + length):
                    sheet.canvas.wipe((row, pad))
                return _write(sheet, (row, column), tag, word)
    return False


def _unbroken(cells: Sequence[Cell]) -> Iterator[list[Cell]]:
    for _, row in groupby(sorted(cells), key=lambda cell: cell[0]):
        for _, part in groupby(enumerate(row), key=lambda each: each[1][1] - each[0]):
            yield [cell for _, cell in part]


def _beside(
    sheet: WallSheet, box: Box, owner: str | None = None, farthest: int = _FARTHEST
) -> Callable[[_Tag], bool]:
    """Give a way to write above, below, right or left of a box, the nearest first."""

    def place(tag: _Tag) -> bool:
        length = len(tag.text)
        for cell in _around(box, length, farthest):
            if sheet.canvas.is_free(cell, length) and _owners(sheet, cell, length) <= {None, owner}:
                return _write(sheet, cell, tag)
        return False

    return place


def _owners(sheet: WallSheet, cell: Cell, length: int) -> set[str | None]:
    return {sheet.owner.get((cell[0], cell[1] + step)) for step in range(length)}


def _around(box: Box, length: int, farthest: int) -> Iterator[Cell]:
    columns = from_middle(box.left - length + 1, box.right)
    for off in range(1, farthest + 1):
        for row in (box.top - off, box.bottom + off):
            yield from ((row, column) for column in columns)
        for column in (box.right + off + 1, box.left - off - length):
            yield from ((row, column) for row in from_middle(box.top, box.bottom))
