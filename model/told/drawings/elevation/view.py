"""Walls seen from inside the room, to scale, in plain ASCII: what hangs where, and how high."""

from collections.abc import Iterable, Iterator, Sequence
from typing import Final, NamedTuple

from pelmet.model.job.job import Job
from pelmet.model.plan.result import Plan
from pelmet.model.told.drawings.drawing import (
    Canvas,
    Drawing,
    Role,
    Words,
    flow,
    plain_ascii,
    stack,
)
from pelmet.model.told.drawings.elevation.labels import label, measures, write_measures
from pelmet.model.told.drawings.elevation.marks import SHELF, WORKTOP, WallSheet, draw_marks
from pelmet.model.told.drawings.elevation.wall import Face, WallView, is_usual, view_wall
from pelmet.model.told.drawings.plan.bars import DARK, FEED, LIT, UNFED
from pelmet.model.told.drawings.plan.cables import CABLE, HOLE, IN_WALL
from pelmet.model.told.drawings.plan.key import no_room
from pelmet.model.told.drawings.plan.lines import WALL
from pelmet.model.told.drawings.plan.marks import OBSTACLES
from pelmet.model.told.drawings.plan.scale import FINEST, ROW, Scale, scale_for

_MOST_ROWS: Final = 28  # a wall drawn with no height given is no higher than this
_MARGIN: Final = 3  # rows kept above a wall for labels; those unused are cut off
_BELOW: Final = 2  # rows: the floor, and what is written below it
_WORDS: Final = 3  # rows: the title, the scale and the key
_SIDE_SHARE: Final = 5  # at most this part of the width goes to the heights beside a wall
_TRIES: Final = 4  # a scale that turns out too fine is made coarser so often
_COARSER: Final = 1.02  # and by this much at least
_ROOM_FOR_A_KEY: Final = 12  # rows
_EMPTY: Final = "Nothing measured yet: add a room"
_BARE: Final = "Nothing on any wall yet: add a cabinet"


class _Page(NamedTuple):
    """What is asked for: of which job, how wide and high, the ids to mark, with titles or not."""

    plan: Plan
    width: int
    height: int | None
    chosen: frozenset[str]
    titled: bool


class _Picture(NamedTuple):
    """A wall drawn, its scale, the marks on it, and the ids that found no room."""

    drawing: Drawing
    scale: Scale
    marks: set[tuple[Role, str]]
    unplaced: tuple[Words, ...]


def elevation(
    plan: Plan, wall_id: str, width: int, height: int | None = None, focus: str | None = None
) -> Drawing:
    """Draw one wall from inside its room, at most ``width`` columns and ``height`` rows.

    ``focus`` is the id of the thing to mark. An unknown wall gives a line that says so. Never
    raises.
    """
    page = _Page(plan, max(width, 1), height, _chosen(plan, focus), titled=False)
    for wall in _walls(plan):
        if wall.line.wall.id == wall_id:
            return _fitted(page, wall)
    return _line_of_words(page, f"There is no wall {wall_id}")


def elevations(
    plan: Plan,
    width: int,
    height: int | None = None,
    focus: str | None = None,
    home: str | None = None,
) -> Drawing:
    """Draw every wall that has anything on it, one below another, each with a title.

    With a height, one wall alone is drawn: that of ``home``, or of the focus, or the first that
    has anything on it. Never raises.
    """
    page = _Page(plan, max(width, 1), height, _chosen(plan, focus), titled=True)
    walls = list(_walls(plan))
    full = [wall for wall in walls if not wall.bare]
    if height is None and full:
        pictures = [(wall, _picture(page, wall, _least_mm(page, wall))) for wall in full]
        return _compose(page, pictures)
    own = _wall_of(plan, home or focus)
    one = next((wall for wall in walls if wall.line.wall.id == own), full[0] if full else None)
    if one is None:
        return _line_of_words(page, _BARE if walls else _EMPTY)
    return _fitted(page, one, [wall for wall in full if wall is not one])


def _walls(plan: Plan) -> Iterator[WallView]:
    for room in plan.rooms:
        for line in room.walls:
            yield view_wall(plan, room, line)


def _line_of_words(page: _Page, text: str) -> Drawing:
    drawing = flow((Words(word, "key") for word in text.split()), page.width, gap=1)
    return drawing if page.height is None else drawing.first(page.height)


def _fitted(page: _Page, wall: WallView, others: Sequence[WallView] = ()) -> Drawing:
    """Draw one wall, coarser until it fits; name the other walls below it."""
    least = _least_mm(page, wall)
    drawing = Drawing((), ())
    for _ in range(_TRIES):
        picture = _picture(page, wall, least)
        drawing = _compose(page, [(wall, picture)], others)
        over = 0 if page.height is None else len(drawing.rows) - page.height
        rows = len(picture.drawing.rows)
        if over <= 0 or over >= rows:
            break
        least = picture.scale.mm * max(rows / (rows - over), _COARSER)
    return drawing if page.height is None else drawing.first(page.height)


def _least_mm(page: _Page, wall: WallView) -> float:
    """Give the finest scale [mm a column] at which a wall fits."""
    columns = max(page.width - 1 - _gutter(page, wall), 1)
    rows = _MOST_ROWS
    if page.height is not None:
        rows = max(page.height - _BELOW - _WORDS, 1)
    return max(FINEST, wall.along / columns, wall.top / (ROW * rows))


def _gutter(page: _Page, wall: WallView) -> int:
    """Give the columns kept for heights beside a wall, if there is room for them."""
    wanted = max(map(len, measures(wall).values()), default=0) + 1
    return wanted if wanted <= page.width // _SIDE_SHARE else 0


def _picture(page: _Page, wall: WallView, least: float) -> _Picture:
    scale = scale_for(least, page.plan.job.site.length_unit, page.width)
    floor = _MARGIN + round(wall.top / (ROW * scale.mm))
    face = Face(wall.line, wall.along, scale.mm, _gutter(page, wall), floor)
    sheet = WallSheet(Canvas(page.width, floor + _BELOW), face, wall)
    draw_marks(sheet)
    unplaced = label(sheet, page.chosen)
    write_measures(sheet)
    return _Picture(sheet.canvas.drawing(), scale, sheet.canvas.marks(), unplaced)


def _compose(
    page: _Page, pictures: Sequence[tuple[WallView, _Picture]], others: Sequence[WallView] = ()
) -> Drawing:
    site = page.plan.job.site
    parts: list[Drawing] = []
    below: list[Words] = []
    for wall, picture in pictures:
        parts += [Drawing(("",), ())] if parts else []
        if page.titled:
            parts.append(flow(_title(wall, page), page.width, gap=1))
        parts.append(picture.drawing)
        parts.append(no_room(picture.unplaced, page.width, limited=page.height is not None))
        bar = picture.scale.bar(site.length_unit, site.inch_parts)
        below = [Words(bar, "scale", wall.line.wall.id)]
        if len(pictures) > 1:
            parts.append(flow(below, page.width))
            below = []
    if page.height is None or page.height >= _ROOM_FOR_A_KEY:
        marks = set[tuple[Role, str]]().union(*(picture.marks for _, picture in pictures))
        below += _key([wall for wall, _ in pictures], marks)
    parts.append(flow(below, page.width))
    if others:
        ids = (Words(wall.line.wall.id, "label", wall.line.wall.id) for wall in others)
        parts.append(flow([Words("Also:", "key"), *ids], page.width))
    return stack(parts)


def _title(wall: WallView, page: _Page) -> Iterator[Words]:
    room, line = wall.room.room, wall.line.wall
    name = plain_ascii(room.name).strip() or room.id
    yield Words(f"Wall {line.id},", "label", line.id)
    if room.id in page.chosen:
        yield Words(f">{name[: max(page.width - 2, 0)]}<", "focus", room.id)
    else:
        yield Words(name, "label", room.id)


def _key(walls: Sequence[WallView], marks: set[tuple[Role, str]]) -> Iterator[Words]:
    """Explain the marks that were drawn, and no others."""
    site = walls[0].plan.job.site
    yield Words(f"lengths in {site.unit_name}", "key")
    words: Iterable[tuple[Role, str, str]] = (
        ("wall", WALL, f"{WALL} floor and walls"),
        ("cabinet", WORKTOP, f"{WORKTOP} {site.words.worktop}"),
        ("cabinet", SHELF, f"+{SHELF * 2}+ shelf"),
        ("run", LIT, f"{LIT} lit"),
        ("dark", DARK, f"{DARK} dark"),
        ("feed", FEED, f"{FEED} feed end"),
        ("fault", UNFED, f"{UNFED} no cable to it"),
        ("cable", CABLE, f"{CABLE} cable"),
        ("cable", IN_WALL, f"{IN_WALL} cable in the wall"),
        ("hole", HOLE, f"{HOLE} hole"),
    )
    for role, char, text in words:
        if (role, char) in marks:
            yield Words(text, "key")
    obstacles = [each for wall in walls for each in wall.obstacles]
    for kind in dict.fromkeys(each.kind for each in obstacles):
        if ("obstacle", OBSTACLES[kind].char) in marks:
            yield Words(f"{OBSTACLES[kind].char} {site.words.value(kind)}", "key")
    if any(map(is_usual, obstacles)):
        yield Words("? usual height, not measured", "key")
    if ("scale", "?") in marks or any("length" in wall.line.wall.assumed for wall in walls):
        yield Words("? not measured", "key")


def _chosen(plan: Plan, focus: str | None) -> frozenset[str]:
    """Give the ids to mark: the focus; of a leg, its runs and cables too."""
    if focus is None:
        return frozenset()
    runs = (run.id for run in plan.job.runs if run.leg == focus)
    cables = (cable.id for cable in plan.routes.cables if cable.leg == focus)
    return frozenset({focus, *runs, *cables})


def _wall_of(plan: Plan, focus: str | None) -> str | None:
    """Give the wall of a thing, by way of its cabinet or its first bar."""
    job: Job = plan.job
    walls = {cabinet.id: cabinet.wall for cabinet in job.cabinets}
    homes = {wall.id: wall.id for wall in job.walls} | walls
    homes |= {obstacle.id: obstacle.wall for obstacle in job.obstacles}
    homes |= {run.id: walls[run.cabinets[0]] for run in job.runs}
    homes |= {supply.id: walls[supply.cabinet] for supply in job.supplies if supply.cabinet}
    homes |= {hole.id: hole.wall for hole in plan.holes}
    for leg in job.legs:
        fed = [homes[run.id] for run in job.runs if run.leg == leg.id]
        home = fed[0] if fed else homes.get(leg.supply)
        if home:
            homes[leg.id] = home
    for room in plan.rooms:
        hung = [line.wall.id for line in room.walls if line.wall.id in walls.values()]
        if room.walls:
            homes[room.room.id] = hung[0] if hung else room.walls[0].wall.id
    return homes.get(focus or "")
